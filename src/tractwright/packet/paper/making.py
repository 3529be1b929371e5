"""Making and money: passages, set-ups, notes, price."""

from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import Rows


def passages(contents: Contents) -> Rows:
    """How cutters reach each passage."""
    plan = contents.case.plan
    rows: Rows = []
    for p in plan.passages if plan else ():
        where = f"meet at {p.meeting_line_mm:.0f}" if p.meeting_line_mm is not None else ""
        where = f"split at {p.split_at_mm:.0f}" if p.split_at_mm is not None else where
        ledge = f"{p.ledge_mm:.2f}" if p.ledge_mm is not None else ""
        over = f"{p.stickout_over_neck:.1f}" if p.stickout_over_neck is not None else ""
        reach = [f"{p.reach_from_port_end_mm:.0f}", f"{p.reach_from_mouth_end_mm:.0f}"]
        name = p.runner if p.piece == "head" else f"{p.runner}, {p.piece}"
        rows.append([name, p.verdict, *reach, where, ledge, p.cutter, over])
    return rows


def setups(contents: Contents) -> Rows:
    """Each set-up: how held, what is cut, minutes."""
    plan = contents.case.plan
    return [
        [s.name, s.holds_by, ", ".join(s.makes), f"{s.minutes[0]:.0f} to {s.minutes[1]:.0f}"]
        for s in (plan.setups if plan else ())
    ]


def making_notes(contents: Contents) -> list[str]:
    """The machine and what was assumed or not judged."""
    plan = contents.case.plan
    if plan is None:
        return []
    machines = sorted({setup.machine for setup in plan.setups})
    low, high = (sum(setup.minutes[k] for setup in plan.setups) / 60 for k in (0, 1))
    first = f"{len(plan.setups)} set-ups on a machine with {', '.join(machines)}: {low:.1f} to {high:.1f} hours in all."
    return [*([first] if plan.setups else []), *contents.case.described.notes, *plan.notes]


def price(contents: Contents) -> Rows:
    """Lines low and high, how each comes about, and the sum."""
    plan = contents.case.plan
    if plan is None or not plan.price:
        return []
    rows = [[line.what, f"{line.low:.0f}", f"{line.high:.0f}", line.how] for line in plan.price]
    return [
        *rows,
        ["all together", f"{sum(p.low for p in plan.price):.0f}", f"{sum(p.high for p in plan.price):.0f}", ""],
    ]
