"""Runners keep off one another."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import neighbour_gaps
from tractwright.geometry.frames import vec3


def judge(case: Case) -> Iterator[Reading]:
    """One reading a pair of runners."""
    for (a, b), (gap, place) in neighbour_gaps(case).items():
        yield Reading(
            subject=f"runner.{a}+runner.{b}",
            measured=gap,
            unit="mm",
            at_least=case.sheet.runner.neighbour_gap_mm,
            at_mm=vec3(place),
            message="Skins stand too near for a cutter between them: spread the mouths or thin the walls.",
        )


RULE = Rule(
    id="fit.neighbours",
    question="Is there room for a cutter between neighbouring runners?",
    limit="runner.neighbour_gap of the sheet, between the flanges",
    cure="the course keeps the gap; where it cannot, the demands that bind are named",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
