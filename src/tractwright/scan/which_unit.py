"""The scan in the unit that suits it: by its size, and where that leaves a choice by what the holes in its face come out as."""

from dataclasses import replace
from pathlib import Path

from tractwright.errors import ScanError
from tractwright.job.sheet import Scan
from tractwright.scan.clean import CleanScan, read_scan
from tractwright.scan.faces import HeadFace, ThrottleSeat, find_faces
from tractwright.scan.measure import thread_for

SUITS = 0.5
"""In the right unit at least this share of the screw holes is some thread's clearance hole; judgement."""
PORT_MM = (18.0, 90.0)
"""Usual widths of ports; judgement."""

Found = tuple[CleanScan, HeadFace, ThrottleSeat | None]


def scan_with_faces(path: Path, facts: Scan, cylinders: int | None) -> Found:
    """The scan [mm], its head face and its throttle's. cylinders : as many ports as the scan shows, if known.

    Raises ScanError where the file cannot be used or shows no head face.
    """
    scan = read_scan(path, facts.unit)
    try:
        found = (scan, *find_faces(scan.mesh, cylinders, facts.head_face_at_mm))
    except ScanError:
        if not scan.other_units:
            raise
        found = None
    if found is not None and (not scan.other_units or _suits(found[1])):
        return found
    for unit in scan.other_units:
        other = read_scan(path, unit)
        try:
            head, seat = find_faces(other.mesh, cylinders, facts.head_face_at_mm)
        except ScanError:
            continue
        if found is None or _suits(head):
            note = f"unit guessed as {unit}: only then do the holes in the head face suit screws; [scan] unit says otherwise"
            return replace(other, unit_note=note), head, seat
    if found is None:
        raise ScanError(
            path.name, "no flat face with alike openings and screw holes was found", "[scan] unit, if it is known"
        )
    return found


def _suits(head: HeadFace) -> bool:
    """Whether ports and screw holes have sizes that such things have."""
    sizes = [port.size_mm for port in head.ports]
    threads = [bool(thread_for(hole.drill_mm)) for hole in head.screws]
    return all(PORT_MM[0] < size < PORT_MM[1] for size in sizes) and sum(threads) >= SUITS * len(threads) > 0
