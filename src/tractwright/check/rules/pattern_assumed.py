"""Assumed values heavy enough to decide."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.assume import assumed_values

_HEAVY = 0.15
_MONEY = ("shop.rate_hour", "shop.rate_programming_hour", "shop.stock_price_kg", "shop.currency")
"""What money costs decides the price, which says so itself; it decides nothing of the part."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading: the heaviest assumed value, money apart."""
    assumed = [item for item in assumed_values(case.sheet) if item.key not in _MONEY]
    if assumed:
        heaviest = assumed[0]
        yield Reading(
            subject=f"sheet.{heaviest.key}",
            measured=heaviest.weight,
            unit="share",
            at_most=_HEAVY,
            broken="look",
            message=f"{heaviest.key} is taken as {heaviest.value} and can decide the outcome: measure it, and state it in the "
            "sheet.",
        )


RULE = Rule(
    id="pattern.assumed",
    question="Does an assumed value decide the outcome?",
    limit="a weight of 0.15; judgement",
    cure="give the value in the sheet",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
