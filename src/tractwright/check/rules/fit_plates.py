"""Rims, lugs, necks and screws' heads stand out further than the runners and the plenum they belong to."""

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal

import numpy as np

from tractwright.check.bodies import Body
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits, joint_of
from tractwright.check.told import too_near, without_hoses
from tractwright.design.records import Screw
from tractwright.design.room import HEAD_FACE, PackedRoom, clearance, nearest, pack, without
from tractwright.geometry.frames import Array, Vec3, frame_from_normal, vec3
from tractwright.standards.envelope import envelope_of

_FREE_MM = 1000.0
_AROUND = 12


def judge(case: Case) -> Iterator[Reading]:
    """One reading a flange, with the heads of the screws that sit on it, and one a throttle neck: the least room round it.
    Hoses are fit.hoses' to say, what runners and plenum come too near as well fit.room's.
    """
    limits = without(hard_limits(without_hoses(case)), HEAD_FACE)
    for name in too_near(case):
        limits = without(limits, name)
    room = pack(limits)
    for subject, points in _parts(case, room).items():
        distance, _ = clearance(room, points)
        worst = int(np.argmin(distance))
        least = min(float(distance[worst]), _FREE_MM)
        what = nearest(room, points[worst])[0] or "anything"
        yield Reading(
            subject=subject,
            measured=least,
            unit="mm",
            at_least=case.sheet.room.clearance_mm,
            broken="stop" if least < 0.0 else "look",
            at_mm=vec3(points[worst]),
            message=f"Its rim, or a screw's head on it, {'runs into' if least < 0.0 else 'comes near to'} {what}: move the "
            "plenum or that screw, turn the throttle, or allow more room there in the sheet.",
        )


def _parts(case: Case, room: PackedRoom) -> dict[str, Array]:
    """Points (n, 3) on each flange and neck that may be nearest; flanges of a split are fit.room's to say."""
    found = {
        body.subject: [_near(body, room)]
        for body in case.bodies
        if body.subject.startswith("throttle.") or (body.joint and joint_of(case, body.joint).kind != "split")
    }
    for screw in case.design.screws:
        for flange in case.design.flanges:
            if flange.joint == screw.joint and flange.piece != screw.tapped_in and f"flange.{flange.name}" in found:
                found[f"flange.{flange.name}"].append(_head_points(screw))
    return {subject: np.concatenate(points) for subject, points in found.items()}


def _near(body: Body, room: PackedRoom) -> Array:
    """Points (n, 3) of the groups that may hold the nearest: within their reach, distance changes no faster than place."""
    middle, _ = clearance(room, body.middle)
    if not np.isfinite(middle).all():
        return body.groups[0]
    return body.groups[middle - body.reach <= (middle + body.reach).min()].reshape(-1, 3)


def _head_points(screw: Screw) -> Array:
    """Points (n, 3) round the top of a screw's head."""
    return _head_top(screw.direction, screw.head, screw.thread, screw.washer) + np.array(screw.seat_mm)


@lru_cache(maxsize=64)
def _head_top(direction: Vec3, head: Literal["cap", "hex"], thread: str, washer: str) -> Array:
    """The same from the middle of its seat; the last ones asked for are kept."""
    space, outwards = envelope_of(head, thread, washer), -np.array(direction)
    hint = (0.0, 1.0, 0.0) if abs(outwards[0]) > abs(outwards[1]) else (1.0, 0.0, 0.0)
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    ring = space.head_radius_mm * np.column_stack([np.cos(turn), np.sin(turn), np.zeros(_AROUND)])
    return frame_from_normal(outwards * space.head_height_mm, outwards, hint).to_world(ring)


RULE = Rule(
    id="fit.plates",
    question="Is there room round every flange, its screws' heads and every throttle neck?",
    limit="room.clearance of the sheet a look, touching a stop: to planes, boxes, ways kept free and further scans",
    cure="another place for plenum, throttle or screw; less kept out",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
