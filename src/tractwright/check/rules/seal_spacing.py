"""Screws along a cord, how far apart."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_MORE = 1.5  # the code's bound is for bare rings; ours stand on walls


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint with a cord: the widest gap between neighbouring screws. Sheet gaskets are left to seal.bow."""
    corded = {seal.joint for seal in case.design.seals if seal.kind == "cord"}
    for load in case.loads.joints:
        if load.joint in corded:
            yield Reading(
                subject=f"joint.{load.joint}",
                measured=load.spacing_mm,
                unit="mm",
                at_most=_MORE * load.spacing_limit_mm,
                broken="look",
                message="Two neighbouring screws stand further apart than is usual for flanges so thin: a screw "
                "between them, or a thicker flange.",
            )


RULE = Rule(
    id="seal.spacing",
    question="Are the screws along every cord near enough to each other?",
    limit="1.5 x (2 a + 6 t / (m + 0.5)): a thread diameter, t the thinnest flange, m 0.5 for a soft cord; half as "
    "much again because these flanges stand on walls (judgement)",
    cure="a screw between, or a thicker flange",
    bites_at="seal",
    needs="description",
    source="asme_viii_appendix_2",
    judge=judge,
)
