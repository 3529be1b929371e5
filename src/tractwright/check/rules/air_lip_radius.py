"""How round an entry is."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule

_LEAST_SHARE = 0.1


def judge(case: Case) -> Iterator[Reading]:
    """One reading a mouth in a plenum's floor: its lip's radius over its bore."""
    floors = {plenum.name for plenum in case.design.plena}
    for runner in case.design.runners:
        mouth = runner.mouth
        if mouth.plenum not in floors:
            continue
        radius = round(_LEAST_SHARE * mouth.bore_mm + 0.05, 1)
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=mouth.lip_radius_mm / mouth.bore_mm,
            unit="bores",
            at_least=_LEAST_SHARE,
            broken="look",
            message=f"So sharp an entry costs flow: round it {radius:g} mm or more where there is room.",
            fix=Fix(path=f"runner.{runner.name}.mouth.lip_radius_mm", value=radius, what=f"lip radius {radius:g} mm"),
        )


RULE = Rule(
    id="air.lip_radius",
    question="Is every entry round enough?",
    limit="0.1 of the bore: an entry loss of 0.12 of the speed's pressure, 0.5 for a sharp one",
    cure="a larger lip radius",
    bites_at="air",
    needs="description",
    source="idelchik_1989",
    judge=judge,
)
