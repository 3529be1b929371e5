"""Middle lines of passages followed section by section, from one opening to another or to where others run in."""

import numpy as np
import shapely
from scipy.interpolate import BSpline, make_interp_spline

from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit
from tractwright.own.records import PassageEnd
from tractwright.own.sections import Cut, Wall, cuts

STEP_MM = 3.0
_MOST_STEPS = 600
_ROUNDS = 3
_WIDENS = 3.0
_MOST_MISSED = 20
_SUDDEN, _WIDEST_MEETING, _LAST_FEW = 1.04, 2.0, 2

_Ends = tuple[PassageEnd, PassageEnd]


def alone_line(wall: Wall, ends: _Ends, area_mm2: float) -> BSpline | None:
    """The middle line of a passage that no other joins: walked, then cut square to itself until it stays."""
    walked = _walked(wall, ends, area_mm2)
    if walked is None:
        return None
    line = _spline(walked, ends)
    for _ in range(_ROUNDS):
        line = _spline(_recut(wall, line, ends), ends)
    return line


def arm_line(wall: Wall, ends: _Ends, area_mm2: float) -> BSpline | None:
    """The middle line of a passage that runs into others: from both ends as far as sections close evenly, which they do not
    where passages meet, and smoothly across; None where too much is missing between.
    """
    there, back = (_as_far_as_even(wall, end, area_mm2) for end in ends)
    if float(np.linalg.norm(there[-1] - back[-1])) > _WIDEST_MEETING * float(np.sqrt(area_mm2)):
        return None
    there, back = (places[: max(_LAST_FEW, len(places) - _LAST_FEW)] for places in (there, back))
    return _spline(np.concatenate([there, back[::-1]]), ends)


def cut_at(wall: Wall, frame: Frame) -> Cut | None:
    """The smallest closed section round the frame's origin, None where there is none."""
    found = [cut for cut in cuts(wall, frame) if _holds_origin(cut)]
    return min(found, key=lambda cut: cut.area_mm2, default=None)


def _holds_origin(cut: Cut) -> bool:
    return bool(shapely.Polygon(cut.points_mm).buffer(0.0).contains(shapely.Point(0.0, 0.0)))


def _walked(wall: Wall, ends: _Ends, area_mm2: float) -> Array | None:
    """Middles (n, 3) of sections step by step from the first end to the last, both ends included.

    Where no section closes, by a leaning end or a bore from the side, or where another passage runs in, the walk goes
    straight on. area_mm2 : of the larger end.
    """
    here, way = np.array(ends[0].at_mm), np.array(ends[0].into)
    goal = np.array(ends[1].at_mm)
    places, missed = [here], 0
    for _ in range(_MOST_STEPS):
        here = here + way * STEP_MM
        if float(np.linalg.norm(goal - here)) < 2.0 * STEP_MM:
            return np.array([*places, goal])
        cut = cut_at(wall, across(here, way))
        missed = 0 if cut is not None and _goes_on(cut, area_mm2, missed) else missed + 1
        if missed > _MOST_MISSED:
            return None
        if cut is not None and not missed:
            here = across(here, way).to_world(cut.centre_mm)
            way = unit(here - places[-1])
            places.append(here)
    return None


def _as_far_as_even(wall: Wall, end: PassageEnd, area_mm2: float) -> Array:
    """Middles (n, 3) step by step into a passage, as long as its sections go on much as they were."""
    here, way, places, before = np.array(end.at_mm), np.array(end.into), [np.array(end.at_mm)], 0.0
    for step in range(_MOST_STEPS):
        here = here + way * STEP_MM
        cut = cut_at(wall, across(here, way))
        if cut is None or (before and cut.area_mm2 > _SUDDEN * before) or not _goes_on(cut, area_mm2, -1):
            if before or step > _MOST_MISSED:
                break
            continue
        here = across(here, way).to_world(cut.centre_mm)
        way, before = unit(here - places[-1]), cut.area_mm2
        places.append(here)
    return np.array(places)


def _goes_on(cut: Cut, area_mm2: float, missed: int) -> bool:
    """Whether a section is the passage's own: not too wide, nor aside of where the walk had to come out."""
    return cut.area_mm2 < _WIDENS * area_mm2 and float(np.linalg.norm(cut.centre_mm)) < (2.0 + missed) * STEP_MM


def across(place: Array, way: Array) -> Frame:
    """The plane square to a way."""
    return frame_from_normal(place, way, np.eye(3)[int(np.argmin(np.abs(way)))])


def _spline(places: Array, ends: _Ends) -> BSpline:
    """The cubic through the middles by chord length, entering and leaving as the ends say."""
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    s = np.concatenate([[0.0], np.cumsum(steps)])
    slopes = ([(1, np.array(ends[0].into))], [(1, -np.array(ends[1].into))])
    return make_interp_spline(s, places, k=3, bc_type=slopes)


def span(line: BSpline) -> float:
    """The parameter at a line's end."""
    return float(line.t[-1])


def _recut(wall: Wall, line: BSpline, ends: _Ends) -> Array:
    """Middles of sections square to a line, evenly along it; those that do not close, near leaning ends, left out."""
    count = max(8, int(span(line) / STEP_MM))
    found = [np.array(ends[0].at_mm)]
    for place in np.linspace(0.0, span(line), count + 1)[1:-1]:
        frame = across(line(place), unit(line(place, 1)))
        cut = cut_at(wall, frame)
        if cut is not None and float(np.linalg.norm(cut.centre_mm)) < STEP_MM:
            found.append(frame.to_world(cut.centre_mm))
    return np.array([*found, np.array(ends[1].at_mm)])
