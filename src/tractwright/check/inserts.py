"""One word on inserts for both rules that judge them: too short for the screw, too long for the hole."""

from tractwright.check.case import Case
from tractwright.design.records import Screw
from tractwright.standards.inserts import WireInsert, wire_insert, wire_insert_lengths


def insert_advice(case: Case, screw: Screw, needed_mm: float) -> str:
    """What to do so that the screw finds so much thread and the insert its hole, in words.

    The shortest insert of the table with thread enough, where the hole and the screw's length take it; else what has to give.
    """
    lengths = wire_insert_lengths(screw.thread)
    inserts = [wire_insert(screw.thread, length) for length in lengths]
    enough = [insert for insert in inserts if insert.assembled_least_mm >= needed_mm]
    if not enough:
        return f"no insert for {screw.thread} has thread enough: a lower class and torque"
    shortest = enough[0]
    said = _said(case, shortest)
    if shortest.tapped_depth_mm <= screw.tapped_depth_mm:
        return said
    return f"{said}, in holes of the engine tapped {shortest.tapped_depth_mm:g} mm deep; or a lower class and torque"


def _said(case: Case, insert: WireInsert) -> str:
    now = case.sheet.head.insert_mm
    return "keep this insert" if now == insert.nominal_mm else f"inserts {insert.nominal_mm:g} mm long (head.insert)"
