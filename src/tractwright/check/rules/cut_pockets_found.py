"""Pockets were asked for and no ground was found for any."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading where the sheet asks for pockets: how many there are."""
    if case.sheet.head.pockets:
        yield Reading(
            subject="sheet.head.pockets",
            measured=float(len(case.design.pockets)),
            unit="pockets",
            at_least=1.0,
            broken="look",
            message="No metal of the head flange is free for a pocket: less land, a thinner floor or smaller corners.",
        )


RULE = Rule(
    id="cut.pockets_found",
    question="Where the sheet asks for pockets, is there metal to take out?",
    limit="one at least",
    cure="less head.pocket_land, head.pocket_floor or head.pocket_corner",
    bites_at="cut",
    needs="description",
    source="common_practice",
    judge=judge,
)
