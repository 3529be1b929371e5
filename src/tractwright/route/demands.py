"""The demands of a job that its user may drop: by the sheet's keys, or by the path of a number held in design.toml."""

from dataclasses import replace

import numpy as np

from tractwright.design.file import Held
from tractwright.design.pattern import DistanceGrid, KeepOutBox, KeepOutPlane
from tractwright.design.room import HEAD_FACE, MIDDLE_PLANE, without
from tractwright.job.sheet import is_said, without_key
from tractwright.route.modest import swept_l
from tractwright.route.records import JobFacts

LENGTH = "runner.length"
OLD_PART = "room.around_old_part"
_POSE = ("plenum.at", "plenum.direction", "throttle.at", "throttle.direction")
_SIZES = (
    "plenum.volume",
    "room.clearance",
    "runner.neighbour_gap",
    "runner.bore",
    "runner.wall",
    "runner.lip_radius",
    "throttle.bore",
    "throttle.neck",
    "throttle.place",
    "throttle.pitch",
    "throttle.body_length",
    "throttle.trumpet",
    "throttle.bell",
    "head.flange",
    "plenum.wall",
)
"""Keys that make a manifold larger, or keep it apart from things, where the sheet says them."""
_HELD_SIZES = ("plenum.", "throttle.", "flange.", "runner.")
_FOR_A_VOLUME = 1.25
"""A silent sheet gets a plenum that may shrink to at most this many displacements."""


def room_and_pose(facts: JobFacts) -> tuple[str, ...]:
    """What keeps the part where it is: things of the room, the space of the old part, where the plenum shall sit."""
    planes = [f"room.plane.{plane.name}" for plane in _planes(facts)]
    boxes = [f"room.box.{box.name}" for box in facts.room.boxes]
    old = [OLD_PART] if facts.room.grids else []
    return (*planes, *boxes, *_rods(facts), *old, *(key for key in _POSE if is_said(facts.sheet, key)))


def sizes(facts: JobFacts) -> tuple[str, ...]:
    """Sizes that the sheet says or design.toml holds."""
    held = [path for path in facts.held.held_paths() if path.startswith(_HELD_SIZES) and not _is_length(path)]
    said = (key for key in _SIZES if is_said(facts.sheet, key) and _may_be_silent(facts, key))
    return (*said, *held)


def _may_be_silent(facts: JobFacts, key: str) -> bool:
    """That throttle bodies sit on the mouths is another manifold, not a size."""
    return key != "throttle.place" or not facts.sheet.throttle.on_mouths


def lengths(facts: JobFacts) -> tuple[str, ...]:
    """The length the sheet says, and each that design.toml holds."""
    said = [LENGTH] if is_said(facts.sheet, LENGTH) else []
    return (*said, *(path for path in facts.held.held_paths() if _is_length(path)))


def dropped(facts: JobFacts, key: str) -> JobFacts:
    """The job without a demand: the sheet silent on it, the thing away, the number no longer held."""
    if key in facts.held.values:
        values = {path: value for path, value in facts.held.values.items() if path != key}
        return facts.with_held(Held(values=values, wishes=facts.held.wishes))
    if key == OLD_PART:
        return replace(facts, room=replace(facts.room, grids=()))
    silent = replace(facts, sheet=without_key(facts.sheet, key))
    if key.startswith("room.") and key.count(".") > 1:
        return replace(silent, room=without(facts.room, key.split(".", 2)[2]))
    return _most_modest(silent) if key == "plenum.volume" else silent


def is_thing(key: str) -> bool:
    """Whether a demand is a thing of the room, which may be moved off bit by bit."""
    return key == OLD_PART or key.startswith(("room.plane.", "room.box."))


def key_of_thing(facts: JobFacts, name: str) -> str:
    """The key of a thing kept out, by its name; '' for what no one can drop."""
    if name in {plane.name for plane in _planes(facts)}:
        return f"room.plane.{name}"
    if name in {box.name for box in facts.room.boxes}:
        return f"room.box.{name}"
    rods = {key.split(".", 2)[2]: key for key in _rods(facts)}
    return rods.get(name, OLD_PART if name in {grid.name for grid in facts.room.grids} else "")


def eased(facts: JobFacts, key: str, by_mm: float) -> JobFacts:
    """The job with a thing of the room so much farther off: a plane moved, a box shrunk, the old part's space grown."""
    _, kind, name = (*key.split(".", 2), "")[:3]
    room = facts.room
    if kind == "plane":
        return replace(facts, room=replace(room, planes=tuple(_moved(p, name, by_mm) for p in room.planes)))
    if kind == "box":
        shrunk = tuple(box for box in (_shrunk(b, name, by_mm) for b in room.boxes) if box is not None)
        return replace(facts, room=replace(room, boxes=shrunk))
    return replace(facts, room=replace(room, grids=tuple(_wider(grid, by_mm) for grid in room.grids)))


def _planes(facts: JobFacts) -> tuple[KeepOutPlane, ...]:
    return tuple(plane for plane in facts.room.planes if plane.name not in (HEAD_FACE, MIDDLE_PLANE))


def _rods(facts: JobFacts) -> list[str]:
    """Hoses and ways that stay free: they are given up whole, for no one knows which way they could go."""
    space = facts.sheet.room
    return [
        *(f"room.hose.{item.name}" for item in space.hose),
        *(f"room.corridor.{item.name}" for item in space.corridor),
    ]


def _most_modest(facts: JobFacts) -> JobFacts:
    """With the plenum that is the least, whatever the air stage would want in a sheet that does not say."""
    if facts.sheet.engine is None:
        return facts
    litres = min(_FOR_A_VOLUME * swept_l(facts.sheet.engine), facts.wanted.plenum_volume_l)
    return replace(facts, wanted=replace(facts.wanted, plenum_volume_l=litres))


def _is_length(path: str) -> bool:
    return path.startswith("runner.") and path.endswith(".length_mm")


def _moved(plane: KeepOutPlane, name: str, by_mm: float) -> KeepOutPlane:
    if plane.name != name:
        return plane
    return replace(plane, offset_mm=plane.offset_mm - by_mm * float(np.linalg.norm(plane.normal)))


def _shrunk(box: KeepOutBox, name: str, by_mm: float) -> KeepOutBox | None:
    if box.name != name:
        return box
    low, high = np.array(box.low_mm) + by_mm, np.array(box.high_mm) - by_mm
    if (low >= high).any():
        return None
    return replace(box, low_mm=tuple(low.tolist()), high_mm=tuple(high.tolist()))


def _wider(grid: DistanceGrid, by_mm: float) -> DistanceGrid:
    return replace(grid, values=grid.values + np.float32(by_mm))
