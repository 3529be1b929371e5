"""Cord and gasket against the fuel: asked, never guessed."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_ASKED_FOR = ("methanol", "ethanol")


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the job where its fuel is hard on seals: whether the sheet names the seals' material."""
    fuel = case.sheet.air.fuel
    if fuel in _ASKED_FOR:
        yield Reading(
            subject="sheet.joint.seal_material",
            measured=1.0 if case.sheet.joint.seal_material else None,
            unit="named",
            at_least=1.0,
            message=f"Which seal material is bought? Ask its maker for one that bears {fuel}, and name it in the sheet.",
        )


RULE = Rule(
    id="seal.material",
    question="Is the seals' material known where the fuel is methanol or ethanol?",
    limit="named in the sheet; it is asked for, never guessed",
    cure="joint.seal_material in the sheet",
    bites_at="seal",
    needs="description",
    source="methanol_safety",
    judge=judge,
)
