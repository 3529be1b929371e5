"""Features that no set-up makes."""

from collections.abc import Iterator

from tractwright.check.blocks import no_vice
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_FEW = 3


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that is cut here."""
    if case.plan is None:
        return
    for stock in case.plan.stocks:
        left = [(feature, why) for piece, feature, why in case.plan.missing if piece == stock.piece]
        names = ", ".join(feature for feature, _ in left[:_FEW])
        names += f" and {len(left) - _FEW} more" if len(left) > _FEW else ""
        one_cause = len(left) > 1 and all(why == left[0][1] for _, why in left)
        first = f"{'' if one_cause else f'{left[0][0]}: '}{left[0][1]}" if left else ""
        why = no_vice(case, stock.piece) or first
        yield Reading(
            subject=f"piece.{stock.piece}",
            measured=float(len(left)),
            unit="features",
            at_most=0.0,
            message=f"No set-up of this shop makes {names}, for {why}: another machine, a fixture, or another split.",
        )


RULE = Rule(
    id="hold.nothing_left",
    question="Is every feature of every piece made in some set-up, held by what is there by then?",
    limit="no feature left over",
    cure="another machine, a fixture, another split of the pieces",
    bites_at="hold",
    needs="making",
    source="common_practice",
    judge=judge,
)
