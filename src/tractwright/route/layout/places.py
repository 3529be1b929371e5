"""Where the screws and dowels of a plenum stand: round the box, rim screws and cover columns by turns.

Along each wall the two alternate at even steps, the same from both ends. Rim screws stand round the corners; where a
neck's pad takes a corner or the middle of a wall, the row ends beside the pad, and two columns inside the pad hold the
cover there.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, hypot, sqrt
from typing import Literal

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, polyline
from tractwright.route.layout.chamber import (
    HEAD_ROOM_MM,
    LAND_MM,
    ROOT_MM,
    Chamber,
    column_thread_mm,
    drilled_mm,
    groove_width,
)
from tractwright.route.layout.outlines import Point
from tractwright.route.layout.pads import Pad, Side, at
from tractwright.route.layout.screws import head_radius, lug_radius
from tractwright.standards.holes import clearance_mm
from tractwright.standards.spacing import GASKET_FACTOR, widest_spacing_mm
from tractwright.standards.threads import thread

DOWEL_MM = 6.0
_PIN_LAND_MM = 2.5
_METAL_MM = 2.0
_CLEAR_MM = 1.0
_ROUNDING_MM = 1e-6
_UPPER_SHARE = 0.6
_WIDEST_MM = 84.0
"""Screw to screw along a seal, however thick the flange. Source: common_practice."""

Kind = Literal["rim", "column"]
Spot = tuple[float, Kind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where the screws of a plenum stand, plenum frame x-y: rim screws, cover columns, dowels."""

    rim: tuple[Point, ...]
    columns: tuple[Point, ...]
    dowels: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckGround:
    """What a neck takes: its pad on a wall, or its flange's contour on the cover; and its screws as the pad sees them,
    (along the wall from the throttle's axis, over the joint under the floor).
    """

    pad: Pad | None
    on_cover: Contour | None
    screws_mm: tuple[Point, ...]


def places(chamber: Chamber, grounds: Sequence[NeckGround]) -> Places:
    """All places. No screw's head comes nearer to a column, pad or wall than the root radius between them."""
    sides: tuple[Side, ...] = ("side_1", "side_2", "end_1", "end_2")
    spots: list[tuple[Kind, Point]] = [("rim", corner) for corner in _corners(chamber, pads_of(grounds))]
    for side in sides:
        long = side.startswith("side")
        half = (chamber.height_mm if long else chamber.width_mm) / 2
        out: dict[Kind, float] = {"rim": half + chamber.rim_screw_mm, "column": half + chamber.column_mm}
        spots.extend((kind, at(side, along, out[kind])) for along, kind in _row(chamber, side, grounds))
        for ground in (item for item in grounds if item.pad is not None and item.pad.side == side):
            spots.extend(("column", at(side, along, out["column"])) for along in in_pad(chamber, ground))
    rim = tuple(sorted(place for kind, place in spots if kind == "rim"))
    columns = tuple(sorted(place for kind, place in spots if kind == "column"))
    return Places(rim=rim, columns=columns, dowels=_dowels(chamber, rim))


def pads_of(grounds: Sequence[NeckGround]) -> tuple[Pad, ...]:
    """The pads on the walls."""
    return tuple(ground.pad for ground in grounds if ground.pad is not None)


def widest_mm(chamber: Chamber) -> float:
    """Screw to screw along a cord at most [mm]: by the thinnest flange. Source key: asme_viii_appendix_2."""
    thinnest = min(chamber.cover_mm, chamber.floor_mm, chamber.mouth_flange_mm)
    return min(_WIDEST_MM, widest_spacing_mm(thread(chamber.screw).major_mm, thinnest, GASKET_FACTOR["cord"]))


def row_point(chamber: Chamber, place: Point) -> Point:
    """The point between the outermost mouths' middles that is nearest to a place."""
    along, across = chamber.row_mm / 2, chamber.rows_mm / 2
    return min(max(place[0], -along), along), min(max(place[1], -across), across)


def _step(chamber: Chamber) -> float:
    """Least distance along a wall from a rim screw to a column: head, root, column [mm]."""
    return lug_radius(chamber.screw) + ROOT_MM + head_radius(chamber.screw) + _CLEAR_MM


def _beside(chamber: Chamber) -> float:
    """Least distance from a pad to a rim screw's centre [mm]."""
    return ROOT_MM + head_radius(chamber.screw) + _CLEAR_MM


def _corner(chamber: Chamber) -> Point:
    """A rim screw round a corner, as far out of the wall as the others."""
    out = (chamber.corner_mm + chamber.rim_screw_mm) / sqrt(2.0) - chamber.corner_mm
    return chamber.width_mm / 2 + out, chamber.height_mm / 2 + out


def _corners(chamber: Chamber, pads: tuple[Pad, ...]) -> Iterator[Point]:
    x, y = _corner(chamber)
    for corner in ((-x, -y), (-x, y), (x, -y), (x, y)):
        if all(pad.gap_mm(corner) >= _beside(chamber) for pad in pads):
            yield corner


def _row(chamber: Chamber, side: Side, grounds: Sequence[NeckGround]) -> Iterator[Spot]:
    """What stands along one wall, corners left out: place along it and kind. Where a pad on the wall beside takes a corner,
    the row ends in a rim screw beside that pad.
    """
    pads = pads_of(grounds)
    low, high = _end(chamber, side, pads, -1.0), _end(chamber, side, pads, 1.0)
    yield from _at_ends(low, high)
    for pad in (item for item in pads if item.side == side):
        stop = pad.half_mm + _beside(chamber)
        for sign, end in ((1.0, low), (-1.0, high)):
            if end.taken_by is not pad:
                yield from _turned(sign, _between(chamber, sign * end.along_mm, -stop, "rim"))
        return
    over = max((_over_cover(chamber, side, ground) for ground in grounds), default=0.0)
    if over > 0.0:
        for sign, end in ((1.0, low), (-1.0, high)):
            yield from _turned(sign, _between(chamber, sign * end.along_mm, -over, "column"))
        if over >= _step(chamber):
            yield 0.0, "rim"
        return
    ends = (low.along_mm, high.along_mm)
    yield from [spot for spot in _alternating(chamber, *ends, "rim") if spot[0] not in ends]


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """Where a wall's row ends: at the corner, or where a pad takes that; is_beside_pad : beside one on the wall beside."""

    along_mm: float
    taken_by: Pad | None
    is_beside_pad: bool


def _end(chamber: Chamber, side: Side, pads: tuple[Pad, ...], sign: float) -> _End:
    long = side.startswith("side")
    half, out = _corner(chamber) if long else _corner(chamber)[::-1]
    taking = [pad for pad in pads if pad.gap_mm(at(side, sign * half, out)) < _beside(chamber)]
    taker = next((pad for pad in taking if pad.side == side), taking[0] if taking else None)
    if taker is None or taker.side == side:
        return _End(along_mm=sign * half, taken_by=taker, is_beside_pad=False)
    along = sign * (taker.inner_mm - _beside(chamber))
    free = all(pad.gap_mm(at(side, along, out)) >= _beside(chamber) - _ROUNDING_MM for pad in pads)
    return _End(along_mm=along, taken_by=taker, is_beside_pad=free)


def _at_ends(*ends: _End) -> Iterator[Spot]:
    for end in ends:
        if end.is_beside_pad:
            yield end.along_mm, "rim"


def _turned(sign: float, spots: list[Spot]) -> Iterator[Spot]:
    for along, kind in spots:
        yield sign * along, kind


def _between(chamber: Chamber, start: float, end: float, last: Kind) -> list[Spot]:
    """From a corner's rim screw, itself left out, to one of a kind that ends the row."""
    if end - start < (2 if last == "rim" else 1) * _step(chamber):
        return [(end, last)] if last == "rim" and end - start >= 2 * head_radius(chamber.screw) + _CLEAR_MM else []
    return _alternating(chamber, start, end, last)[1:]


def _alternating(chamber: Chamber, start: float, end: float, last: Kind) -> list[Spot]:
    """Rim screws and columns by turns at even steps, a rim screw first: as few as the widest spacing allows."""
    odd = 0 if last == "rim" else 1
    length = end - start
    pairs = ceil((length / widest_mm(chamber) * 2 - odd) / 2 - 1e-9)
    most = int((length / _step(chamber) - odd) / 2)
    count = 2 * max(min(pairs, most), 0 if odd else 1) + odd
    kinds: tuple[Kind, Kind] = ("rim", "column")
    return [(float(x), kinds[i % 2]) for i, x in enumerate(np.linspace(start, end, count + 1))]


def _over_cover(chamber: Chamber, side: Side, ground: NeckGround) -> float:
    """How far from a long wall's middle a column must stand to keep its screw's head off a neck on the cover [mm]."""
    if ground.on_cover is None or side.startswith("end"):
        return 0.0
    neck = shapely.Polygon(polyline(ground.on_cover, 0.05))
    out, clear = chamber.height_mm / 2 + chamber.column_mm, ROOT_MM + head_radius(chamber.screw) + HEAD_ROOM_MM
    steps = np.arange(0.0, chamber.width_mm / 2, 0.5)
    fouled = [x for x in steps if neck.distance(shapely.Point(at(side, float(x), out))) < clear]
    return float(fouled[-1]) + 0.5 if fouled else 0.0


def in_pad(chamber: Chamber, ground: NeckGround) -> tuple[float, ...]:
    """Two columns in a pad, beside the opening, as near to it as the bore and the neck's screws leave metal."""
    hole = thread(chamber.screw).major_mm
    least = chamber.throttle_mm / 2 + hole / 2 + _METAL_MM
    tip = chamber.top_mm - drilled_mm(chamber.screw, column_thread_mm(chamber)) - _METAL_MM
    most = ground.pad.half_mm - hole / 2 - _METAL_MM if ground.pad is not None else least
    tall = [along for along, height in ground.screws_mm if height + hole / 2 > tip]
    for along in np.arange(least, max(least, most) + 1e-9, 0.5):
        if all(abs(along - abs(other)) >= hole + _METAL_MM for other in tall):
            return -float(along), float(along)
    return -least, least


def _dowels(chamber: Chamber, rim: tuple[Point, ...]) -> tuple[Point, ...]:
    """Two dowels far apart, between the seal and the first and last rim screw of one long side.

    Both stand on the same side of the mouths, so that the pieces go together one way only.
    """
    groove = chamber.bore_mm / 2 + LAND_MM + groove_width(chamber.cord_mm)
    inner = groove + _PIN_LAND_MM + DOWEL_MM / 2
    outer = clearance_mm(chamber.screw) / 2 + _PIN_LAND_MM + DOWEL_MM / 2
    highest = max(y for _, y in rim)
    upper = [place for place in rim if place[1] > _UPPER_SHARE * highest]
    found: list[Point] = []
    for place in (min(upper), max(upper)):
        foot = row_point(chamber, place)
        dx, dy = place[0] - foot[0], place[1] - foot[1]
        share = (inner + hypot(dx, dy) - outer) / 2 / hypot(dx, dy)
        found.append((foot[0] + dx * share, foot[1] + dy * share))
    return tuple(found)
