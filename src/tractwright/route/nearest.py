"""The nearest job that can be had, in a machinist's words."""

import numpy as np

from tractwright.route.demands import LENGTH, OLD_PART
from tractwright.route.records import Courses, JobFacts


def out_of_the_way(key: str) -> str:
    """Where a small move does not help."""
    return f"{_thing(key)} out of the way altogether"


def farther(key: str, facts: JobFacts, by_mm: float) -> str:
    """How far a thing of the room must move off."""
    if key == OLD_PART:
        around = facts.sheet.room.around_old_part_mm
        return f"up to {around + by_mm:.0f} mm out of the old part's space instead of {around:.0f} mm"
    if key.startswith("room.box."):
        sides = [np.subtract(box.high_mm, box.low_mm) for box in facts.room.boxes if box.name == _thing(key)]
        if any(side.min() <= 2.0 * by_mm for side in sides):
            return out_of_the_way(key)
        return f"the box of {_thing(key)} {by_mm:.0f} mm smaller on every side"
    return f"{_thing(key)} {by_mm:.0f} mm farther off"


def as_found(key: str, facts: JobFacts, free: Courses) -> tuple[str, float]:
    """What became of a demand that was given up, and how far that is from it as a share."""
    courses = {course.name: course.length_mm for course in free.solution.courses}
    if key == LENGTH or key.endswith(".length_mm"):
        wanted = facts.held.number(key, facts.wanted.length_mm)
        reached = courses.get(key.split(".")[1], sum(courses.values()) / len(courses))
        what = "runners" if key == LENGTH else f"runner {key.split('.')[1]}"
        return f"{what} {reached:.0f} mm long instead of {wanted:.0f} mm", abs(1.0 - reached / wanted)
    frame = free.solution.frames[free.chamber.name].moved((0.0, 0.0, free.chamber.floor_mm))
    if key in ("plenum.at", "throttle.at"):
        return f"the row of mouths about [{', '.join(f'{x:.0f}' for x in frame.origin_mm)}]", 1.0
    if key in ("plenum.direction", "throttle.direction"):
        return f"the mouths facing [{', '.join(f'{x:.2f}' for x in frame.z)}]", 1.0
    if key.startswith(("room.hose.", "room.corridor.")):
        return out_of_the_way(key), 1.0
    return f"{key} left to the tool", 1.0


def _thing(key: str) -> str:
    return "the space of the old part" if key == OLD_PART else key.split(".", 2)[2]
