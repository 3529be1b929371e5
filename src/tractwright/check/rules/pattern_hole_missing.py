"""A hole that the pattern's own symmetry asks for and the scan neither shows nor rules out."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_SEEN = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each place where the pattern would repeat itself and no hole was found."""
    for place in case.pattern.probable:
        x, y = place.at_mm
        yield Reading(
            subject=f"pattern.hole_at_{x:.0f}_{y:.0f}",
            measured=place.seen,
            unit="share",
            at_least=_SEEN,
            broken="look",
            message=f"A hole is probably missing at x {x:.1f}, y {y:.1f} ({place.why}): the scan does not show that "
            "place. It is taken as a screw: look at the head, and list the screws as [[pattern.screw]].",
        )


RULE = Rule(
    id="pattern.hole_missing",
    question="Is every hole that mirror and pitch ask for found, or seen not to be there?",
    limit="half of the place seen; judgement",
    cure="look at the head, and list the screws as [[pattern.screw]]",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
