"""Blocks that the machine's travels do not take."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.shop_tables import Mill
from tractwright.reach.mills import mills_of


def judge(case: Case) -> Iterator[Reading]:
    """One reading a block: the side that has least room on the mill that takes it best, longest side along the longest."""
    for stock in case.plan.stocks if case.plan else ():
        sides = sorted(stock.size_mm, reverse=True)
        tightest = [_tightest(sides, mill) for mill in mills_of(case.sheet.shop)]
        side, room = max(tightest, key=lambda pair: pair[1] - pair[0])
        yield Reading(
            subject=f"piece.{stock.piece}",
            measured=side,
            unit="mm",
            at_most=room,
            message="The block is longer than the machine travels or its table takes: split the piece, or have it cut on a "
            "larger machine.",
        )


def _tightest(sides: list[float], mill: Mill) -> tuple[float, float]:
    """The side of a block with least room on a mill, and that room."""
    rooms = sorted(mill.travel_mm, reverse=True)
    table = sorted(mill.table_mm, reverse=True)
    pairs = [*zip(sides, rooms, strict=True), *zip(sides, table, strict=False)]
    return min(pairs, key=lambda pair: pair[1] - pair[0])


RULE = Rule(
    id="hold.travels",
    question="Does every block lie within the machine's travels?",
    limit="travel and table of the shop's mills, longest side along the longest",
    cure="split the piece, or a larger machine",
    bites_at="hold",
    needs="making",
    source="common_practice",
    judge=judge,
)
