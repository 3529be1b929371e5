"""The length the engine wants, and how far this manifold is from it."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_NEAR_ENOUGH = 0.02


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the runner furthest from what is wanted."""
    if not case.design.runners:
        return
    worst = max(case.design.runners, key=lambda runner: abs(runner.length_mm / runner.length_wanted_mm - 1.0))
    yield Reading(
        subject=f"runner.{worst.name}",
        measured=abs(worst.length_mm / worst.length_wanted_mm - 1.0),
        unit="share",
        at_most=_NEAR_ENOUGH,
        broken="look",
        message=f"{worst.length_mm:.0f} mm long where {worst.length_wanted_mm:.0f} are wanted: the peak moves, see "
        "the chart of lengths and revs; more room would bring it back.",
    )


RULE = Rule(
    id="air.length",
    question="Are the runners as long as the engine wants?",
    limit="2 % off the wanted length; judgement",
    cure="more room, or revs that suit the length there is",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
