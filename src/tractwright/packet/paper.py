"""The words and figures of the packet on paper, as plain rows of text."""

from typing import Any

from tractwright.check.finding import Finding
from tractwright.check.stage import all_rules
from tractwright.packet.contents import Contents
from tractwright.sources import source
from tractwright.standards.cautions import caution_texts

Rows = list[list[str]]

_OUTCOMES = {
    "whole": ("Whole", "Every rule that can be asked is met. Look at the lines below before metal is cut."),
    "stops": ("Stopped", "At least one rule says stop: not to be cut as it stands."),
    "contradiction": ("Demands contradict", "No manifold meets them all; the best found is described here."),
}


def paper_data(contents: Contents, pictures: tuple[str, ...]) -> dict[str, Any]:
    """Everything the page needs, as text."""
    case, design = contents.case, contents.case.design
    title, text = _OUTCOMES[contents.outcome]
    return {
        "title": case.sheet.job.name,
        "subtitle": f"Billet inlet manifold, {len(design.runners)} runners, {len(design.pieces)} pieces",
        "note": case.sheet.job.note,
        "outcome": title,
        "outcome_text": text,
        "in_old_space": "in_the_old_space" in pictures,
        "facts": _facts(contents),
        "findings": [_finding(f) for f in contents.findings if f.verdict in ("stop", "look", "unknown")],
        "changes": [[c.rule, f"{c.what} ({c.path})", _number(c.before), _number(c.after)] for c in contents.changes],
        "contradictions": [{"demands": ", ".join(c.demands), "best": c.best_found} for c in contents.contradictions],
        "rules_line": _rules_line(contents),
        "assumed": [[a.key, str(a.value), a.why, f"{a.weight:.0%}"] for a in contents.assumed],
        "air": case.breathing is not None,
        "air_notes": "; ".join(case.breathing.notes) if case.breathing else "",
        "long_sections": [f"long_section_{runner.name}.svg" for runner in design.runners],
        "pieces": _pieces(contents),
        "piece_pictures": [
            {"file": f"{name}.png", "title": name.replace("_", ", ")}
            for name in pictures
            if name.endswith(("_front", "_back"))
        ],
        "joints": _joints(contents),
        "screws": _screws(contents),
        "passages": _passages(contents),
        "setups": _setups(contents),
        "making_notes": list(case.plan.notes) if case.plan else [],
        "price": _price(contents),
        "currency": case.plan.currency if case.plan else "",
        "cautions": [{"topic": c.topic, "text": c.text} for c in caution_texts(case.sheet.air.fuel)],
        "sources": _sources(contents),
    }


def _facts(contents: Contents) -> Rows:
    case, design = contents.case, contents.case.design
    runner, plenum = design.runners[0], design.plena[0]
    lengths = [r.length_mm for r in design.runners]
    mass = sum(piece.mass_kg for piece in case.pieces or ())
    rows = [
        ["runner length", f"{min(lengths):.1f} to {max(lengths):.1f} mm (wanted {runner.length_wanted_mm:.0f})"],
        ["passage area", f"{runner.area_mm2[0][1]:.0f} mm² at the port, {runner.area_mm2[-1][1]:.0f} at the mouth"],
        ["mouth bore, lip", f"{runner.mouth.bore_mm:.1f} mm, lip radius {runner.mouth.lip_radius_mm:.1f}"],
        ["plenum", f"{plenum.volume_l:.2f} l"],
        ["throttle", ", ".join(f"{t.bore_mm:.0f} mm" for t in design.throttles)],
        ["mass", f"{mass:.2f} kg"],
        ["pressure", f"{case.sheet.air.boost_bar:.2f} bar over ambient"],
    ]
    if case.breathing:
        rows.append(["torque peak", f"{max(case.breathing.torque_nm):.0f} Nm at {case.breathing.peak_rpm:.0f} (trend)"])
    if case.plan:
        low = sum(line.low for line in case.plan.price)
        high = sum(line.high for line in case.plan.price)
        rows.append(["price", f"{low:.0f} to {high:.0f} {case.plan.currency}"])
    return rows


def _finding(finding: Finding) -> dict[str, str]:
    measured = "not known" if finding.measured is None else f"{_number(finding.measured)} {finding.unit}"
    cure = f" Proposed: {finding.fix.what}." if finding.fix else ""
    return {
        "verdict": finding.verdict,
        "bites_at": finding.bites_at,
        "subject": finding.subject,
        "message": finding.message + cure,
        "measured": measured,
        "limit": f"{_number(finding.limit)} {finding.unit}",
        "margin": "" if finding.measured is None else f"{finding.margin:+.0%}",
    }


def _rules_line(contents: Contents) -> str:
    asked = {finding.rule for finding in contents.findings}
    met = sum(finding.verdict == "ok" for finding in contents.findings)
    return f"{len(asked)} of {len(all_rules())} rules asked, {met} readings within their limits."


def _pieces(contents: Contents) -> Rows:
    stocks = {s.piece: s for s in contents.case.plan.stocks} if contents.case.plan else {}
    rows: Rows = []
    for piece in contents.case.pieces or ():
        record = next(item for item in contents.case.design.pieces if item.name == piece.name)
        stock = stocks.get(piece.name)
        sound = "exact, valid, closed" if piece.solid and piece.valid and piece.watertight else "mesh only"
        rows.append(
            [
                piece.name,
                piece.kind,
                record.material,
                f"{piece.mass_kg:.2f}",
                f"{stock.mass_kg:.2f}" if stock else "",
                " x ".join(f"{side:.0f}" for side in stock.size_mm) if stock else "",
                sound,
                f"{piece.blends_made} of {piece.blends_wanted}",
            ]
        )
    return rows


def _joints(contents: Contents) -> Rows:
    case = contents.case
    loads = {item.joint: item for item in case.loads.joints}
    seals = {item.joint: item for item in case.loads.seals}
    rows: Rows = []
    for joint in case.design.joints:
        screws = [s for s in case.design.screws if s.joint == joint.name]
        seal = seals.get(joint.name)
        kind = next((s.kind for s in case.design.seals if s.joint == joint.name), "none")
        load = loads.get(joint.name)
        rows.append(
            [
                joint.name,
                f"{joint.pieces[0]} / {joint.pieces[1]}",
                f"{len(screws)} x {screws[0].thread}" if screws else "",
                f"{kind} {seal.section_mm:.2f}" if seal else kind,
                f"{seal.fill_nominal:.0%}, worst {seal.fill_worst:.0%}" if seal else "",
                f"{load.separation_factor:.1f} x" if load else "",
            ]
        )
    return rows


def _screws(contents: Contents) -> Rows:
    return [
        [
            s.name,
            s.thread,
            s.property_class,
            s.head + (f" + {s.washer}" if s.washer else ""),
            f"{s.length_mm:.0f}",
            f"{s.grip_mm:.1f}",
            f"{s.engagement_mm:.1f}",
            f"{s.standoff_mm:.1f}",
            f"{s.torque_nm:.1f} ({s.torque_from})",
        ]
        for s in contents.case.design.screws
    ]


def _passages(contents: Contents) -> Rows:
    plan = contents.case.plan
    return [
        [
            p.runner,
            p.verdict,
            f"{p.reach_from_port_end_mm:.0f} mm",
            f"{p.reach_from_mouth_end_mm:.0f} mm",
            "" if p.meeting_line_mm is None else f"{p.meeting_line_mm:.0f} mm",
            p.cutter,
        ]
        for p in (plan.passages if plan else ())
    ]


def _setups(contents: Contents) -> Rows:
    plan = contents.case.plan
    return [
        [s.name, s.piece, s.machine, s.holds_by, ", ".join(s.makes), f"{s.minutes[0]:.0f} to {s.minutes[1]:.0f}"]
        for s in (plan.setups if plan else ())
    ]


def _price(contents: Contents) -> Rows:
    plan = contents.case.plan
    if plan is None:
        return []
    rows = [[line.what, f"{line.low:.0f}", f"{line.high:.0f}", line.how] for line in plan.price]
    total = [sum(line.low for line in plan.price), sum(line.high for line in plan.price)]
    return [*rows, ["all", f"{total[0]:.0f}", f"{total[1]:.0f}", ""]]


def _sources(contents: Contents) -> Rows:
    keys = sorted({finding.source for finding in contents.findings})
    return [[key, source(key).text, "" if source(key).verified else "unverified"] for key in keys]


def _number(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"
