"""What the scan stage hands on: the pattern on the head, and the room."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from tractwright.design.pattern import Pattern, Room
from tractwright.design.seated import seated
from tractwright.errors import Fault, ScanError, SheetError
from tractwright.job.sheet import JobSheet, Scan, cylinders_of_row
from tractwright.scan.agree import with_facts
from tractwright.scan.banks import on_banks
from tractwright.scan.clean import CleanScan
from tractwright.scan.faces import HeadFace
from tractwright.scan.facts import holes_of, ports_of
from tractwright.scan.gasket import compared, gasket_pattern
from tractwright.scan.left_on import left_on
from tractwright.scan.measure import Measured, face_points, measured_pattern
from tractwright.scan.missing import with_missing, with_studs
from tractwright.scan.more import surroundings
from tractwright.scan.partial import completed
from tractwright.scan.place import Placed, job_frame
from tractwright.scan.sources import with_readings
from tractwright.scan.space import in_frame, room_from_scan, room_without_scan
from tractwright.scan.told import with_told
from tractwright.scan.which_unit import scan_with_faces


def pattern_and_room(sheet: JobSheet, folder: Path) -> tuple[Pattern, Room]:
    """Pattern and room of a job, from its scan, gaskets, callipers and sheet; the pattern as it stands on the outer face of
    an insulating spacer, where there is one. folder : the sheet's own.

    Raises ScanError where a file cannot be used, SheetError where nothing says where the ports are.
    """
    pattern, room = _on_the_head(sheet, folder)
    return (pattern if sheet.spacer is None else seated(pattern, sheet.spacer.thickness_mm)), room


def _on_the_head(sheet: JobSheet, folder: Path) -> tuple[Pattern, Room]:
    if sheet.scan is None:
        pattern = _pattern(sheet, _without_scan(sheet, folder))
        return pattern, room_without_scan(sheet.room, tuple(bank.frame for bank in pattern.banks))
    scan, placed, measured = _from_scan(sheet, sheet.scan, folder)
    measured = _beside_gaskets(sheet, folder, measured, "scan")
    agreed = with_facts(measured, sheet.pattern, cylinders_of_row(sheet)).measured
    ports = np.array([port.at_mm for port in agreed.ports])
    around = surroundings(sheet.scan, scan.mesh, placed.frame, ports, folder)
    pattern = _pattern(sheet, agreed, "scan", (*scan.notes(), *placed.notes, *around.notes))
    room = room_from_scan(sheet.room, in_frame(scan.mesh, placed.frame), agreed.throttle)
    dropped = placed.frame.to_local(scan.dropped_mm)
    return pattern, replace(room, grids=(*room.grids, *around.grids), dropped_mm=dropped)


def _pattern(sheet: JobSheet, agreed: Measured, base: str = "sheet", notes: tuple[str, ...] = ()) -> Pattern:
    """The pattern as later stages take it, put right by the callipers."""
    rough = sheet.pattern is not None and sheet.pattern.places_rough
    found = with_readings(agreed, sheet.reading, base, ask=not rough)
    placed = on_banks(sheet.bank, found.ports, found.holes)
    return Pattern(
        banks=placed.banks,
        ports=placed.ports,
        head_holes=placed.holes,
        throttle_face=found.throttle,
        measurements=found.measurements,
        notes=(*notes, *found.notes),
        probable=found.probable,
    )


def _without_scan(sheet: JobSheet, folder: Path) -> Measured:
    """From the sheet where it places the ports, else from the first gasket; the other gaskets beside it."""
    facts, cylinders = sheet.pattern, cylinders_of_row(sheet)
    if facts is not None and (facts.port or facts.pitch_mm is not None):
        ports = ports_of(sheet, facts)
        own = Measured(ports=ports, holes=holes_of(facts, ports), throttle=None, measurements=(), notes=())
        return _beside_gaskets(sheet, folder, own, "sheet")
    if not sheet.gasket:
        accepted = "[pattern] with a pitch or its ports, [scan] or [[gasket]]: one says where the ports are"
        raise SheetError("job.toml", (Fault("pattern.pitch", "nothing", accepted),))
    first, *rest = sheet.gasket
    found = gasket_pattern(first, folder, cylinders)
    for other in rest:
        found = compared(found, gasket_pattern(other, folder, cylinders), f"gasket {first.file}")
    return with_facts(found, facts, cylinders).measured


def _beside_gaskets(sheet: JobSheet, folder: Path, measured: Measured, base: str) -> Measured:
    for gasket in sheet.gasket:
        measured = compared(measured, gasket_pattern(gasket, folder, cylinders_of_row(sheet)), base)
    return measured


def _from_scan(sheet: JobSheet, facts: Scan, folder: Path) -> tuple[CleanScan, Placed, Measured]:
    cylinders = cylinders_of_row(sheet)
    scan, head, seat = scan_with_faces(folder / facts.file, facts, len(facts.shows_ports) or cylinders)
    if not facts.shows_ports:
        _refuse_two_banks(head, cylinders, facts)
        _refuse_missing_ports(head, cylinders, facts.file)
    placed = job_frame(scan.mesh, head, facts)
    before = left_on(scan.mesh, head.cut)
    measured = measured_pattern(head, seat, placed.frame, cylinders)
    measured = with_studs(measured, before.studs, head, placed.frame)
    if facts.shows_ports:
        measured, frame = completed(measured, placed.frame, facts.shows_ports, cylinders or max(facts.shows_ports))
        placed = replace(placed, frame=frame)
    else:
        measured = with_missing(measured, scan.mesh, head, placed.frame)
    measured = with_told(measured, facts.opening)
    return scan, placed, replace(measured, notes=(*before.notes, *measured.notes))


def _refuse_two_banks(head: HeadFace, cylinders: int | None, facts: Scan) -> None:
    """A sheet makes the part of one head face; where two faces share the cylinders, a person says which one is meant."""
    count = len(head.ports)
    if not head.likes or facts.head_face_at_mm is not None or cylinders in (None, count):
        return
    faces = " and ".join(f"[{', '.join(f'{value:.0f}' for value in at)}]" for at in face_points(head))
    reason = f"it shows {1 + len(head.likes)} faces like a head's of {count} ports each, with one at {faces} mm"
    accepted = "[scan] head_face_at, one of these points, and in [engine] the cylinders of that bank"
    raise ScanError(facts.file, reason, accepted)


def _refuse_missing_ports(head: HeadFace, cylinders: int | None, file: str) -> None:
    """As many ports as cylinders, or twice, or half as many."""
    count = len(head.ports)
    if cylinders is None or count in (cylinders, 2 * cylinders) or 2 * count == cylinders:
        return
    reason = f"the head face shows {count} alike openings, the engine has {cylinders} cylinders"
    accepted = (
        "a scan that shows every port, one for each cylinder, two for each, or one for two; or [scan] shows_ports"
    )
    raise ScanError(file, reason, accepted)
