"""Passages followed from opening to opening: centreline, area, bends, and how they enter the faces."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from scipy.interpolate import BSpline, make_interp_spline
from scipy.ndimage import median_filter

from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit, vec3
from tractwright.kernel.body import Body
from tractwright.own.records import Chamber, JointFace, Opening, Passage, PassageEnd
from tractwright.own.sections import Cut, Wall, cuts, wall_of

STATIONS = 65
_STRAIGHT_TO_MM, _BENT_TO_MM, _LEVERS = (12.0, 8.0, 5.0), 3.0, 12
_STRAIGHT_MM = 0.02
_LEAST_LEVERS = 3
_BOTH_ENDS = 2
_STEP_MM = 3.0
_MOST_STEPS = 600
_ROUNDS = 3
_FINE = 801
_STRAIGHT_PER_MM = 1e-4
_WIDENS = 3.0
_MOST_MISSED = 20
_ODD_SHARE = 1.15
_NEIGHBOURS = 9

_Mouth = tuple[JointFace, Opening]


def passages_and_chambers(body: Body, faces: Sequence[JointFace]) -> tuple[tuple[Passage, ...], tuple[Chamber, ...]]:
    """What every opening leads to: with one other opening a passage, else a chamber."""
    barred = frozenset(index for face in faces for index in face.faces)
    left: list[_Mouth] = [(face, opening) for face in faces for opening in face.openings]
    passages: list[Passage] = []
    chambers: list[Chamber] = []
    while left:
        inside = _flooded(body, left[0][1].inside, barred)
        here = [mouth for mouth in left if mouth[1].inside & inside]
        left = [mouth for mouth in left if not mouth[1].inside & inside]
        passage = _passage(body, here[0], here[1], inside) if len(here) == _BOTH_ENDS else None
        if passage is not None:
            passages.append(passage)
        else:
            chambers.append(Chamber(openings=tuple((face.name, o.name) for face, o in here), inside=inside))
    named = sorted(passages, key=lambda item: (item.ends[0].face, item.ends[0].opening))
    return tuple(_named(item, f"passage {k}") for k, item in enumerate(named, start=1)), tuple(chambers)


def _flooded(body: Body, start: frozenset[int], barred: frozenset[int]) -> frozenset[int]:
    """Faces reached across edges without going through a joint face."""
    seen, here = set(start), set(start)
    while here:
        here = {u.other for i in here for loop in body.faces[i].loops for u in loop if u.other >= 0} - seen - barred
        seen |= here
    return frozenset(seen)


def _named(passage: Passage, name: str) -> Passage:
    return replace(passage, name=name)


def _passage(body: Body, first: _Mouth, last: _Mouth, inside: frozenset[int]) -> Passage | None:
    """None where no closed section leads from one opening to the other."""
    wall = wall_of(body, inside)
    ends = (_end(wall, *first), _end(wall, *last))
    walked = _walked(wall, ends, max(first[1].area_mm2, last[1].area_mm2))
    if walked is None:
        return None
    line = _spline(walked, ends)
    for _ in range(_ROUNDS):
        line = _spline(_recut(wall, line, ends), ends)
    return _measured(wall, line, ends, (first, last), inside)


def _end(wall: Wall, face: JointFace, opening: Opening) -> PassageEnd:
    """Middle and direction of an end: the straight line through the middles of sections parallel to the face, as far in as
    they keep to one; where a passage bends at once, the tangent of a parabola through the first of them.
    """
    start = face.frame.to_world(opening.centre_mm)
    for far in _STRAIGHT_TO_MM:
        levers, steps = _middles(wall, face, start, far)
        if len(levers) >= _LEAST_LEVERS:
            way = levers @ steps / (levers @ levers)
            if float(np.abs(np.outer(levers, way) - steps).max()) < _STRAIGHT_MM:
                return PassageEnd(face=face.name, opening=opening.name, at_mm=vec3(start), into=vec3(unit(way)))
    levers, steps = _middles(wall, face, start, _BENT_TO_MM)
    way = -np.array(face.frame.z)
    if len(levers) >= _LEAST_LEVERS:
        way = np.linalg.lstsq(np.stack([levers, levers**2], axis=1), steps, rcond=None)[0][0]
    return PassageEnd(face=face.name, opening=opening.name, at_mm=vec3(start), into=vec3(unit(way)))


def _middles(wall: Wall, face: JointFace, start: Array, far_mm: float) -> tuple[Array, Array]:
    """Depths (n,) under a face and how far the section's middle has moved from the opening's there (n, 3)."""
    z = np.array(face.frame.z)
    depths = np.linspace(far_mm / _LEVERS, far_mm, _LEVERS)
    found = [(d, _middle(wall, frame_from_normal(start - z * d, z, face.frame.x))) for d in depths]
    kept = [(d, middle - start) for d, middle in found if middle is not None]
    return np.array([d for d, _ in kept]), np.array([step for _, step in kept]).reshape(-1, 3)


def _middle(wall: Wall, frame: Frame) -> Array | None:
    cut = cut_at(wall, frame)
    return None if cut is None else frame.to_world(cut.centre_mm)


def cut_at(wall: Wall, frame: Frame) -> Cut | None:
    """The smallest closed section round the frame's origin, None where there is none."""
    found = [cut for cut in cuts(wall, frame) if _holds_origin(cut)]
    return min(found, key=lambda cut: cut.area_mm2, default=None)


def _holds_origin(cut: Cut) -> bool:
    return bool(shapely.Polygon(cut.points_mm).buffer(0.0).contains(shapely.Point(0.0, 0.0)))


def _walked(wall: Wall, ends: tuple[PassageEnd, PassageEnd], area_mm2: float) -> Array | None:
    """Middles (n, 3) of sections step by step from the first end to the last, both ends included.

    Where no section closes, by a leaning end or a bore from the side, the walk goes straight on. area_mm2 : of the larger end.
    """
    here, way = np.array(ends[0].at_mm), np.array(ends[0].into)
    goal = np.array(ends[1].at_mm)
    places, missed = [here], 0
    for _ in range(_MOST_STEPS):
        here = here + way * _STEP_MM
        if float(np.linalg.norm(goal - here)) < 2.0 * _STEP_MM:
            return np.array([*places, goal])
        cut = cut_at(wall, _across(here, way))
        missed = 0 if cut is not None and cut.area_mm2 < _WIDENS * area_mm2 else missed + 1
        if missed > _MOST_MISSED:
            return None
        if cut is not None and not missed:
            here = _across(here, way).to_world(cut.centre_mm)
            way = unit(here - places[-1])
            places.append(here)
    return None


def _across(place: Array, way: Array) -> Frame:
    return frame_from_normal(place, way, np.eye(3)[int(np.argmin(np.abs(way)))])


def _spline(places: Array, ends: tuple[PassageEnd, PassageEnd]) -> BSpline:
    """The cubic through the middles by chord length, entering and leaving as the ends say."""
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    s = np.concatenate([[0.0], np.cumsum(steps)])
    slopes = ([(1, np.array(ends[0].into))], [(1, -np.array(ends[1].into))])
    return make_interp_spline(s, places, k=3, bc_type=slopes)


def _span(line: BSpline) -> float:
    return float(line.t[-1])


def _recut(wall: Wall, line: BSpline, ends: tuple[PassageEnd, PassageEnd]) -> Array:
    """Middles of sections square to a line, evenly along it; those that do not close, near leaning ends, left out."""
    count = max(8, int(_span(line) / _STEP_MM))
    found = [np.array(ends[0].at_mm)]
    for place in np.linspace(0.0, _span(line), count + 1)[1:-1]:
        frame = _across(line(place), unit(line(place, 1)))
        cut = cut_at(wall, frame)
        if cut is not None and float(np.linalg.norm(cut.centre_mm)) < _STEP_MM:
            found.append(frame.to_world(cut.centre_mm))
    return np.array([*found, np.array(ends[1].at_mm)])


def _measured(
    wall: Wall,
    line: BSpline,
    ends: tuple[PassageEnd, PassageEnd],
    mouths: tuple[_Mouth, _Mouth],
    inside: frozenset[int],
) -> Passage:
    fine = np.linspace(0.0, _span(line), _FINE)
    points = line(fine)
    arc = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    s = np.linspace(0.0, arc[-1], STATIONS)
    place = np.interp(s, arc, fine)
    centre, first, second = line(place), line(place, 1), line(place, 2)
    speed = np.linalg.norm(first, axis=1)
    bend = np.linalg.norm(np.cross(first, second), axis=1) / speed**3
    tangent = first / speed[:, None]
    return Passage(
        name="",
        ends=ends,
        s_mm=s,
        centre_mm=centre,
        tangent=tangent,
        area_mm2=_areas(wall, s, centre, tangent, mouths),
        radius_mm=np.where(bend > _STRAIGHT_PER_MM, 1.0 / np.maximum(bend, _STRAIGHT_PER_MM), np.inf),
        inside=inside,
    )


def _areas(wall: Wall, s: Array, centre: Array, tangent: Array, mouths: tuple[_Mouth, _Mouth]) -> Array:
    """Section areas; at the ends the opening's as seen along the passage.

    Sections that do not close or that a side bore widens are bridged by straight lines.
    """
    ends = [
        opening.area_mm2 * abs(float(np.dot(face.frame.z, way)))
        for (face, opening), way in zip(mouths, (tangent[0], tangent[-1]), strict=True)
    ]
    found = [cut_at(wall, _across(place, way)) for place, way in zip(centre[1:-1], tangent[1:-1], strict=True)]
    closed = [(float(at), cut.area_mm2) for at, cut in zip(s[1:-1], found, strict=True) if cut is not None]
    usual = median_filter(np.array([area for _, area in closed]), _NEIGHBOURS, mode="nearest")
    even = [item for item, near in zip(closed, usual.tolist(), strict=True) if item[1] < _ODD_SHARE * near]
    places, areas = zip((float(s[0]), ends[0]), *even, (float(s[-1]), ends[1]), strict=True)
    return np.interp(s, places, areas)
