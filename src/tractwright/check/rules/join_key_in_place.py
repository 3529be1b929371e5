"""Keys against what stands on the engine: screws that are turned with the part in its place."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.assembly import bodies_after
from tractwright.check.bodies import crowd
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits
from tractwright.check.screw_distances import AROUND_KEY_MM, envelope, key_way
from tractwright.design.pattern import Room
from tractwright.design.records import Joint, Screw
from tractwright.design.room import HEAD_FACE, PackedRoom, clearance, nearest, pack, without
from tractwright.geometry.frames import Array, vec3

_STEP_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint that is tightened on the engine: the screw over which the room leaves its key least way."""
    room = pack(_standing(case))
    for joint in _in_place(case):
        screws = [screw for screw in case.design.screws if screw.joint == joint.name and not _stands_in(room, screw)]
        found = {screw.name: _free(room, screw) for screw in screws}
        if not found:
            continue
        least = {screw.name: envelope(screw).bent_mm for screw in screws}
        worst = min(found, key=lambda name: found[name][0] - least[name])
        free, place = found[worst]
        yield Reading(
            subject=f"screw.{worst}",
            measured=free,
            unit="mm",
            at_least=least[worst],
            at_mm=vec3(place),
            message=f"On the engine {nearest(room, place)[0] or 'nothing'} stands over this screw and no key gets at it: move "
            "one of the two, or take that off first.",
        )


def _standing(case: Case) -> Room:
    """What stands there, the head's face and ways that stay free left out: a key may go along those."""
    room = without(hard_limits(case.room), HEAD_FACE)
    for corridor in case.sheet.room.corridor:
        room = without(room, corridor.name)
    return room


def _in_place(case: Case) -> list[Joint]:
    """Joints to the engine; all others, too, where what they bring covers a screw of those."""
    heads = [joint for joint in case.design.joints if joint.kind == "head"]
    for joint in heads:
        after = bodies_after(case.bodies, case.design, joint)
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        if after and any(key_way(crowd(after), screw).mm < envelope(screw).bent_mm for screw in screws):
            return list(case.design.joints)
    return heads


def _stands_in(room: PackedRoom, screw: Screw) -> bool:
    """Whether the middle of the head's top lies in what stands there: fit.plates says so."""
    top = np.array(screw.seat_mm) - envelope(screw).head_height_mm * np.array(screw.direction)
    return float(clearance(room, top[None, :])[0][0]) < 0.0


def _free(room: PackedRoom, screw: Screw) -> tuple[float, Array]:
    """Free length over a screw's head for its key [mm], and where that ends."""
    space, outwards = envelope(screw), -np.array(screw.direction)
    along = np.arange(0.0, space.straight_mm + _STEP_MM, _STEP_MM)
    line = np.array(screw.seat_mm) + (space.head_height_mm + along)[:, None] * outwards
    distance, _ = clearance(room, line)
    blocked = distance < space.key_radius_mm + AROUND_KEY_MM
    if not blocked.any():
        return float(space.straight_mm), line[-1]
    first = int(np.argmax(blocked))
    return float(max(0.0, along[first] - _STEP_MM)), line[first]


RULE = Rule(
    id="join.key_in_place",
    question="Does what stands on the engine leave room for a key over every screw that is turned there?",
    limit="the short arm of the key, less the socket's depth, free over the head, 0.5 mm round it",
    cure="move the screw or what stands there; a standoff",
    bites_at="join",
    needs="description",
    source="jis_b_4648",
    judge=judge,
)
