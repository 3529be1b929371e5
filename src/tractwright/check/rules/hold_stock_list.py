"""Blocks that the stock list has no plate for."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.stock import plates_of


def judge(case: Case) -> Iterator[Reading]:
    """One reading a block."""
    thickest = max(plate.thickness_mm for plate in plates_of(case.sheet.shop))
    for stock in case.plan.stocks if case.plan else ():
        size = " x ".join(f"{side:.0f}" for side in sorted(stock.size_mm, reverse=True))
        yield Reading(
            subject=f"piece.{stock.piece}",
            measured=1.0 if stock.listed else 0.0,
            unit="on the list",
            at_least=1.0,
            broken="look",
            message=f"A block of {size} mm is not on the stock list, whose thickest is {thickest:.0f} mm: ask for it before "
            "the order, or split the piece.",
        )


RULE = Rule(
    id="hold.stock_list",
    question="Is there plate on the stock list for every block?",
    limit="shop.stock of the sheet, else usual plate up to shop.largest_plate",
    cure="a larger plate, or another split of the pieces",
    bites_at="hold",
    needs="making",
    source="common_practice",
    judge=judge,
)
