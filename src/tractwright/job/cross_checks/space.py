"""Room, plenum and shop: directions, boxes, names."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.lines import KeyPath
from tractwright.job.sheet import JobSheet


def boxes(sheet: JobSheet) -> Iterator[CrossFault]:
    """A box's low corner lies below its high corner in each of x, y and z."""
    for i, box in enumerate(sheet.room.box):
        turned = [axis for axis, low, high in zip("xyz", box.low_mm, box.high_mm, strict=True) if low >= high]
        if turned:
            given = f"low {_spelled(box.low_mm)} with high {_spelled(box.high_mm)}"
            yield ("room", "box", i, "low"), given, f"low less than high in {' and '.join(turned)}"


def normals(sheet: JobSheet) -> Iterator[CrossFault]:
    """A plane's normal points somewhere."""
    for i, plane in enumerate(sheet.room.plane):
        if not any(plane.normal):
            yield ("room", "plane", i, "normal"), "[0, 0, 0]", "a direction, such as [0, -1, 0]"


def plenum_direction(sheet: JobSheet) -> Iterator[CrossFault]:
    """A direction points somewhere."""
    if sheet.plenum.direction is not None and not any(sheet.plenum.direction):
        yield ("plenum", "direction"), "[0, 0, 0]", "a direction, such as [0, 1, 0]"


def plenum_in_front(sheet: JobSheet) -> Iterator[CrossFault]:
    """The plenum lies in front of the head; before two it may lie to either side of the middle."""
    if sheet.plenum.at_mm is not None and sheet.plenum.at_mm[2] <= 0 and not sheet.bank:
        yield ("plenum", "at"), _spelled(sheet.plenum.at_mm), "z above 0: in front of the head face"


def names_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """What is kept out has a name of its own: contradictions name it."""
    seen: dict[str, str] = {}
    room = sheet.room
    kinds = (("box", room.box), ("plane", room.plane), ("hose", room.hose), ("corridor", room.corridor))
    kept_out: list[tuple[KeyPath, str]] = [
        (("room", kind, i, "name"), item.name) for kind, items in kinds for i, item in enumerate(items)
    ]
    for key, name in kept_out:
        if name in seen:
            yield key, f'"{name}"', f"a name of its own: {seen[name]} has it already"
        seen.setdefault(name, f"{key[0]}.{key[1]}[{int(key[2]) + 1}]")


def cutters_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each cutter has a name of its own."""
    cutters: set[str] = set()
    for i, cutter in enumerate(sheet.shop.cutter):
        if cutter.name in cutters:
            yield ("shop", "cutter", i, "name"), f'"{cutter.name}"', "a name of its own for each cutter"
        cutters.add(cutter.name)


def cutter_necks(sheet: JobSheet) -> Iterator[CrossFault]:
    """An undercutting cutter has a neck thinner than its end; a bull cutter a corner no larger than half of it."""
    for i, cutter in enumerate(sheet.shop.cutter):
        if cutter.kind == "undercutting" and cutter.neck_mm >= cutter.diameter_mm:
            accepted = f"less than its end's diameter, {cutter.diameter_mm:g} mm"
            yield ("shop", "cutter", i, "neck"), f"{cutter.neck_mm:g} mm", accepted
        if cutter.kind == "bull" and cutter.corner_mm > cutter.diameter_mm / 2:
            accepted = f"at most half its diameter, {cutter.diameter_mm / 2:g} mm"
            yield ("shop", "cutter", i, "corner"), f"{cutter.corner_mm:g} mm", accepted


def _spelled(values: tuple[float, ...]) -> str:
    return "[" + ", ".join(f"{value:g}" for value in values) + "]"


CHECKS = (
    CrossCheck(("room.box.low", "room.box.high"), boxes),
    CrossCheck(("room.plane.normal",), normals),
    CrossCheck(("plenum.direction",), plenum_direction),
    CrossCheck(("plenum.at", "bank.side"), plenum_in_front),
    CrossCheck(("room.box.name", "room.plane.name", "room.hose.name", "room.corridor.name"), names_once),
    CrossCheck(("shop.cutter.name",), cutters_once),
    CrossCheck(("shop.cutter.kind", "shop.cutter.neck", "shop.cutter.diameter", "shop.cutter.corner"), cutter_necks),
)
