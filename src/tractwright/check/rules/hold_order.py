"""Nothing is located or held by a feature that is not cut yet."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.holds import across_jaws_mm


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
        first += _no_vice(case, piece) if early else ""
        yield Reading(
            subject=f"piece.{piece}",
            measured=float(len(early)),
            unit="features",
            at_most=0.0,
            message=f"{first}: cut that earlier, or hold the piece another way.",
        )


def _no_vice(case: Case, piece: str) -> str:
    """Why a block that nothing is cut of yet has no hold, where it is the vice."""
    shop = case.sheet.shop
    for stock in case.plan.stocks if case.plan else ():
        if stock.piece == piece and not any(across_jaws_mm(shop, stock.size_mm, up) for up in range(3)):
            size = " x ".join(f"{side:.0f}" for side in stock.size_mm)
            return f" (its block, {size} mm, stands safely in no vice that opens {shop.vice_opening_mm:.0f} mm)"
    return ""


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
