"""Cover columns between rim screws that stand where a piece of the user's own has its holes."""

from collections.abc import Sequence
from math import ceil, dist

import numpy as np
import shapely

from tractwright.geometry.contours import polyline
from tractwright.route.layout.chamber import HEAD_ROOM_MM, ROOT_MM, Chamber
from tractwright.route.layout.outlines import Point
from tractwright.route.layout.pads import Pad, Side, at
from tractwright.route.layout.places import NeckGround, Places, in_pad, pads_of, widest_mm
from tractwright.route.layout.screws import head_radius, lug_radius

_STEP_MM = 0.5
_CLEAR_MM = 1.0
_SIDES: tuple[Side, ...] = ("side_1", "end_2", "side_2", "end_1")

Grounds = Sequence[NeckGround]
"""What every neck takes of the plenum."""


def places_onto(
    chamber: Chamber, grounds: Grounds, rim: tuple[Point, ...], heads: tuple[Point, ...], pins: tuple[Point, ...]
) -> Places:
    """Places of the rim screws and dowels as given, and columns round the box: as few as the widest spacing allows, none
    nearer to a rim screw's head than the root between them. heads : the rim screws whose heads lie on the rim.
    """
    runs = [run for side in _SIDES for run in _free(chamber, grounds, heads, side)]
    fixed: list[Point] = []
    for ground in grounds:
        if ground.pad is not None:
            out = _out(chamber, ground.pad.side)
            fixed += [at(ground.pad.side, along, out) for along in in_pad(chamber, ground)]
    return Places(rim=rim, columns=tuple(sorted([*fixed, *_spread(runs, fixed, widest_mm(chamber))])), dowels=pins)


def fouled(chamber: Chamber, grounds: Grounds, heads: tuple[Point, ...]) -> bool:
    """Whether a neck's pad takes the ground of a rim screw's head."""
    clear = ROOT_MM + head_radius(chamber.screw) + _CLEAR_MM
    return any(pad.gap_mm(head) < clear for pad in pads_of(grounds) for head in heads)


def _out(chamber: Chamber, side: Side) -> float:
    return (chamber.height_mm if side.startswith("side") else chamber.width_mm) / 2 + chamber.column_mm


def _free(chamber: Chamber, grounds: Grounds, heads: tuple[Point, ...], side: Side) -> list[list[Point]]:
    """Runs of places for columns along one wall, in order round the box."""
    half = (chamber.width_mm if side.startswith("side") else chamber.height_mm) / 2 - chamber.corner_mm
    along = np.arange(-half, half + _STEP_MM / 2, _STEP_MM) if half > 0 else np.zeros(0)
    if side in ("side_2", "end_1"):
        along = along[::-1]
    runs: list[list[Point]] = [[]]
    for x in along:
        place = at(side, float(x), _out(chamber, side))
        if _is_free(chamber, grounds, heads, place):
            runs[-1].append(place)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if run]


def _is_free(chamber: Chamber, grounds: Grounds, heads: tuple[Point, ...], place: Point) -> bool:
    apart = lug_radius(chamber.screw) + ROOT_MM + head_radius(chamber.screw) + _CLEAR_MM
    if any(dist(place, head) < apart for head in heads):
        return False
    if any(_by_pad(chamber, pad, place) for pad in pads_of(grounds)):
        return False
    necks = [shapely.Polygon(polyline(ground.on_cover, 0.05)) for ground in grounds if ground.on_cover is not None]
    clear = ROOT_MM + head_radius(chamber.screw) + HEAD_ROOM_MM
    return all(neck.distance(shapely.Point(place)) >= clear for neck in necks)


def _by_pad(chamber: Chamber, pad: Pad, place: Point) -> bool:
    return pad.gap_mm(place) < lug_radius(chamber.screw)


def _spread(runs: list[list[Point]], fixed: list[Point], widest: float) -> list[Point]:
    """Evenly along each run, one in its middle where it is short; then those left out that no cord misses."""
    found: list[Point] = []
    for run in runs:
        length = dist(run[0], run[-1])
        count = max(1, ceil(length / widest))
        shares = (np.arange(count) + 0.5) / count
        found += [run[round(float(share) * (len(run) - 1))] for share in shares]
    return _thinned(found, fixed, widest)


def _thinned(places: list[Point], fixed: list[Point], widest: float) -> list[Point]:
    """Places round the box without those whose neighbours on both sides stand near enough to each other."""
    kept = list(places)
    k = 0
    while len(kept) > len(_SIDES) and k < len(kept):
        before, after = _neighbours(kept, k, fixed)
        if dist(before, after) <= widest:
            del kept[k]
        else:
            k += 1
    return kept


def _neighbours(places: list[Point], k: int, fixed: list[Point]) -> tuple[Point, Point]:
    """The places before and after one, by their angle round the middle, fixed ones counted."""
    every = sorted([*places, *fixed], key=_angle)
    index = every.index(places[k])
    return every[index - 1], every[(index + 1) % len(every)]


def _angle(place: Point) -> float:
    return float(np.arctan2(place[1], place[0]))
