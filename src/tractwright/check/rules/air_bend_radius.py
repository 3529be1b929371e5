"""Bends wide enough for the air and for a skin that does not fold."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import bends
from tractwright.geometry.frames import vec3

_LEAST_SHARE = 1.3
_FROM_THE_COURSE = 0.985  # the course is held at 33 stations; between them a hair less is no fault of the job


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: its tightest place, as a share of the half size on the inside of the bend."""
    for runner in case.design.runners:
        model = case.tubes[runner.name]
        _, share = bends(model)
        worst = int(np.argmin(share))
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=min(float(share[worst]), 100.0),
            unit="x half size",
            at_least=_LEAST_SHARE * _FROM_THE_COURSE,
            at_mm=vec3(model.centre_mm[worst]),
            message="The bend is so tight that the skin folds on its inside: lengthen the runner or turn the plenum.",
        )


RULE = Rule(
    id="air.bend_radius",
    question="Is every bend wide enough that the skin does not fold and the air does not stall?",
    limit="bend radius at least 1.28 x (half the passage + wall) on the inside of the bend: 1.3, less a hair; judgement",
    cure="the course keeps it; lengthen the runner, or turn the plenum",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
