"""The passage against the openings it joins: a step that faces the flow costs air."""

from collections.abc import Iterator
from math import pi, sqrt

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Runner
from tractwright.geometry.outlines import outline_area

_AGAINST_MM = 0.2
_ALONG_MM = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """For each runner the mean step at its port and at its mouth, from the areas that meet there."""
    for runner in case.design.runners:
        yield _at_port(case, runner)
        yield _at_mouth(runner)


def _at_port(case: Case, runner: Runner) -> Reading:
    bank = next(bank for bank in case.design.banks if bank.name == runner.bank)
    ports = [port for port in case.design.ports if port.name in runner.ports]
    opening = sum(outline_area(port.outline) * float(np.dot(port.axis, bank.frame.z)) for port in ports)
    step = _radius(runner.area_mm2[0][1]) - _radius(opening)
    wide = step > 0.0
    return Reading(
        subject="+".join(sorted((f"runner.{runner.name}", *(f"port.{port.name}" for port in ports)))),
        measured=abs(step),
        unit="mm",
        at_most=_AGAINST_MM if wide else _ALONG_MM,
        broken="stop" if wide else "look",
        message="The passage is wider than the port, and the air meets the head's edge: give it the port's area there."
        if wide
        else "The passage is narrower than the port, and the air comes off the wall there: give it the port's area.",
    )


def _at_mouth(runner: Runner) -> Reading:
    step = _radius(runner.area_mm2[-1][1]) - runner.mouth.bore_mm / 2.0
    return Reading(
        subject=f"runner.{runner.name}",
        measured=abs(step),
        unit="mm",
        at_most=_AGAINST_MM,
        message="The passage's area at the mouth is not that of the mouth's bore: hold one of the two, not both.",
    )


def _radius(area_mm2: float) -> float:
    return sqrt(max(area_mm2, 0.0) / pi)


RULE = Rule(
    id="air.port_match",
    question="Has every passage the area of its port and of its mouth where they meet?",
    limit="a mean step of 0.2 mm against the flow, 0.5 mm along it a look; common practice",
    cure="the port's area at the port, the bore's at the mouth",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
