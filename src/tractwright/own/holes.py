"""Round holes followed from the face they open in: every step of them, where they end, what their bore is for."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.kernel.body import Body, BodyFace, EdgeUse
from tractwright.own.bores import likely_use, pipe_threads
from tractwright.own.records import Hole, HoleStep

WIDEST_HOLE_MM = 22.0
"""A wider round opening carries air, not a screw. Source: common_practice."""

_SAME_MM = 1e-3
_ALONG = 1e-5
_MOST_STEPS = 12
_COUNTERSUNK = 1.5
"""A thread's chamfer is a little wider than the thread; a countersink for a head is twice as wide. Source: common_practice."""
Loop = tuple[EdgeUse, ...]


@dataclass(frozen=True, eq=False, slots=True)
class _Line:
    """A hole's axis: a place on the face and the way into the metal."""

    at: Array
    into: Array

    def holds(self, place: Vec3) -> bool:
        return float(np.linalg.norm(np.cross(np.array(place) - self.at, self.into))) < _SAME_MM

    def along(self, way: Vec3) -> bool:
        return abs(abs(float(np.dot(self.into, way))) - 1.0) < _ALONG

    def depth(self, place: Vec3) -> float:
        return float((np.array(place) - self.at) @ self.into)


@dataclass(frozen=True, slots=True)
class _Ring:
    depth: float
    radius: float


@dataclass(frozen=True, slots=True)
class _Course:
    """Rings from the face inwards, whether the hole comes out again, whether it ends in a point, whether it is cut into."""

    rings: tuple[_Ring, ...]
    through: bool
    point: bool
    crossed: bool


def is_round(loop: Loop) -> bool:
    """Whether a loop is one whole circle."""
    first = loop[0]
    if any(use.kind != "circle" for use in loop):
        return False
    same = all(
        abs(use.radius_mm - first.radius_mm) < _SAME_MM
        and float(np.linalg.norm(np.subtract(use.centre_mm, first.centre_mm))) < _SAME_MM
        for use in loop
    )
    return same and abs(sum(abs(use.sweep_rad) for use in loop) - 2.0 * np.pi) < 1e-3


def hole_from(body: Body, loop: Loop, face: int) -> Hole | None:
    """The hole a round loop of a plane face leads into; None where it is none: too wide, or its walls are not round."""
    if not is_round(loop) or 2.0 * loop[0].radius_mm > WIDEST_HOLE_MM:
        return None
    line = _Line(np.array(loop[0].centre_mm), -np.array(body.faces[face].axis))
    course = _followed(body, loop, face, line)
    if course is None or len(course.rings) < 2:
        return None
    return _hole(line, course)


def _followed(body: Body, loop: Loop, face: int, line: _Line) -> _Course | None:
    rings = [_Ring(0.0, loop[0].radius_mm)]
    seen = {face}
    here = {use.other for use in loop}
    crossed = False
    for _ in range(_MOST_STEPS):
        faces = [body.faces[i] for i in here if i >= 0]
        if not faces or not all(_turned(item, line) for item in faces):
            return None if len(rings) == 1 else _Course(tuple(rings), True, False, True)
        if any(_comes_out(body, item, line, rings[-1]) for item in faces):
            return _Course(tuple(rings), True, False, crossed)
        seen |= here
        uses = [use for item in faces for run in item.loops for use in run if use.other not in here and use.other >= 0]
        astray = [use for use in uses if not _coaxial(use, line)]
        crossed |= bool(astray)
        onwards = [use for use in uses if _coaxial(use, line) and use.other not in seen]
        if not onwards and astray and len(rings) == 1:
            met = min(line.depth(vec3(place)) for use in astray for place in use.points_mm)
            return _Course((*rings, _Ring(met, rings[-1].radius)), True, False, True)
        if not onwards:
            return _Course(tuple(rings), False, any(item.kind == "cone" for item in faces), crossed)
        rings.append(_Ring(line.depth(onwards[0].centre_mm), onwards[0].radius_mm))
        here = {use.other for use in onwards}
    return None


def _turned(face: BodyFace, line: _Line) -> bool:
    """Whether a face is one of revolution about the line, or square to it."""
    if face.kind == "plane":
        return line.along(face.axis)
    if face.kind == "sphere":
        return line.holds(face.origin_mm)
    return face.kind in ("cylinder", "cone", "torus") and line.along(face.axis) and line.holds(face.origin_mm)


def _coaxial(use: EdgeUse, line: _Line) -> bool:
    return use.kind == "circle" and line.along(use.axis) and line.holds(use.centre_mm)


def _comes_out(body: Body, face: BodyFace, line: _Line, ring: _Ring) -> bool:
    """Whether a plane face looking along the hole is the outside of the metal, not the floor of a wider bore beyond."""
    if face.kind != "plane" or float(np.dot(face.axis, line.into)) < 0.0:
        return False
    outer = face.loops[0]
    if not all(_coaxial(use, line) for use in outer):
        return True
    wider = [body.faces[use.other] for use in outer if use.other >= 0]
    return not all(item.hollow and _turned(item, line) for item in wider)


def _hole(line: _Line, course: _Course) -> Hole:
    rings = course.rings
    steps = tuple(
        HoleStep(first_mm=2 * a.radius, last_mm=2 * b.radius, from_mm=a.depth, to_mm=b.depth)
        for a, b in pairwise(rings)
        if b.depth - a.depth > _SAME_MM
    )
    straight = [step for step in steps if abs(step.first_mm - step.last_mm) < 2 * _SAME_MM] or list(steps)
    bore = min(straight, key=lambda step: step.first_mm)
    wide = max(straight, key=lambda step: step.first_mm)
    stepped = wide.first_mm > bore.first_mm + 0.5 and wide is not bore
    seat = (wide.from_mm if wide.from_mm > bore.from_mm else wide.to_mm) if stepped else 0.0
    depth = rings[-1].depth if course.through else bore.to_mm
    use, threads = likely_use(
        bore.first_mm, depth, course.through, stepped, tapered=1.0 < steps[0].first_mm / bore.first_mm < _COUNTERSUNK
    )
    if pipe := pipe_threads(steps):
        use, threads = "pipe", pipe
    return Hole(
        at_mm=vec3(line.at),
        into=vec3(line.into),
        steps=steps,
        bore_mm=bore.first_mm,
        depth_mm=depth,
        through=course.through,
        crossed=course.crossed,
        counterbore_mm=wide.first_mm if stepped else 0.0,
        seat_depth_mm=seat,
        mouth_mm=2 * rings[0].radius,
        use=use,
        thread=threads[0] if threads and use in ("tapped", "clearance", "pipe") else "",
        threads=threads,
    )


def without_twins(holes: Sequence[Hole]) -> tuple[Hole, ...]:
    """Holes read from both ends kept once: the first of each axis whose depths overlap."""
    kept: list[Hole] = []
    for hole in holes:
        if not any(one_hole(hole, other) for other in kept):
            kept.append(hole)
    return tuple(kept)


def one_hole(one: Hole, two: Hole) -> bool:
    """Whether two readings, from either end, are of the same hole."""
    line = _Line(np.array(one.at_mm), np.array(one.into))
    if not line.along(two.into) or not line.holds(two.at_mm):
        return False
    start = line.depth(two.at_mm)
    end = start + two.depth_mm * float(np.dot(one.into, two.into))
    low, high = min(start, end), max(start, end)
    return low < one.depth_mm - _SAME_MM and high > _SAME_MM
