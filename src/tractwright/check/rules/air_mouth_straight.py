"""Passages of a piece that the user has drawn, where they come out of it into the plenum's floor."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.frames import vec3

_MOST_DEG = 3.0
"""A kink no larger than this sheds no eddy worth counting: shop judgement."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: how far its passage leans where it meets the floor's bore, which is square to the joint."""
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
            message="The passage comes out leaning and goes on square through the floor: let it arrive square, or blend the "
            "kink by hand.",
        )


RULE = Rule(
    id="air.mouth_straight",
    question="Do passages drawn already go on straight through the plenum's floor?",
    limit="3 deg; shop judgement",
    cure="the passage drawn to arrive square",
    bites_at="air",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
