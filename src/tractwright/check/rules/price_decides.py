"""What decides the price: one line so heavy that it is worth asking about first."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_MOST = 0.8


def judge(case: Case) -> Iterator[Reading]:
    """One reading: the heaviest line of the price, as a share of all at the middle of the ranges."""
    lines = case.plan.price if case.plan else ()
    total = sum(line.low + line.high for line in lines)
    if total > 0.0:
        heaviest = max(lines, key=lambda line: line.low + line.high)
        yield Reading(
            subject=f"price.{heaviest.what.replace(',', '').replace(' ', '_')}",
            measured=(heaviest.low + heaviest.high) / total,
            unit="share",
            at_most=_MOST,
            broken="look",
            message=f"'{heaviest.what}' decides the price ({heaviest.how}): confirm it before anything is promised.",
        )


RULE = Rule(
    id="price.decides",
    question="Which line decides the price, and is it sure?",
    limit="a line of more than 0.8 of the whole; judgement",
    cure="confirm that line's rate and time",
    bites_at="price",
    needs="making",
    source="shop_judgement",
    judge=judge,
)
