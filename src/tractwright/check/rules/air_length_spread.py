"""Equal lengths: worth what the air stage says they are worth, never a wall."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_SPREAD = 0.02


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum."""
    for plenum in case.design.plena:
        lengths = [runner.length_mm for runner in case.design.runners if runner.mouth.plenum == plenum.name]
        if not lengths:
            continue
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=(max(lengths) - min(lengths)) * len(lengths) / sum(lengths),
            unit="share",
            at_most=_SPREAD,
            broken="look",
            message="Runner lengths differ: see the spread between cylinders in the air results before paying for it.",
        )


RULE = Rule(
    id="air.length_spread",
    question="Are the runners of a plenum equally long?",
    limit="2 % between longest and shortest; judgement, priced by the air stage",
    cure="none: compare the filling of the cylinders first",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
