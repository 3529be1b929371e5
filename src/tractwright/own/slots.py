"""Slotted holes followed from the face they open in: two half circles joined by straight lines, on every level."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, unit, vec3
from tractwright.kernel.body import Body, BodyFace
from tractwright.own.bores import passing
from tractwright.own.holes import Loop
from tractwright.own.records import Hole, HoleStep

WIDEST_SLOT_MM = 14.0
"""A wider opening with straight sides carries air, not a screw. Source: common_practice."""
_LONGEST = 1.5
"""A hole is slotted by no more than so many of its widths. Source: common_practice."""
_SAME_MM = 1e-3
_ALONG = 1e-5
_MOST_STEPS = 8


@dataclass(frozen=True, eq=False, slots=True)
class _Slot:
    """middle, way (3,): unit, along it; width_mm; longer_mm : than it is wide."""

    middle: Array
    way: Array
    width_mm: float
    longer_mm: float


def slot_from(body: Body, loop: Loop, face: int) -> Hole | None:
    """The slotted hole a loop of a plane face leads into; None where it is none. Read as a round hole as wide as the slot."""
    slot = _slot(loop)
    if slot is None or slot.width_mm > WIDEST_SLOT_MM or slot.longer_mm > _LONGEST * slot.width_mm:
        return None
    into = -np.array(body.faces[face].axis)
    rings = list(_followed(body, loop, face, slot, into))
    if not rings:
        return None
    steps = _steps(slot, rings)
    bore = min(steps, key=lambda step: step.first_mm)
    wide = max(steps, key=lambda step: step.first_mm)
    stepped = wide.first_mm > bore.first_mm + 0.5
    through = rings[-1][2]
    threads = passing(bore.first_mm) if through or stepped else ()
    return Hole(
        at_mm=vec3(slot.middle),
        into=vec3(into),
        steps=steps,
        bore_mm=bore.first_mm,
        depth_mm=steps[-1].to_mm if through else bore.to_mm,
        through=through,
        crossed=False,
        counterbore_mm=wide.first_mm if stepped else 0.0,
        seat_depth_mm=(wide.from_mm if wide.from_mm > bore.from_mm else wide.to_mm) if stepped else 0.0,
        mouth_mm=slot.width_mm,
        use="clearance" if threads else "plain",
        thread=threads[0] if threads else "",
        threads=threads,
        slot_mm=slot.longer_mm,
        slot_way=vec3(slot.way),
    )


def _slot(loop: Loop) -> _Slot | None:
    """A loop of two half circles alike and straight lines between their ends."""
    arcs = [use for use in loop if use.kind == "circle"]
    lines = [use for use in loop if use.kind == "line"]
    if len(arcs) + len(lines) != len(loop) or len(arcs) < 2 or len(lines) < 2:
        return None
    centres = np.array([use.centre_mm for use in arcs])
    sweeps = np.array([abs(use.sweep_rad) for use in arcs])
    radius, first = arcs[0].radius_mm, np.linalg.norm(centres - centres[0], axis=1) < _SAME_MM
    if any(abs(use.radius_mm - radius) > _SAME_MM for use in arcs) or first.all():
        return None
    far = centres[~first]
    half = np.pi - np.array([sweeps[first].sum(), sweeps[~first].sum()])
    if np.abs(half).max() > 1e-3 or np.linalg.norm(far - far[0], axis=1).max() > _SAME_MM:
        return None
    apart = far[0] - centres[0]
    return _Slot((far[0] + centres[0]) / 2.0, unit(apart), 2.0 * radius, float(np.linalg.norm(apart)))


def _followed(body: Body, loop: Loop, face: int, slot: _Slot, into: Array) -> Iterator[tuple[float, float, bool]]:
    """(depth, width beyond it, whether it is the outside) of every level under the face, until a floor or the outside."""
    seen, here = {face}, {use.other for use in loop if use.other >= 0}
    for _ in range(_MOST_STEPS):
        faces = [body.faces[k] for k in here]
        if any(float(np.dot(item.axis, into)) < -1.0 + _ALONG for item in faces if item.kind == "plane"):
            return
        seen |= here
        uses = [use for item in faces for run in item.loops for use in run if use.other >= 0]
        onwards = [use for use in uses if use.other not in seen]
        if not onwards:
            return
        depths = np.concatenate([(use.points_mm - slot.middle) @ into for use in onwards])
        if np.ptp(depths) > _SAME_MM:
            return
        beyond = [body.faces[use.other] for use in onwards]
        across = np.concatenate([use.points_mm for use in onwards]) - slot.middle
        side = np.cross(into, slot.way)
        outside = all(_is_outside(body, item, into) for item in beyond)
        yield float(depths.mean()), 2.0 * float(np.abs(across @ side).max()), outside
        if outside:
            return
        here = {use.other for use in onwards}


def _is_outside(body: Body, face: BodyFace, into: Array) -> bool:
    """Whether a face looks along the hole and the metal round it falls away again, not a seat in a wider slot."""
    if face.kind != "plane" or float(np.dot(face.axis, into)) < 1.0 - _ALONG:
        return False
    return not all(float(np.dot(use.into, into)) > 0.5 for use in face.loops[0])


def _steps(slot: _Slot, rings: list[tuple[float, float, bool]]) -> tuple[HoleStep, ...]:
    found: list[HoleStep] = []
    low, width = 0.0, slot.width_mm
    for depth, wide, _ in rings:
        if depth - low > _SAME_MM:
            found.append(HoleStep(first_mm=width, last_mm=wide, from_mm=low, to_mm=depth))
        low, width = depth, wide
    return tuple(found)


def ends_of(hole: Hole) -> Array:
    """Middles of a hole's two round ends (2, 3); the same twice where it is round."""
    aside = np.array(hole.slot_way) * hole.slot_mm / 2.0
    return np.stack([np.array(hole.at_mm) - aside, np.array(hole.at_mm) + aside])
