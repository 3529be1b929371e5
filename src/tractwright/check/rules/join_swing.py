"""A bent key turns its screw only if its long arm may swing."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.assembly import bodies_before
from tractwright.check.bodies import Crowd, crowd
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import AROUND_KEY_MM, along_and_off, envelope, key_way
from tractwright.design.records import Screw
from tractwright.geometry.frames import Array, unit
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head

_SWING_DEG = 60.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw that a key cannot reach straight: the widest sector its long arm may swing through."""
    for joint in case.design.joints:
        around = crowd(bodies_before(case.bodies, case.design, joint))
        for screw in case.design.screws:
            if screw.joint == joint.name and screw.head == "cap" and _is_bent(screw, around):
                yield Reading(
                    subject=f"screw.{screw.name}",
                    measured=_sector_deg(screw, around),
                    unit="deg",
                    at_least=_SWING_DEG,
                    at_mm=screw.seat_mm,
                    message="The bent key goes in but cannot be turned to its next hold: move the screw, raise its "
                    "seat, or clear a way for the arm.",
                )


def _is_bent(screw: Screw, around: Crowd) -> bool:
    """Whether only the short arm goes in."""
    space = envelope(screw)
    return space.bent_mm <= key_way(around, screw).mm < space.straight_mm


def _sector_deg(screw: Screw, around: Crowd) -> float:
    """The widest free sector about the screw at the height of the long arm [deg]."""
    space, key = envelope(screw), hex_key(screw_head(screw.head, screw.thread).key_mm)
    height = space.head_height_mm + space.bent_mm
    thick = key.across_corners_mm / 2 + AROUND_KEY_MM
    origin, outwards = np.array(screw.seat_mm), -np.array(screw.direction)
    points, _ = around.near(origin, outwards, key.long_arm_mm, height - thick)
    along, off = along_and_off(points, origin, outwards)
    hit = (np.abs(along - height) < thick) & (off < key.long_arm_mm) & (off > thick)
    if not hit.any():
        return 360.0
    angle, half = _angles(points[hit] - origin, outwards), np.arcsin(np.minimum(thick / off[hit], 1.0))
    return float(np.degrees(_widest_gap(angle - half, angle + half)))


def _angles(offset: Array, axis: Array) -> Array:
    """Angles (n,) about an axis."""
    across = unit(np.cross(axis, [1.0, 0.0, 0.0] if abs(axis[0]) < 0.9 else [0.0, 1.0, 0.0]))
    return np.arctan2(offset @ np.cross(axis, across), offset @ across)


def _widest_gap(start: Array, end: Array) -> float:
    """The widest gap that arcs leave of a circle."""
    order = np.argsort(start)
    start, end = start[order], np.maximum.accumulate(end[order])
    inner = float((start[1:] - end[:-1]).max()) if len(start) > 1 else 0.0
    return max(inner, float(start[0] + 2 * np.pi - end[-1]), 0.0)


RULE = Rule(
    id="join.swing",
    question="May a bent key swing far enough to be set again, where no straight one goes in?",
    limit="60 deg of free swing for its long arm; common practice",
    cure="move the screw, raise its seat, or another order of assembly",
    bites_at="join",
    needs="description",
    source="jis_b_4648",
    judge=judge,
)
