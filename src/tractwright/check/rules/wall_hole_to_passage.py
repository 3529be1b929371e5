"""Metal between a screw's holes and the passages."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage
from tractwright.geometry.frames import vec3

_LEAST_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: the passage nearest to its clearance hole, counterbore or thread."""
    for screw in case.design.screws:
        gaps = {name: hole_to_passage(screw, model) for name, model in case.tubes.items()}
        nearest = min(gaps, key=lambda name: gaps[name][0])
        gap, place = gaps[nearest]
        yield Reading(
            subject=f"runner.{nearest}+screw.{screw.name}",
            measured=gap,
            unit="mm",
            at_least=_LEAST_MM,
            at_mm=vec3(place),
            message="The hole runs too near a passage: it may break through. Move the screw, or a smaller one.",
        )


RULE = Rule(
    id="wall.hole_to_passage",
    question="Is there metal enough between every screw hole and every passage?",
    limit="2 mm; common practice",
    cure="move the screw, a smaller screw, a shallower thread",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
