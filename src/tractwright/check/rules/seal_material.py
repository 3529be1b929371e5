"""Cord and gasket against fuel and whatever is sprayed in: asked, never guessed."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.standards.seal_materials import bears, is_listed

_ADDS = {
    "nothing": (),
    "water": ("water",),
    "methanol": ("methanol",),
    "water and methanol": ("water", "methanol"),
}


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the material that the sheet names, one for each seal of another: what it may not bear."""
    named = case.sheet.joint.seal_material or ""
    yield _reading(case, "sheet.joint.seal_material", named)
    for seal in case.design.seals:
        if seal.material not in ("", named):
            yield _reading(case, f"seal.{seal.name}", seal.material)


def _reading(case: Case, subject: str, material: str) -> Reading:
    air = case.sheet.air
    liquids = tuple(dict.fromkeys((air.fuel, *_ADDS[air.sprayed])))
    words = {liquid: bears(material, liquid) for liquid in liquids}
    refused = [liquid for liquid, word in words.items() if word == "no"]
    asked = [liquid for liquid, word in words.items() if word == "ask"]
    measured, message = 1.0, f"{material} bears {_listed(liquids)}."
    if not material:
        measured = None
        message = f"The seals' material is not known: ask for one that bears {_listed(liquids)}, and state joint.seal_material."
    elif refused:
        measured = 0.0
        message = f"{material} is known to swell or soften in {_listed(refused)}: take another seal material."
    elif asked and not case.sheet.joint.seal_confirmed:
        measured = None
        why = "depends on its grade" if is_listed(material) else "is not in our table"
        message = (
            f"Whether {material} bears {_listed(asked)} {why}: ask its maker, then state joint.seal_confirmed = true."
        )
    return Reading(subject=subject, measured=measured, unit="suited", at_least=1.0, message=message)


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
