"""Cord and gasket against fuel and whatever is sprayed in: asked, never guessed."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.standards.seal_materials import bears

_ADDS = {
    "nothing": (),
    "water": ("water",),
    "methanol": ("methanol",),
    "water and methanol": ("water", "methanol"),
}


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the job: what the seals have to bear that their material may not."""
    sheet = case.sheet
    liquids = tuple(dict.fromkeys((sheet.air.fuel, *_ADDS[sheet.air.sprayed])))
    material = sheet.joint.seal_material or ""
    if not material:
        yield _reading(
            None, f"Which material are the seals of? Ask for one that bears {_listed(liquids)}, and name it."
        )
        return
    words = {liquid: bears(material, liquid) for liquid in liquids}
    refused = [liquid for liquid, word in words.items() if word == "no"]
    asked = [liquid for liquid, word in words.items() if word == "ask"]
    if refused:
        yield _reading(
            0.0, f"{material} is known to swell or soften in {_listed(refused)}: take another seal material."
        )
    elif asked and not sheet.joint.seal_confirmed:
        yield _reading(
            None,
            f"Whether {material} bears {_listed(asked)} depends on its grade: ask its maker, then say "
            "joint.seal_confirmed.",
        )
    else:
        yield _reading(1.0, f"{material} bears {_listed(liquids)}.")


def _reading(measured: float | None, message: str) -> Reading:
    return Reading(subject="sheet.joint.seal_material", measured=measured, unit="suited", at_least=1.0, message=message)


def _listed(names: tuple[str, ...] | list[str]) -> str:
    return " and ".join(names)


RULE = Rule(
    id="seal.material",
    question="Do the seals bear the fuel, and what is sprayed in beside it?",
    limit="joint.seal_material of the sheet against the table of materials; where that cannot say, the maker's word "
    "(joint.seal_confirmed)",
    cure="another seal material",
    bites_at="seal",
    needs="description",
    source="seal_material_memory",
    judge=judge,
)
