"""A passage that widens too fast lets the flow come off its wall."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.frames import vec3

_WIDEST_DEG = 7.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: the widest included angle of the equivalent round passage, either way."""
    for runner in case.design.runners:
        model = case.tubes[runner.name]
        diameter = np.sqrt(4.0 * model.area_mm2 / np.pi)
        angle = np.degrees(2.0 * np.arctan(np.abs(np.gradient(diameter, model.s_mm)) / 2.0))
        worst = int(np.argmax(angle))
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=float(angle[worst]),
            unit="deg",
            at_most=_WIDEST_DEG,
            broken="look",
            at_mm=vec3(model.centre_mm[worst]),
            message="The passage changes its area quickly here: lengthen the change or bring the bores nearer "
            "together.",
        )


RULE = Rule(
    id="air.area_change",
    question="Does the passage widen and narrow gently?",
    limit="7 deg included angle of the equivalent round passage; common practice",
    cure="a longer change of area, or a bore nearer to the port's area",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
