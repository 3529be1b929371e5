"""What making the pieces takes: stock, reach of the passages, set-ups, time, price."""

from dataclasses import dataclass
from itertools import product

import numpy as np

from tractwright.geometry.frames import Vec3, vec3
from tractwright.reach.records import PassageReach


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The block a piece is sawn from: size along the piece's own stock axes, which way those axes lie in the job frame,
    its mass, and buy-to-fly (block mass over piece mass). plate : the nominal plate thickness it is cut from.
    listed : whether the shop's stock list has a plate large enough.
    """

    piece: str
    size_mm: Vec3
    axes: tuple[Vec3, Vec3, Vec3]
    plate_mm: float
    mass_kg: float
    buy_to_fly: float
    listed: bool = True

    def corners_mm(self) -> tuple[Vec3, ...]:
        """Its eight corners about its own middle [job frame]."""
        half = np.array(list(product((-0.5, 0.5), repeat=3))) * np.array(self.size_mm)
        return tuple(vec3(corner) for corner in half @ np.array(self.axes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sway:
    """A cutter that stands out of its holder: how far it bends under a finishing cut, how far its teeth shake it, how often
    they come round and how often it would swing by itself [Hz].
    """

    cutter: str
    out_mm: float
    bends_mm: float
    shakes_mm: float
    tooth_hz: float
    own_hz: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chatter:
    """A roughing cutter at the shop's depth and speed: at which depth it begins to chatter there; a speed near by at which it
    bears more, and how much (0, 0: none is known).
    """

    cutter: str
    deep_mm: float
    rpm: float
    limit_mm: float
    better_rpm: float = 0.0
    bears_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One cut: what, with which tools, minutes low and high, how they come about; sway : of the cutter that bends most, None
    where none stands out.
    """

    what: str
    tools: tuple[str, ...]
    minutes: tuple[float, float]
    how: str
    sway: Sway | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One hold of a piece. needs : features that must exist by then; makes : features cut in it; minutes : low, high.

    locates : what it is located by, and the zero; holding : clamp load against cutting force, in words; floor, level_mm :
    plate or jaws, out of them and how far along that they end; again : the hold before, let go and held anew.
    held_times : what the clamps hold sideways over the heaviest cut's push; 0 not known. jaw_flats_mm : how long what jaws
    close on is flat and parallel; None where screws hold. jaws_way : across the jaws, None where there are none.
    ways : from where tools come to the outside, the one that shows most first; zero_mm : the set-up's zero [job frame].
    """

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
    locates: str = ""
    holding: str = ""
    operations: tuple[Operation, ...] = ()
    floor: Vec3 = (0.0, 0.0, 1.0)
    level_mm: float = 0.0
    again: bool = False
    held_times: float = 0.0
    jaw_flats_mm: float | None = None
    jaws_way: Vec3 | None = None
    ways: tuple[Vec3, ...] = ()
    zero_mm: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCut:
    """A part cut from sheet: what it is, the rectangle of sheet it takes [dm2], minutes at the mill to cut it."""

    name: str
    area_dm2: float
    minutes: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What a job takes, whatever it costs: sawn mass, pieces, hours at the mill on them, low and high; parts of sheet."""

    stock_kg: float
    pieces: int
    mill_h: tuple[float, float]
    sheets: tuple[SheetCut, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """The same job otherwise: what is changed, what it then takes, low and high price (0 until priced), how it was found."""

    what: str
    effort: Effort
    how: str
    low: float = 0.0
    high: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Unreached:
    """Surface that no cutter of the shop reaches in these set-ups: what it belongs to, how much, where its middle is."""

    piece: str
    what: str
    area_mm2: float
    at_mm: Vec3
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One line of the price, low and high, with how it comes about."""

    what: str
    low: float
    high: float
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakingPlan:
    """The whole plan. notes : what was assumed or not judged; missing : (piece, feature, why) no set-up makes; chatter : of
    the roughing cutters whose tips were measured; sensitivity : (what is off by how much, by how much the price then moves),
    largest first.
    """

    stocks: tuple[Stock, ...]
    passages: tuple[PassageReach, ...]
    setups: tuple[Setup, ...]
    currency: str
    price: tuple[PriceLine, ...]
    notes: tuple[str, ...]
    missing: tuple[tuple[str, str, str], ...] = ()
    sheets: tuple[SheetCut, ...] = ()
    unreached: tuple[Unreached, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    sensitivity: tuple[tuple[str, float], ...] = ()
    chatter: tuple[Chatter, ...] = ()
