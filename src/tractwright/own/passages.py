"""Passages followed from opening to opening: centreline, area, bends, and how they enter the faces."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from scipy.interpolate import BSpline
from scipy.ndimage import median_filter

from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit, vec3
from tractwright.kernel.body import Body
from tractwright.own.records import Chamber, JointFace, Opening, Passage, PassageEnd
from tractwright.own.sections import Wall, wall_of
from tractwright.own.trace import STEP_MM, across, alone_line, arm_line, cut_at, span

STATIONS = 65
_STRAIGHT_TO_MM, _BENT_TO_MM, _LEVERS = (12.0, 8.0, 5.0), 3.0, 12
_STRAIGHT_MM = 0.02
_LEAST_LEVERS = 3
_BOTH_ENDS = 2
_FINE = 801
_STRAIGHT_PER_MM = 1e-4
_ODD_SHARE = 1.15
_ROOMY, _FULLER = 1.6, 1.15
"""A hollow is a chamber where it opens so many times as wide as all that runs into it, or holds so much more than tubes
between its openings would. Source: judgement."""
_LIP_DEG = 7.0
_NEIGHBOURS = 9

_Mouth = tuple[JointFace, Opening]
_Ends = tuple[PassageEnd, PassageEnd]
_Trace = Callable[[Wall, _Ends, float], BSpline | None]


def passages_and_chambers(body: Body, faces: Sequence[JointFace]) -> tuple[tuple[Passage, ...], tuple[Chamber, ...]]:
    """What every opening leads to: with one other opening a passage; several that run together into one, a passage each;
    else a chamber.
    """
    barred = frozenset(index for face in faces for index in face.faces)
    left: list[_Mouth] = [(face, opening) for face in faces for opening in face.openings]
    passages: list[Passage] = []
    chambers: list[Chamber] = []
    meetings = 0
    while left:
        inside = _flooded(body, left[0][1].inside, barred)
        here = [mouth for mouth in left if mouth[1].inside & inside]
        left = [mouth for mouth in left if not mouth[1].inside & inside]
        arms = _arms(body, here, inside)
        if arms:
            meetings += len(arms) > 1
            passages += [replace(arm, shared=meetings if len(arms) > 1 else 0) for arm in arms]
        else:
            chambers.append(Chamber(openings=tuple((face.name, o.name) for face, o in here), inside=inside))
    named = sorted(passages, key=lambda item: (item.ends[0].face, item.ends[0].opening))
    return tuple(_named(item, f"passage {k}") for k, item in enumerate(named, start=1)), tuple(chambers)


def _arms(body: Body, mouths: list[_Mouth], inside: frozenset[int]) -> list[Passage]:
    """The passages between openings that one hollow joins, none where it is a chamber: two openings, or all of one face's
    and the one opening of another face that they run into.
    """
    counts = Counter(face.name for face, _ in mouths)
    alone = [mouth for mouth in mouths if counts[mouth[0].name] == 1]
    if len(mouths) == _BOTH_ENDS:
        alone_passage = _passage(body, mouths[0], mouths[1], inside, alone_line)
        return [] if alone_passage is None else [alone_passage]
    if len(counts) != _BOTH_ENDS or len(alone) != 1:
        return []
    arms = [mouth for mouth in mouths if mouth is not alone[0]]
    if alone[0][1].area_mm2 > _ROOMY * sum(opening.area_mm2 for _, opening in arms):
        return []
    found: list[Passage] = []
    for mouth in arms:
        arm = _passage(body, mouth, alone[0], inside, arm_line)
        if arm is None:
            return []
        found.append(arm)
    tubes = sum(float(np.trapezoid(arm.area_mm2, arm.s_mm)) for arm in found)
    return found if _hollow_mm3(body, mouths, inside) < _FULLER * tubes else []


def _hollow_mm3(body: Body, mouths: list[_Mouth], inside: frozenset[int]) -> float:
    """Volume of a hollow between its walls and its openings, by the divergence theorem."""
    corners = wall_of(body, inside).corners_mm
    walls = float(np.sum(corners[:, 0] * np.cross(corners[:, 1], corners[:, 2]))) / 6.0
    caps = sum(o.area_mm2 * float(np.dot(face.frame.origin_mm, face.frame.z)) / 3.0 for face, o in mouths)
    return caps - walls


def _flooded(body: Body, start: frozenset[int], barred: frozenset[int]) -> frozenset[int]:
    """Faces reached across edges without going through a joint face."""
    seen, here = set(start), set(start)
    while here:
        here = {u.other for i in here for loop in body.faces[i].loops for u in loop if u.other >= 0} - seen - barred
        seen |= here
    return frozenset(seen)


def _named(passage: Passage, name: str) -> Passage:
    return replace(passage, name=name)


def _passage(body: Body, first: _Mouth, last: _Mouth, inside: frozenset[int], traced: _Trace) -> Passage | None:
    """None where no closed section leads from one opening to the other."""
    wall = wall_of(body, inside)
    ends = (_end(wall, *first), _end(wall, *last))
    line = traced(wall, ends, max(first[1].area_mm2, last[1].area_mm2))
    return None if line is None else _measured(wall, line, ends, (first, last), inside)


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


def _measured(
    wall: Wall,
    line: BSpline,
    ends: _Ends,
    mouths: tuple[_Mouth, _Mouth],
    inside: frozenset[int],
) -> Passage:
    fine = np.linspace(0.0, span(line), _FINE)
    points = line(fine)
    arc = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    s = np.linspace(0.0, arc[-1], STATIONS)
    place = np.interp(s, arc, fine)
    centre, first, second = line(place), line(place, 1), line(place, 2)
    speed = np.linalg.norm(first, axis=1)
    bend = np.linalg.norm(np.cross(first, second), axis=1) / speed**3
    tangent = first / speed[:, None]
    areas = _areas(wall, s, centre, tangent, mouths)
    return Passage(
        name="",
        ends=ends,
        s_mm=s,
        centre_mm=centre,
        tangent=tangent,
        area_mm2=areas,
        lips_mm=(_lip(s, areas), _lip(s, areas[::-1])),
        radius_mm=np.where(bend > _STRAIGHT_PER_MM, 1.0 / np.maximum(bend, _STRAIGHT_PER_MM), np.inf),
        inside=inside,
    )


def _lip(s: Array, area: Array) -> float:
    """How far in an opening narrows faster than a passage does: its rounding or chamfer; 0 where that goes on for more than
    half a bore, for then it is a taper.
    """
    bore = np.sqrt(4.0 * area / np.pi)
    narrows = np.degrees(2.0 * np.arctan(-np.diff(bore) / np.diff(s) / 2.0)) > _LIP_DEG
    steps = int(np.argmin(narrows)) if not narrows.all() else len(narrows)
    return float(s[steps]) if s[steps] <= float(bore[-1]) / 2.0 else 0.0


def _areas(wall: Wall, s: Array, centre: Array, tangent: Array, mouths: tuple[_Mouth, _Mouth]) -> Array:
    """Section areas; at the ends the opening's as seen along the passage.

    Sections that do not close or that a side bore widens are bridged by straight lines.
    """
    ends = [
        opening.area_mm2 * abs(float(np.dot(face.frame.z, way)))
        for (face, opening), way in zip(mouths, (tangent[0], tangent[-1]), strict=True)
    ]
    found = [cut_at(wall, across(place, way)) for place, way in zip(centre[1:-1], tangent[1:-1], strict=True)]
    closed = [
        (float(at), cut.area_mm2)
        for at, cut in zip(s[1:-1], found, strict=True)
        if cut is not None and float(np.linalg.norm(cut.centre_mm)) < 2.0 * STEP_MM
    ]
    usual = median_filter(np.array([area for _, area in closed]), _NEIGHBOURS, mode="nearest")
    even = [item for item, near in zip(closed, usual.tolist(), strict=True) if item[1] < _ODD_SHARE * near]
    places, areas = zip((float(s[0]), ends[0]), *even, (float(s[-1]), ends[1]), strict=True)
    return np.interp(s, places, areas)
