"""Blocks that the machine's travels do not take."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a block: the side that has least travel left, longest side along the longest travel."""
    travels = sorted(case.sheet.shop.travel_mm, reverse=True)
    for stock in case.plan.stocks if case.plan else ():
        sides = sorted(stock.size_mm, reverse=True)
        side, travel = min(zip(sides, travels, strict=True), key=lambda pair: pair[1] - pair[0])
        yield Reading(
            subject=f"piece.{stock.piece}",
            measured=side,
            unit="mm",
            at_most=travel,
            message="The block is longer than the machine travels: split the piece, or have it cut on a larger "
            "machine.",
        )


RULE = Rule(
    id="hold.travels",
    question="Does every block lie within the machine's travels?",
    limit="shop.travel of the sheet, longest side along the longest travel",
    cure="split the piece, or a larger machine",
    bites_at="hold",
    needs="making",
    source="common_practice",
    judge=judge,
)
