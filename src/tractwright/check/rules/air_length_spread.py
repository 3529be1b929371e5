"""Equal lengths: worth what the air stage says they are worth, never a wall."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_SPREAD = 0.02


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum or a row of throttle bodies."""
    kinds = {"plenum": case.design.plena, "body_row": case.design.body_rows}
    for path, name in ((f"{kind}.{item.name}", item.name) for kind, items in kinds.items() for item in items):
        lengths = [runner.length_mm for runner in case.design.runners if runner.mouth.plenum == name]
        if not lengths:
            continue
        yield Reading(
            subject=path,
            measured=(max(lengths) - min(lengths)) * len(lengths) / sum(lengths),
            unit="share",
            at_most=_SPREAD,
            broken="look",
            message=f"The runners differ in length: {_price(case)}.",
        )


def _price(case: Case) -> str:
    """What equal lengths would be worth, where the air has been simulated."""
    if case.breathing is None:
        return "see in the air results what equal ones would gain before paying for them"
    gain = 100.0 * case.breathing.unequal.about_wanted
    return f"equal ones would change the torque about the wanted revs by {gain:+.1f} %, so judge by that"


RULE = Rule(
    id="air.length_spread",
    question="Are the runners of a plenum, or of a row of throttle bodies, equally long?",
    limit="2 % between longest and shortest; judgement, priced by the air stage",
    cure="none: compare the filling of the cylinders first",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
