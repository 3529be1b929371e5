"""Surface outside the passages that no cutter of the shop gets at."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_MOST_MM2 = 100.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that is cut here: all of its surface that no cutter reaches in the planned set-ups."""
    if case.plan is None:
        return
    for stock in case.plan.stocks:
        patches = [patch for patch in case.plan.unreached if patch.piece == stock.piece]
        largest = max(patches, key=lambda patch: patch.area_mm2, default=None)
        where = f"most of it {largest.what} ({largest.why})" if largest else ""
        yield Reading(
            subject=f"piece.{stock.piece}",
            measured=sum(patch.area_mm2 for patch in patches),
            unit="mm2",
            at_most=_MOST_MM2,
            broken="look",
            at_mm=largest.at_mm if largest else None,
            message=f"No cutter gets at this much of it, {where}: a longer cutter, another tilt, or finish it by hand.",
        )


RULE = Rule(
    id="cut.unreached",
    question="Does a cutter of the shop get at the whole outside of every piece?",
    limit="100 mm2 left, a finger's tip by hand; judgement",
    cure="a longer cutter, another set-up, hand work",
    bites_at="cut",
    needs="making",
    source="shop_judgement",
    judge=judge,
)
