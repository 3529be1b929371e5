"""A draft of the sheet's tables from what was found: ports, screws, room, with how sure each is, to be put in and corrected."""

from collections.abc import Iterator

import numpy as np

from tractwright.design.pattern import Pattern, Room
from tractwright.design.room import HEAD_FACE
from tractwright.geometry.frames import vec3
from tractwright.geometry.outlines import Outline


def sheet_draft(pattern: Pattern, room: Room) -> str:
    """The text of [pattern] and [room], as a sheet may hold it."""
    lines = [
        "# Drafted from what was found. Facts of the sheet win over scan, gasket and callipers: keep what you have checked,",
        "# take out what you have not. Beside each value: how sure it is, from 0 to 1.",
        "",
        *_banks(pattern),
        *_pattern(pattern),
        *_room(room),
    ]
    return "\n".join(lines) + "\n"


def _banks(pattern: Pattern) -> Iterator[str]:
    """The heads of an engine with two."""
    for bank in pattern.banks if len(pattern.banks) > 1 else ():
        own = [port for port in pattern.ports if port.bank == bank.name]
        along = sorted(own, key=lambda port: bank.frame.x[0] * port.at_mm[0])
        numbers = dict.fromkeys(number for port in along for number in port.cylinders)
        yield "[[bank]]"
        yield f'side = "{bank.name}"'
        yield f"cylinders = [{', '.join(map(str, numbers))}]"
        yield f"rise = {_n(float(np.degrees(np.arctan2(bank.frame.z[1], abs(bank.frame.z[2])))))}    # degrees"
        yield f"from_middle = {_n(abs(bank.frame.origin_mm[2]))}"
        yield f"offset = {_n(bank.frame.origin_mm[0])}"
        yield ""


def _pattern(pattern: Pattern) -> Iterator[str]:
    """The ports and holes of the head; of two, which are alike, those of the first."""
    head, alone = pattern.banks[0], len(pattern.banks) == 1
    ports = [port for port in pattern.ports if port.bank == head.name]
    first = ports[0]
    yield "[pattern]"
    yield from _outline(first.outline)
    yield f"port_turn = {_n(first.turn_deg)}"
    yield f"port_rise = {_n(_rise(first.axis if alone else vec3(head.frame.matrix() @ np.array(first.axis))))}    # degrees"
    if pattern.head_holes:
        yield f'screw_thread = "{pattern.head_holes[0].thread}"    # by the clearance holes: check it in the head'
    for port in ports:
        yield ""
        yield "[[pattern.port]]"
        yield f"at = [{_n(port.at_mm[0])}, {_n(port.at_mm[1])}]    # {port.name}, {_sure(pattern, f'port {port.name} ')}"
        if alone:
            yield f"cylinders = [{', '.join(str(number) for number in port.cylinders)}]"
    taken = {item.at_mm: item.why for item in pattern.probable if item.taken}
    for hole in (hole for hole in pattern.head_holes if hole.bank == head.name):
        said = f"probable only: {taken[hole.at_mm]}" if hole.at_mm in taken else _sure(pattern, f"hole {hole.name} ")
        yield ""
        yield "[[pattern.screw]]"
        yield f"at = [{_n(hole.at_mm[0])}, {_n(hole.at_mm[1])}]    # {hole.name}, {said}"
        if hole.stud:
            yield "stud = true"


def _outline(outline: Outline) -> Iterator[str]:
    yield f'port_shape = "{outline.kind}"'
    yield f"port_width = {_n(outline.width_mm)}"
    yield f"port_height = {_n(outline.height_mm)}"
    if outline.kind in ("rounded_rectangle", "d"):
        yield f"port_corner_radius = {_n(outline.corner_radius_mm)}"
    if outline.kind == "d":
        yield f"port_lower_corner_radius = {_n(outline.lower_corner_radius_mm)}"
    if outline.kind == "loop":
        points = ", ".join(f"[{_n(x)}, {_n(y)}]" for x, y in outline.points_mm)
        yield f"port_points = [{points}]"


def _room(room: Room) -> Iterator[str]:
    """The old part's box as a remark, and the planes and boxes there are."""
    yield ""
    yield "[room]"
    if room.old_part is not None:
        low, high = room.old_part[0].min(axis=0), room.old_part[0].max(axis=0)
        sides = ", ".join(f"{axis} {_n(a)} to {_n(b)}" for axis, a, b in zip("xyz", low, high, strict=True))
        yield f"# the old part took up {sides}; say how far the new one may stand out of it"
        yield "# around_old_part = 15"
    for plane in room.planes:
        if plane.name == HEAD_FACE:
            continue
        yield ""
        yield "[[room.plane]]"
        yield f'name = "{plane.name}"'
        yield f"normal = [{', '.join(_n(value) for value in plane.normal)}]"
        yield f"offset = {_n(plane.offset_mm)}"
    for box in room.boxes:
        yield ""
        yield "[[room.box]]"
        yield f'name = "{box.name}"'
        yield f"low = [{', '.join(_n(value) for value in box.low_mm)}]"
        yield f"high = [{', '.join(_n(value) for value in box.high_mm)}]"


def _rise(axis: tuple[float, float, float]) -> float:
    return float(np.degrees(np.arctan2(axis[1], axis[2])))


def _sure(pattern: Pattern, start: str) -> str:
    found = [item.sure for item in pattern.measurements if item.what.startswith(start)]
    return f"sure {min(found):.2f}" if found else "by the sheet"


def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
