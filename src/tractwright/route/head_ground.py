"""What stands where the head's pattern puts metal: neither the flange there nor its screws' heads can give way to it."""

from math import ceil

import numpy as np

from tractwright.design.outside import plate_points
from tractwright.design.pattern import Room
from tractwright.design.records import Design, Screw
from tractwright.design.room import HEAD_FACE, clearance
from tractwright.geometry.frames import Array, frame_from_normal
from tractwright.route.demands import key_of_thing
from tractwright.route.nearest import farther
from tractwright.route.records import Contradiction, JobFacts
from tractwright.standards.envelope import envelope_of

_TOUCHING_MM = -0.05
_AROUND = 12


def on_the_head(design: Design, facts: JobFacts) -> tuple[Contradiction, ...]:
    """A contradiction for each thing that the sheet keeps out and that stands in the head flange or in a head screw's head."""
    points, room = _points(design), facts.room
    things = [item.name for item in (*room.planes, *room.boxes, *room.rods) if item.name != HEAD_FACE]
    found: list[Contradiction] = []
    for name in dict.fromkeys(things) if len(points) else ():
        least, key = float(clearance(_only(room, name), points)[0].min()), key_of_thing(facts, name)
        if least < _TOUCHING_MM and key:
            found.append(_told(key, facts, ceil(-least) + facts.sheet.room.clearance_mm))
    return tuple(found)


def _told(key: str, facts: JobFacts, by_mm: float) -> Contradiction:
    words = (
        "Without it all else can be met: it stands in the flange on the head, or in its screws or channels, whose places the "
        f"sheet says. Nearest: {farther(key, facts, by_mm)}."
    )
    return Contradiction(demands=(key,), best_found=words)


def _only(room: Room, name: str) -> Room:
    return Room(
        planes=tuple(item for item in room.planes if item.name == name),
        boxes=tuple(item for item in room.boxes if item.name == name),
        grids=(),
        rods=tuple(item for item in room.rods if item.name == name),
    )


def _points(design: Design) -> Array:
    """Points (n, 3) on the flanges on the head and round the tops of their screws' heads."""
    heads = {joint.name for joint in design.joints if joint.kind == "head"}
    plates = [plate_points(flange) for flange in design.flanges if flange.joint in heads]
    tops = [_top(screw) for screw in design.screws if screw.joint in heads]
    return np.concatenate([np.empty((0, 3)), *plates, *tops])


def _top(screw: Screw) -> Array:
    space, outwards = envelope_of(screw.head, screw.thread, screw.washer), -np.array(screw.direction)
    hint = (0.0, 1.0, 0.0) if abs(outwards[0]) > abs(outwards[1]) else (1.0, 0.0, 0.0)
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    ring = space.head_radius_mm * np.column_stack([np.cos(turn), np.sin(turn), np.zeros(_AROUND)])
    seat = np.array(screw.seat_mm) + outwards * space.head_height_mm
    return frame_from_normal(seat, outwards, hint).to_world(ring)
