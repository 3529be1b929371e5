"""Hoses, what the old part carried, inserts, what stands out beside the throttle body."""

from collections.abc import Iterator

from tractwright.errors import TableError
from tractwright.job.cross_check import CrossCheck, CrossFault, named_once
from tractwright.job.sheet import JobSheet
from tractwright.standards.inserts import wire_insert, wire_insert_lengths

_USUAL_THREAD = "M8"
"""What the head's holes are taken for where no pattern says more."""


def hoses(sheet: JobSheet) -> Iterator[CrossFault]:
    """A hose, and a way that stays free, has two ends."""
    for kind, items in (("hose", sheet.room.hose), ("corridor", sheet.room.corridor)):
        for i, item in enumerate(items):
            if item.start_mm == item.end_mm:
                given = "[" + ", ".join(f"{value:g}" for value in item.end_mm) + "], the same as start"
                yield ("room", kind, i, "end"), given, "another place than start"


def names_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each thing that the old part carried has a name of its own."""
    yield from named_once(("room", "carried"), sheet.room.carried)


def insert_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """The insert is one the tables hold for the head's thread."""
    length = sheet.head.insert_mm
    if length is None:
        return
    name = sheet.pattern.screw_thread if sheet.pattern is not None else _USUAL_THREAD
    try:
        wire_insert(name, length)
    except TableError:
        known = ", ".join(f"{item:g}" for item in wire_insert_lengths(name))
        accepted = f"a length in the tables for {name}, in mm: {known or 'none is held'}"
        yield ("head", "insert"), f"{length:g} mm", accepted


def actuator_points_somewhere(sheet: JobSheet) -> Iterator[CrossFault]:
    """A direction points somewhere."""
    if sheet.throttle.actuator_towards is not None and not any(sheet.throttle.actuator_towards):
        yield ("throttle", "actuator_towards"), "[0, 0, 0]", "a direction, such as [0, 1, 0]"


CHECKS = (
    CrossCheck(("room.hose.start", "room.hose.end", "room.corridor.start", "room.corridor.end"), hoses),
    CrossCheck(("room.carried.name",), names_once),
    CrossCheck(("head.insert", "pattern.screw_thread"), insert_known),
    CrossCheck(("throttle.actuator_towards",), actuator_points_somewhere),
)
