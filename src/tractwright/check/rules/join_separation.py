"""Clamp against the pressure that parts a joint."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_LEAST = 1.5
_LEAST_BACKFIRE = 1.0
_MOST_SHOWN = 1000.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint at the pressure that stays on; one for the joint a backfire parts first."""
    for load in case.loads.joints:
        yield Reading(
            subject=f"joint.{load.joint}",
            measured=min(load.separation_factor, _MOST_SHOWN),
            unit="times",
            at_least=_LEAST,
            message="The pressure parts this joint: more screws, a larger thread, or a higher class and its torque.",
        )
    if case.loads.joints:
        weakest = min(case.loads.joints, key=lambda load: load.backfire_factor)
        bar = case.loads.pressures.backfire_mpa * 10.0
        yield Reading(
            subject="job.backfire",
            measured=min(weakest.backfire_factor, _MOST_SHOWN),
            unit="times",
            at_least=_LEAST_BACKFIRE,
            broken="look",
            message=f"A backfire of {bar:.1f} bar opens joint {weakest.joint} for a moment: more screws, or a "
            "relief valve.",
        )


RULE = Rule(
    id="join.separation",
    question="Does every joint stay shut at boost, and in a backfire?",
    limit="settled clamp at the high nut factor 1.5 x the parting force at boost or leak test; at the backfire's "
    "pressure 1 x, a look",
    cure="more screws, a larger thread, a higher class",
    bites_at="join",
    needs="description",
    source="nut_factor",
    judge=judge,
)
