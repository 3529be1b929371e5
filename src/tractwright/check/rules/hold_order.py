"""Nothing is located or held by a feature that is not cut yet."""

from collections.abc import Iterator

from tractwright.check.blocks import no_vice
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that is cut here: what its set-ups ask for and no set-up before has made."""
    setups = case.plan.setups if case.plan else ()
    for piece in dict.fromkeys(setup.piece for setup in setups):
        made: set[str] = set()
        early: list[tuple[str, str]] = []
        for setup in setups:
            if setup.piece == piece:
                early += [(setup.name, feature) for feature in setup.needs if feature not in made]
                made |= set(setup.makes)
        first = f"{early[0][0]} is held by the {early[0][1]}, which is not cut by then" if early else ""
        vice = no_vice(case, piece) if early else ""
        first += f" ({vice})" if vice else ""
        yield Reading(
            subject=f"piece.{piece}",
            measured=float(len(early)),
            unit="features",
            at_most=0.0,
            message=f"{first}: cut that earlier, or hold the piece another way.",
        )


RULE = Rule(
    id="hold.order",
    question="Is every set-up held by what has been cut by then?",
    limit="no feature used before it is cut",
    cure="another order of set-ups, another hold",
    bites_at="hold",
    needs="making",
    source="common_practice",
    judge=judge,
)
