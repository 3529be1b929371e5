"""Features that no set-up makes."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.holds import features_of


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that is cut here."""
    if case.plan is None:
        return
    cut = {stock.piece for stock in case.plan.stocks}
    for piece in case.design.pieces:
        if piece.name not in cut or piece.own:
            continue
        made = {feature for setup in case.plan.setups if setup.piece == piece.name for feature in setup.makes}
        left = sorted(features_of(case.design, piece) - made)
        yield Reading(
            subject=f"piece.{piece.name}",
            measured=float(len(left)),
            unit="features",
            at_most=0.0,
            message=f"No set-up of this machine makes: {', '.join(left)}. Another machine, a fixture, or another "
            "split.",
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
