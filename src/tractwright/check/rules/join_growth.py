"""An aluminium flange on its head: warm, it grows more, and its holes wander off the head's."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.route.layout.slots import wandered_mm
from tractwright.standards.threads import thread


def judge(case: Case) -> Iterator[Reading]:
    """One reading a head joint: its outermost hole, against the play of its screw."""
    for joint in case.design.joints:
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        if joint.kind != "head" or not screws:
            continue
        wandered = wandered_mm(case.design, joint, case.sheet)
        play = {s.name: (s.clearance_mm + s.slot_mm - thread(s.thread).major_mm) / 2 for s in screws}
        worst = max(screws, key=lambda screw: wandered[screw.name] - play[screw.name])
        yield Reading(
            subject=f"joint.{joint.name}",
            measured=wandered[worst.name],
            unit="mm",
            at_most=play[worst.name],
            broken="look",
            at_mm=worst.seat_mm,
            message=f"Warm, the flange grows off the {case.sheet.head.material} head and bends {worst.name}: wider "
            "or slotted outer holes (head.slots of the sheet), and tighten from the middle out.",
        )


RULE = Rule(
    id="join.growth",
    question="Do the head screws bear it that the warm flange grows more than the head?",
    limit="half the play of the clearance hole or slot, at air.wall of the sheet against 20 C",
    cure="wider or slotted outer holes, tightened from the middle out",
    bites_at="join",
    needs="description",
    source="aluminium_typical",
    judge=judge,
)
