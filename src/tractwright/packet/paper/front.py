"""The title page: what it is, how it ended, what was found and what was put right."""

from typing import Any

from tractwright.check.finding import Finding
from tractwright.check.stage import all_rules
from tractwright.design.records import Design
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import (
    Rows,
    figure,
    in_words,
    listed,
    reading_words,
    span,
    subjects_words,
    tidy,
    told_once,
)

_OUTCOMES = {
    "whole": ("Whole", "Every rule that can be asked is met. Settle the lines marked 'look' before metal is cut."),
    "stops": ("Stopped", "At least one rule says stop: not to be cut as it stands."),
    "contradiction": ("Demands contradict", "No manifold meets them all; the best found is described here."),
}
_HEAVIEST = 12


def front(contents: Contents) -> dict[str, Any]:
    """Title, outcome, key facts, findings, changes, contradictions, what was assumed."""
    sheet, design = contents.case.sheet, contents.case.design
    title, text = _OUTCOMES[contents.outcome]
    assumed = [[item.key, tidy(str(item.value)), item.why, f"{item.weight:.0%}"] for item in contents.assumed]
    return {
        "title": sheet.job.name,
        "subtitle": _subtitle(contents),
        "note": sheet.job.note,
        "outcome_kind": contents.outcome,
        "outcome": title,
        "outcome_text": text,
        "counts": _counts(contents),
        "facts": _facts(contents),
        "findings": _findings(contents),
        "changes": [[in_words(c.path), c.what, _plain(c.before), _plain(c.after)] for c in contents.changes],
        "contradictions": [
            {"demands": "; ".join(in_words(d) for d in c.demands), "best": c.best_found}
            for c in contents.contradictions
        ],
        "assumed": assumed[:_HEAVIEST],
        "assumed_rest": assumed[_HEAVIEST:],
        "held": [[in_words(path), path] for path, how in sorted(design.standing.items()) if how == "held"],
    }


def _subtitle(contents: Contents) -> str:
    sheet, design = contents.case.sheet, contents.case.design
    engine = ""
    if sheet.engine is not None:
        bore, stroke = sheet.engine.bore_mm, sheet.engine.stroke_mm
        litres = sheet.engine.cylinders * 3.14159265 / 4 * bore**2 * stroke / 1e6
        engine = f" for {sheet.engine.cylinders} cylinders, {bore:.4g} x {stroke:.4g} mm, {litres:.2f} l"
    return f"Billet inlet manifold{engine}: {len(design.runners)} runners, {_counted(len(design.pieces), 'piece')}"


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _counts(contents: Contents) -> str:
    asked = {finding.rule for finding in contents.findings}
    met = sum(finding.verdict == "ok" for finding in contents.findings)
    return f"{len(asked)} of {len(all_rules())} rules asked; {met} readings within their limits."


def _facts(contents: Contents) -> Rows:
    case, design = contents.case, contents.case.design
    runners = design.runners
    length, wanted = span([r.length_mm for r in runners], 1, "mm"), span([r.length_wanted_mm for r in runners], 0, "mm")
    port, mouth = (span([r.area_mm2[k][1] for r in runners], 0, "mm²") for k in (0, -1))
    bore, lip = (span([getattr(r.mouth, key) for r in runners], 1, "mm") for key in ("bore_mm", "lip_radius_mm"))
    entry = f", entry radius {lip}" if design.plena else ""
    rows = [
        ["runner length", f"{length}, wanted {wanted}"],
        ["passage area", f"{port} at the port, {mouth} at the mouth"],
        ["mouth", f"bore {bore}{entry}"],
        ["plenum", ", ".join(f"{p.volume_l:.2f} l" for p in design.plena) or "none"],
        ["throttle", _throttles(design)],
        ["pressure", _pressure(contents)],
    ]
    if case.pieces:
        rows.append(["mass", _mass(contents)])
    if case.breathing:
        peak = max(case.breathing.torque_nm)
        rows.append(["torque", f"peak near {case.breathing.peak_rpm:.0f} rev/min, some {peak:.0f} Nm (a trend)"])
    if case.plan:
        rows.append(["price", _price(contents)])
    return rows


def _throttles(design: Design) -> str:
    """Bores, of bodies on the mouths all at once with their trumpets."""
    rows = {row.name: row for row in design.body_rows}
    words = [f"{item.bore_mm:.4g} mm bore" for item in design.throttles if item.plenum not in rows]
    for row in rows.values():
        bores = [item.bore_mm for item in design.throttles if item.plenum == row.name]
        trumpet = f", trumpets {row.trumpet_mm + row.bell_mm:.4g} mm" if row.trumpet_mm + row.bell_mm > 0.0 else ""
        words.append(f"{len(bores)} on the mouths, {span(bores, 1, 'mm')} bore{trumpet}")
    return ", ".join(words)


def _pressure(contents: Contents) -> str:
    boost = contents.case.sheet.air.boost_bar
    return f"{boost:.2f} bar boost" if boost > 0 else "no boost"


def _mass(contents: Contents) -> str:
    pieces = contents.case.pieces or ()
    built = [piece for piece in pieces if len(piece.mesh[1])]
    total = f"{sum(piece.mass_kg for piece in built):.2f} kg"
    missing = [piece.name for piece in pieces if not len(piece.mesh[1])]
    return f"{total}, without {listed(missing)} (not built)" if missing else total


def _price(contents: Contents) -> str:
    plan = contents.case.plan
    if plan is None:
        return ""
    low, high = sum(line.low for line in plan.price), sum(line.high for line in plan.price)
    return f"{_round_to(low)} to {_round_to(high)} {plan.currency}"


def _round_to(value: float) -> str:
    return f"{round(value, -1):.0f}"


def _findings(contents: Contents) -> list[dict[str, str]]:
    """Stops first, then looks, then what is not known; subjects of one rule with the same words share a line."""
    order = {"stop": 0, "look": 1, "unknown": 2}
    told = sorted((f for f in contents.findings if f.verdict in order), key=lambda f: (order[f.verdict], f.rule))
    return [_finding(group) for group in told_once(told)]


def _finding(group: list[Finding]) -> dict[str, str]:
    worst = group[0]
    question = next((rule.question for rule in all_rules() if rule.id == worst.rule), "")
    cures = [f.fix.what for f in group if f.fix]
    measured, limit = reading_words(worst)
    return {
        "verdict": worst.verdict,
        "bites_at": worst.bites_at,
        "question": question,
        "subject": subjects_words(group),
        "message": worst.message,
        "cure": f"Proposed: {cures[0]}." if cures else "",
        "measured": measured,
        "limit": limit,
    }


def _plain(value: float | str) -> str:
    return value if isinstance(value, str) else figure(value)
