"""Strength: what the formulas say, beside it what was measured on the solids, and the limit."""

from tractwright.check.weights import hanging
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import Rows, figure

_NOTE_MEASURED = (
    "On the solids: finite elements of all pieces, tied where screws press them together, fixed at the head's screws, "
    "without throttle body, rail and hoses; peaks smaller than a cube of the wall's thickness, and what lies under screws, "
    "left out. Formulas: plates, rings and beams."
)
_NOTE_FORMULAS = "By formulas of plates, rings and beams. [strength] on_solids = true measures it on the solids too."


def strength_rows(contents: Contents) -> Rows:
    """What, by the formula, on the solids ('' where it was not measured), the limit."""
    return [*_sides(contents), *_runners(contents), *_pieces(contents), *_joints(contents), *_rings(contents)]


def strength_notes(contents: Contents) -> list[str]:
    """How the figures came about, and what was left out."""
    found = contents.case.loads.on_solids
    if found is None:
        return [_NOTE_FORMULAS]
    return [_NOTE_MEASURED if found.unknowns else _NOTE_FORMULAS, *found.notes]


def _sides(contents: Contents) -> Rows:
    loads = contents.case.loads
    rows: Rows = []
    for plate in loads.plates:
        found = loads.measured_plate(plate)
        name = f"{plate.part} of {plate.subject.partition('.')[2]}" if plate.part != "cover" else "cover"
        allowed, bends = figure(plate.allowed_mpa, "MPa"), figure(plate.yield_mpa, "MPa")
        rows.append(
            [f"{name}: stress that stays on", *_both(plate.stress_mpa, found and found.stress_mpa, "MPa"), allowed]
        )
        rows.append([f"{name}: in a backfire", *_both(plate.backfire_mpa, found and found.backfire_mpa, "MPa"), bends])
        rows.append([f"{name}: bow", *_both(plate.bow_mm, found and found.bow_mm, "mm"), ""])
    return rows


def _runners(contents: Contents) -> Rows:
    if not contents.case.loads.runners:
        return []
    worst = max(contents.case.loads.runners, key=lambda load: load.stress_mpa / load.allowed_mpa)
    allowed = figure(worst.allowed_mpa, "MPa")
    return [[f"skin of runner {worst.runner}, the worst", *_both(worst.stress_mpa, None, "MPa"), allowed]]


def _pieces(contents: Contents) -> Rows:
    found = contents.case.loads.on_solids
    return [
        [
            f"{one.piece} piece, anywhere away from screws",
            "",
            figure(one.stress_mpa, "MPa"),
            figure(one.allowed_mpa, "MPa"),
        ]
        for one in (found.pieces if found else ())
    ]


def _joints(contents: Contents) -> Rows:
    loads = contents.case.loads
    rows: Rows = []
    for load in loads.joints:
        found = loads.measured_joint(load.joint)
        opening = _both(load.bow_mm, found and found.opening_mm, "mm")
        rows.append([f"{load.joint} joint: opens at its seal", *opening, figure(load.bow_limit_mm, "mm")])
    return rows


def _rings(contents: Contents) -> Rows:
    """The lowest vibration of the whole; beside it twice the highest revs, and how often a cylinder fires."""
    case, engine = contents.case, contents.case.sheet.engine
    if engine is None or not case.design.plena or not case.design.runners:
        return []
    turns = engine.highest_rpm / 60.0
    beams = min(hanging(case, plenum).frequency_hz for plenum in case.design.plena)
    limit = f"over {figure(2.0 * turns, 'Hz')}; fires {figure(turns * engine.cylinders / 2.0, 'Hz')}"
    return [["lowest vibration, no brace", *_both(beams, case.loads.first_hz, "Hz"), limit]]


def _both(formula: float, measured: float | None, unit: str) -> tuple[str, str]:
    return figure(formula, unit), "" if measured is None else figure(measured, unit)
