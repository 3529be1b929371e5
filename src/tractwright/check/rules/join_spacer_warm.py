"""An insulating spacer lies on the warm head for good."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.spacer_space import joint_of
from tractwright.standards.spacer_materials import spacer_material


def judge(case: Case) -> Iterator[Reading]:
    """One reading a spacer: what it may be lastingly, against the head's face."""
    facts = case.sheet.spacer
    if facts is None:
        return
    for spacer in case.design.spacers:
        yield Reading(
            subject=f"spacer.{spacer.name}",
            measured=spacer_material(spacer.material).long_term_degc,
            unit="C",
            at_least=facts.warm_head_degc,
            at_mm=joint_of(spacer, case.design).frame.origin_mm,
            message=f"The {spacer.material} spacer chars or softens on a head that warm: a material that bears it.",
        )


RULE = Rule(
    id="join.spacer_warm",
    question="Does the insulating spacer bear the head's heat for good?",
    limit="spacer.warm_head of the sheet, against what its material may be lastingly",
    cure="a material for more heat",
    bites_at="join",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
