"""Rows: what the courses must meet, zero or more when met, with their slopes on the scaled unknowns.

Lengths are divided by 10 mm, so that rows of different kinds weigh alike.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.route.course.exits import support
from tractwright.route.course.packed import Ints, Packed
from tractwright.route.course.sight import Sight
from tractwright.route.course.stations import EXTENDED, LEAD, Stations
from tractwright.route.course.unknowns import LOCAL, length_at, local_columns, size_of

KINDS = (
    "bend radius",
    "room",
    "head face",
    "key way",
    "own plenum",
    "own skin",
    "total turn",
    "equal length",
    "neighbour gap",
    "other plenum",
    "plenum room",
    "flange over keys",
)
"""Kinds of demand in the trade's words; rows carry the number of their kind."""
ROW_MM = 10.0
"""Length a row is divided by."""
FAR = 1e6
_BELT_WHOLE, _BELT_ENDS = 0.17, 0.32
"""From the middle of the curve so far each way a belt is asked for wholly, and at all, as shares of the curve."""
_NOTHING: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Strictness:
    """How the rows are asked.

    sharpness [1/mm] of soft minima; between : allowance for what lies between stations (1 asked, 0 not); extra : added to
    a kind's demand [mm; for bends, turn and length the row's own unit times 10]; without : kinds left out.
    """

    sharpness: float = 2.0
    between: float = 1.0
    extra: Mapping[str, float] = field(default_factory=lambda: _NOTHING)
    without: frozenset[str] = frozenset()


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Rows:
    """value (r,), slope (r, unknowns), kind (r,) index into KINDS, subject (r,) runner, or face for plenum kinds,
    place (r, 3) the point it is about (job frame).
    """

    value: Array
    slope: Array
    kind: Ints
    subject: Ints
    place: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Block:
    """Rows of all runners of one kind.

    value (n, m), on_poles slope on extended poles (n, m, 10, 3), on_local slope on local unknowns beyond those
    (n, m, LOCAL), on_length slope on the common length (n, m), place (n, m, 3).
    """

    kind: str
    value: Array
    on_poles: Array
    place: Array
    on_local: Array | None = None
    on_length: Array | None = None


def rows_of_runners(packed: Packed, sight: Sight, block: Block) -> Rows:
    """A block as rows on all unknowns."""
    runners, count = block.value.shape
    flat = block.on_poles.reshape(runners, count, EXTENDED * 3)
    local = flat @ sight.place.slope.reshape(runners, EXTENDED * 3, LOCAL)
    if block.on_local is not None:
        local += block.on_local
    slope = np.zeros((runners, count, size_of(packed)))
    for r in range(runners):
        slope[r][:, local_columns(packed, r)] = local[r]
    if block.on_length is not None:
        slope[:, :, length_at(packed)] = block.on_length
    return Rows(
        value=block.value.ravel(),
        slope=slope.reshape(runners * count, -1),
        kind=np.full(runners * count, KINDS.index(block.kind)),
        subject=np.repeat(np.arange(runners), count),
        place=block.place.reshape(-1, 3),
    )


def joined(parts: list[Rows]) -> Rows:
    """Rows one after another."""
    return Rows(
        value=np.concatenate([part.value for part in parts]),
        slope=np.concatenate([part.slope for part in parts]),
        kind=np.concatenate([part.kind for part in parts]),
        subject=np.concatenate([part.subject for part in parts]),
        place=np.concatenate([part.place for part in parts]),
    )


def on_curve(stations: Stations, slope: Array) -> Array:
    """Slope on curve stations' points (n, m, 3) as slope on extended poles (n, m, 10, 3)."""
    return stations.value[LEAD:-LEAD, :, None] * slope[:, :, None, :]


def outer_towards(packed: Packed, stations: Stations, direction: Array) -> Array:
    """How far skins reach from the centreline (n, m) towards directions (n, m, 3): support of a rounded rectangle.

    The direction is taken as fixed.
    """
    sizes = (stations.half_wide, stations.half_least, stations.corner)
    return support(direction, stations.wide, *sizes) + packed.wall[:, None]


def section_skins(packed: Packed, stations: Stations, sight: Sight) -> tuple[Array, Array, Array]:
    """Stations with leads as skins: points, where the width lies, sizes (n, k, 3), see `kernels.neighbour_rows`."""
    corner, beyond = stations.corner, ((0, 0), (LEAD, LEAD), (0, 0))
    sizes = np.stack([corner + packed.wall[:, None], stations.half_wide - corner, stations.half_least - corner], axis=2)
    points = np.ascontiguousarray(sight.points)
    return points, np.pad(stations.wide, beyond, mode="edge"), np.pad(sizes, beyond, mode="edge")


def belt(packed: Packed, stations: Stations) -> Array:
    """How much further than its skin a runner stands out at each station (n,) [mm]: all of it in the middle third."""
    share = np.clip((_BELT_ENDS - np.abs(stations.u - 0.5)) / (_BELT_ENDS - _BELT_WHOLE), 0.0, 1.0)
    return packed.problem.belt_mm * share**3 * (10.0 - 15.0 * share + 6.0 * share**2)


def between(packed: Packed, stations: Stations, strict: Strictness) -> Array:
    """What a skin may come nearer between two stations than at them [mm] (n, m): the bow of a 16 % longer step."""
    step = packed.problem.length_wanted_mm * packed.share / (len(stations.u) - 1)
    return strict.between * 1.35 * step[:, None] ** 2 / 8.0 / stations.outer[:, LEAD:-LEAD]
