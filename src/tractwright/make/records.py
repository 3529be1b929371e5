"""What making the pieces takes: stock, reach of the passages, set-ups, time, price."""

from dataclasses import dataclass

from tractwright.geometry.frames import Vec3
from tractwright.reach.records import PassageReach


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The block a piece is sawn from: size along the piece's own stock axes, which way those axes lie in the job frame,
    its mass, and buy-to-fly (block mass over piece mass). plate : the nominal plate thickness it is cut from.
    """

    piece: str
    size_mm: Vec3
    axes: tuple[Vec3, Vec3, Vec3]
    plate_mm: float
    mass_kg: float
    buy_to_fly: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One hold of a piece. needs : features that must exist by then; makes : features cut in it; minutes : low, high."""

    name: str
    piece: str
    machine: str
    direction: Vec3
    holds_by: str
    needs: tuple[str, ...]
    makes: tuple[str, ...]
    reaches_fraction: float
    tools: tuple[str, ...]
    minutes: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One line of the price, low and high, with how it comes about."""

    what: str
    low: float
    high: float
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakingPlan:
    """The whole plan. notes : what was assumed or not judged."""

    stocks: tuple[Stock, ...]
    passages: tuple[PassageReach, ...]
    setups: tuple[Setup, ...]
    currency: str
    price: tuple[PriceLine, ...]
    notes: tuple[str, ...]
