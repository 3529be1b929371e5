"""Pieces that could not be made as one sound exact solid."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece, and one an insulating spacer: 1 where it is one exact, valid, closed solid."""
    for piece in case.pieces or ():
        sound = piece.solid is not None and piece.valid and piece.watertight and piece.solids == 1
        yield Reading(
            subject=f"piece.{piece.name}",
            measured=1.0 if sound else 0.0,
            unit="solid",
            at_least=1.0,
            message=piece.fallback or "No sound exact solid could be made: change a blend, a gap or a wall a little.",
        )
    for spacer in case.spacers:
        yield Reading(
            subject=f"spacer.{spacer.name}",
            measured=0.0 if spacer.solid is None else 1.0,
            unit="solid",
            at_least=1.0,
            message=f"No sound spacer could be cut: {spacer.fallback}",
        )


RULE = Rule(
    id="cut.exact",
    question="Is every piece one exact, valid, closed solid?",
    limit="one solid a piece",
    cure="a small change of blend, gap or wall; the mesh is kept",
    bites_at="cut",
    needs="solids",
    source="common_practice",
    judge=judge,
)
