"""Making and money: passages, set-ups with their cuts, notes, price, what it hangs on, alternatives."""

from collections.abc import Collection, Iterator, Sequence
from typing import Any

from tractwright.make.holding import HELD_ENOUGH
from tractwright.make.price import FIFTH_HIGHER
from tractwright.make.records import MakingPlan, Operation, Setup, Sway
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import Rows
from tractwright.reach.records import PassageReach

_LIGHT, _LONG_MM = 1.02, 80.0
"""A hold with no more than its margin, and a cutter that stands out so far, ask for a caution. Source: shop_judgement."""

_PICTURES = (
    "Pictures: the block as it lies at the start of a set-up, up in the machine upwards. Copper is cut in that set-up, seen "
    "through; blue-grey stays for a later one; light grey is the piece. The arrow stands on the zero. Screws dark, pins copper."
)


def passages(contents: Contents) -> Rows:
    """How cutters reach each passage."""
    plan = contents.case.plan
    rows: Rows = []
    for p in plan.passages if plan else ():
        where = f"meet at {p.meeting_line_mm:.0f}" if p.meeting_line_mm is not None else ""
        where = _split(p) if p.split_at_mm is not None else where
        ledge = f"{p.ledge_mm:.2f}" if p.ledge_mm is not None else ""
        over = f"{p.stickout_over_neck:.1f}" if p.stickout_over_neck is not None else ""
        reach = [f"{p.reach_from_port_end_mm:.0f}", f"{p.reach_from_mouth_end_mm:.0f}"]
        rows.append([p.runner, p.verdict, *reach, where, ledge, p.cutter, over])
    return rows


def _split(passage: PassageReach) -> str:
    left = passage.left_if_split_mm
    tried = "" if left is None else ", both halves reached" if left <= 0.0 else f", {left:.0f} still left"
    return f"split at {passage.split_at_mm:.0f}{tried}"


def setups(contents: Contents, pictures: Collection[str]) -> list[dict[str, Any]]:
    """Each set-up: its picture, how located and held, what is cut with what, minutes."""
    plan = contents.case.plan
    done = plan.setups if plan else ()
    one_machine = len({setup.machine for setup in done}) == 1
    return [
        _setup(s, k, pictures, () if one_machine else (["machine", s.machine],)) for k, s in enumerate(done, start=1)
    ]


def _setup(setup: Setup, number: int, pictures: Collection[str], machine: Sequence[list[str]]) -> dict[str, Any]:
    picture = setup_picture(number)
    minutes = ["minutes", f"{setup.minutes[0]:.0f} to {setup.minutes[1]:.0f}, setting up among them"]
    facts = [
        ["held by", setup.holds_by],
        ["located by", setup.locates],
        ["holding", setup.holding],
        *machine,
        ["needs", ", ".join(setup.needs) or "nothing but the sawn block"],
    ]
    again = [["held", "and located as before, every clamp slackened and drawn up anew"], ["holding", setup.holding]]
    return {
        "name": setup.name,
        "picture": f"{picture}.png" if picture in pictures and not setup.again else "",
        "facts": [*(again if setup.again else facts), minutes],
        "cuts": [
            [one.what, ", ".join(one.tools), _minutes(one), _sways(one.sway), one.how] for one in setup.operations
        ],
    }


def _minutes(one: Operation) -> str:
    low, high = (f"{value:.0f}" for value in one.minutes)
    return low if low == high else f"{low} to {high}"


def _sways(sway: Sway | None) -> str:
    """How far a cutter stands out, bends and shakes."""
    return "" if sway is None else f"{sway.out_mm:.0f} mm: {1e3 * sway.bends_mm:.0f}, {1e3 * sway.shakes_mm:.0f}"


def setup_picture(number: int) -> str:
    """The name of a set-up's picture, without its suffix."""
    return f"setup_{number:02d}"


def cautioned(plan: MakingPlan | None) -> Iterator[str]:
    """What of a plan asks for a caution of its own."""
    setups = plan.setups if plan else ()
    if any(word in setup.machine for setup in setups for word in ("rotary", "tilting")):
        yield "turned work"
    if any(0.0 < setup.held_times < _LIGHT * HELD_ENOUGH for setup in setups):
        yield "light hold"
    if any(one.sway and one.sway.out_mm > _LONG_MM for setup in setups for one in setup.operations):
        yield "long cutter"


def making_notes(contents: Contents) -> list[str]:
    """The machine and what was assumed or not judged."""
    plan = contents.case.plan
    if plan is None:
        return []
    machines = sorted({setup.machine for setup in plan.setups})
    low, high = (sum(setup.minutes[k] for setup in plan.setups) / 60 for k in (0, 1))
    first = (
        f"{len(plan.setups)} set-ups on {', '.join(machines)}: {low:.1f} to {high:.1f} hours in all. Zeros in mm, along the "
        "axes of the hole sheets. 'Out' is how far the cutter that shakes most stands out, then how far it bends under a "
        "finishing cut and how far its teeth shake it, in um; holder and spindle give too."
    )
    return [*([first, _PICTURES] if plan.setups else []), *contents.case.described.notes, *plan.notes]


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


def hangs_on(contents: Contents) -> str:
    """The few figures the price moves most with."""
    plan = contents.case.plan
    most = plan.sensitivity[:4] if plan else ()
    return "; ".join(f"{what.removesuffix(FIFTH_HIGHER)} {100 * share:+.1f} %" for what, share in most)


def alternatives(contents: Contents) -> Rows:
    """What the job would cost otherwise."""
    plan = contents.case.plan
    return [
        [
            one.what,
            f"{one.low:.0f}",
            f"{one.high:.0f}",
            f"{one.effort.mill_h[0]:.1f} to {one.effort.mill_h[1]:.1f} h; {one.how}",
        ]
        for one in (plan.alternatives if plan else ())
    ]
