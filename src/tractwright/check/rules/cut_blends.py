"""Root and foot blends that were wanted and not made."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece."""
    for piece in case.pieces or ():
        if piece.blends_wanted:
            yield Reading(
                subject=f"piece.{piece.name}",
                measured=float(piece.blends_wanted - piece.blends_made),
                unit="blends",
                at_most=0.0,
                broken="look",
                message="Some roots are left sharper than wanted: draw those blends on, or change the gap there.",
            )


RULE = Rule(
    id="cut.blends",
    question="Has every root and foot its blend?",
    limit="none missing",
    cure="a smaller blend or another gap at that root",
    bites_at="cut",
    needs="solids",
    source="common_practice",
    judge=judge,
)
