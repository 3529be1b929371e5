"""What the scan stage hands on: the pattern on the head, and the room."""

from pathlib import Path

from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Bank
from tractwright.errors import Fault, ScanError, SheetError
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet, Scan
from tractwright.scan.agree import with_facts
from tractwright.scan.clean import read_scan
from tractwright.scan.faces import HeadFace, find_faces
from tractwright.scan.facts import BANK, holes_of, ports_of
from tractwright.scan.measure import measured_pattern
from tractwright.scan.missing import with_missing
from tractwright.scan.place import job_frame
from tractwright.scan.space import in_frame, room_from_scan, room_without_scan


def pattern_and_room(sheet: JobSheet, folder: Path) -> tuple[Pattern, Room]:
    """Pattern and room of a job, from its scan, from its sheet, or from both. folder : the sheet's own.

    Raises ScanError where the scan cannot be used, SheetError where neither says where the ports are.
    """
    if sheet.scan is None:
        return _pattern_of_sheet(sheet), room_without_scan(sheet.room)
    return _from_scan(sheet, sheet.scan, folder)


def _pattern_of_sheet(sheet: JobSheet) -> Pattern:
    if sheet.pattern is None:
        raise SheetError(
            "job.toml", (Fault("pattern", "no table", "[pattern] or [scan]: one says where the ports are"),)
        )
    ports = ports_of(sheet, sheet.pattern)
    holes = holes_of(sheet.pattern, ports)
    return Pattern(banks=(Bank(name=BANK, frame=Frame()),), ports=ports, head_holes=holes)


def _from_scan(sheet: JobSheet, facts: Scan, folder: Path) -> tuple[Pattern, Room]:
    scan = read_scan(folder / facts.file, facts.unit)
    cylinders = sheet.engine.cylinders if sheet.engine else None
    head, seat = find_faces(scan.mesh, cylinders)
    _refuse_missing_ports(head, cylinders, facts.file)
    placed = job_frame(scan.mesh, head, facts)
    measured = with_missing(measured_pattern(head, seat, placed.frame, cylinders), scan.mesh, head, placed.frame)
    agreed = with_facts(measured, sheet.pattern, cylinders).measured
    pattern = Pattern(
        banks=(Bank(name=BANK, frame=Frame()),),
        ports=agreed.ports,
        head_holes=agreed.holes,
        throttle_face=agreed.throttle,
        measurements=agreed.measurements,
        notes=(*scan.notes(), *placed.notes, *agreed.notes),
        probable=agreed.probable,
    )
    return pattern, room_from_scan(sheet.room, in_frame(scan.mesh, placed.frame), agreed.throttle)


def _refuse_missing_ports(head: HeadFace, cylinders: int | None, file: str) -> None:
    """As many ports as cylinders, or twice, or half as many."""
    count = len(head.ports)
    if cylinders is None or count in (cylinders, 2 * cylinders) or 2 * count == cylinders:
        return
    reason = f"the head face shows {count} alike openings, the engine has {cylinders} cylinders"
    raise ScanError(file, reason, "a scan that shows every port, one for each cylinder, two for each, or one for two")
