"""The packet's table of strength: formulas, what was measured beside them, limits."""

from dataclasses import replace

from tractwright.job.engine_tables import Engine
from tractwright.packet.contents import Contents
from tractwright.packet.paper.strength import strength_notes, strength_rows
from tractwright.strength.records import OnSolids, SolidJoint, SolidPiece, SolidPlate


def measured(contents: Contents) -> Contents:
    loads = contents.case.loads
    plate = loads.plates[0]
    found = OnSolids(
        plates=(
            SolidPlate(subject=plate.subject, part=plate.part, stress_mpa=12.34, backfire_mpa=23.4, bow_mm=0.0456),
        ),
        pieces=(
            SolidPiece(
                piece="head",
                stress_mpa=7.89,
                backfire_mpa=20.0,
                allowed_mpa=120.0,
                yield_mpa=241.0,
                at_mm=(0.0, 0.0, 0.0),
            ),
        ),
        joints=(SolidJoint(joint=loads.joints[0].joint, opening_mm=0.0123, backfire_mm=0.03),),
        frequencies_hz=(139.7, 187.0, 263.0),
        unknowns=1000,
        notes=("invented",),
    )
    return replace(contents, case=replace(contents.case, loads=replace(loads, on_solids=found)))


def test_without_solids_only_the_formulas_are_shown(described: Contents):
    rows = strength_rows(described)
    assert rows
    assert all(len(row) == 4 and row[2] == "" for row in rows)
    assert "on_solids = true" in strength_notes(described)[0]


def test_what_was_measured_stands_beside_the_formula(described: Contents):
    plain, rows = strength_rows(described), strength_rows(measured(described))
    formulas = {row[0]: row[1] for row in plain}
    assert all(formulas[row[0]] == row[1] for row in rows if row[0] in formulas)
    shown = [row[2] for row in rows if row[2]]
    assert shown == ["12.3 MPa", "23.4 MPa", "0.046 mm", "7.89 MPa", "0.012 mm"]
    assert strength_notes(measured(described))[1] == "invented"


def test_firing_stands_beside_the_lowest_vibration(described: Contents):
    """Four-stroke: each cylinder fires every other turn."""
    engine = Engine.model_validate(
        {"cylinders": 4, "bore": "86 mm", "stroke": "86 mm", "wanted_peak": "5000 rpm", "highest": "6000 rpm"}
    )
    contents = measured(described)
    case = replace(contents.case, sheet=contents.case.sheet.model_copy(update={"engine": engine}))
    row = next(row for row in strength_rows(replace(contents, case=case)) if row[0].startswith("lowest vibration"))
    assert row[2:] == ["140 Hz", "over 200 Hz; fires 200 Hz"]
