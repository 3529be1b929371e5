"""Does every groove turn its corners wide enough for the cord?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.contours import least_radius
from tractwright.standards.cords import smallest_corner_radius_mm


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the tightest corner of its groove's centreline."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        yield Reading(
            subject=f"seal.{seal.name}",
            measured=least_radius(seal.path),
            unit="mm",
            at_least=smallest_corner_radius_mm(seal.section_mm),
            message="The groove turns too tightly for its cord: a wider corner or a thinner cord.",
        )


RULE = Rule(
    id="seal.corner",
    question="Does every groove turn its corners wide enough for the cord?",
    limit="three sections at the groove's centreline; common practice",
    cure="a wider corner",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
