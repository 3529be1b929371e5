"""How far off square passages of a piece that the user has drawn come out of it into the plenum's floor."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.frames import vec3

_MOST_DEG = 20.0
"""Further off square an entry has a thin, sharp side: shop judgement."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: how far its passage leans where it goes through the floor."""
    own = case.described.own
    if own is None:
        return
    for runner, drawn in zip(case.design.runners, own.runners, strict=True):
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=drawn.lean_deg,
            unit="deg",
            at_most=_MOST_DEG,
            broken="look",
            at_mm=vec3(own.mouth_frame.to_world((*drawn.mouth_mm, 0.0))),
            message="The passage comes out so far off square that its entry has a sharp side: let it arrive squarer.",
        )


RULE = Rule(
    id="air.mouth_straight",
    question="Do passages drawn already arrive square enough for a round entry?",
    limit="20 deg; shop judgement",
    cure="the passage drawn to arrive squarer",
    bites_at="air",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
