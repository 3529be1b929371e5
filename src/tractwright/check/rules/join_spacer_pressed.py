"""An insulating spacer under the clamp of its screws: warm and for good it creeps under what it bears cold."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a spacer: under its most loaded screw at the stated nut factor."""
    seats = {screw.name: screw.seat_mm for screw in case.design.screws}
    for load in case.loads.spacers:
        if load.screw:
            yield Reading(
                subject=f"spacer.{load.spacer}",
                measured=load.pressure_mpa,
                unit="MPa",
                at_most=load.limit_mpa,
                at_mm=seats[load.screw],
                message=f"Under {load.screw} the spacer creeps when warm and the clamp goes: a harder spacer.material, a "
                "thicker head.flange, more metal round the screw, or less torque.",
            )


RULE = Rule(
    id="join.spacer_pressed",
    question="Does the insulating spacer bear its screws for good?",
    limit="a quarter of its short, cold strength; the clamp at the sheet's nut factor on a cone of 30 degrees through the "
    "flange, as far as there is spacer (judgement)",
    cure="a harder material, a thicker flange, less torque",
    bites_at="join",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
