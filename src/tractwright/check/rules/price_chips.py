"""Blocks that end mostly as chips: stock and roughing hours that another split would save."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_MOST = 25.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading, for the block with most of it cut away."""
    stocks = case.plan.stocks if case.plan else ()
    if stocks:
        worst = max(stocks, key=lambda stock: stock.buy_to_fly)
        yield Reading(
            subject=f"piece.{worst.piece}",
            measured=worst.buy_to_fly,
            unit="times",
            at_most=_MOST,
            broken="look",
            message=f"A block of {worst.mass_kg:.1f} kg ends mostly as chips: another split of the pieces may cost "
            "less.",
        )


RULE = Rule(
    id="price.chips",
    question="Is no block cut away almost whole?",
    limit="block 25 x as heavy as its piece; judgement",
    cure="another split of the pieces, or a block turned to lie closer",
    bites_at="price",
    needs="making",
    source="shop_judgement",
    judge=judge,
)
