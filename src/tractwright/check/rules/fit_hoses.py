"""Hoses, pipes and cables that stay where they are."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.told import nearest_to_hose


def judge(case: Case) -> Iterator[Reading]:
    """One reading a hose: the part of the manifold that comes nearest to it."""
    for hose in case.sheet.room.hose:
        what, gap, place = nearest_to_hose(case, hose)
        name = f"hose.{hose.name.replace(' ', '_')}"
        yield Reading(
            subject="+".join(sorted(item for item in (name, what) if item)),
            measured=gap,
            unit="mm",
            at_least=case.sheet.room.clearance_mm,
            at_mm=place,
            message=f"It comes too near to the {hose.name}: move the hose, or keep the manifold off with a "
            "[[room.box]] round it.",
        )


RULE = Rule(
    id="fit.hoses",
    question="Does the manifold stay off the hoses that the sheet names?",
    limit="room.clearance of the sheet, from [[room.hose]]",
    cure="move the hose, or a [[room.box]] that keeps the manifold off it",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
