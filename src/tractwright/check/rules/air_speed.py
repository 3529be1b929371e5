"""How fast the air has to go through the narrowest place of a runner."""

from collections import Counter
from collections.abc import Iterator
from math import pi, sqrt

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Design
from tractwright.design.tube import runner_ports
from tractwright.geometry.frames import vec3

_MOST_MACH = 0.3
_GAMMA, _GAS_CONSTANT, _ZERO_DEGC = 1.4, 287.05, 273.15


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the runner with the fastest air: mean speed of a whole intake stroke at the highest revs."""
    engine = case.sheet.engine
    if engine is None or not case.design.runners:
        return
    share = _shares(case.design)
    name = max(case.tubes, key=lambda name: share[name] / float(case.tubes[name].area_mm2.min()))
    model = case.tubes[name]
    narrowest = int(np.argmin(model.area_mm2))
    piston_speed = 2.0 * engine.stroke_mm * 1e-3 * engine.highest_rpm / 60.0
    speed = piston_speed * pi / 4 * engine.bore_mm**2 * share[name] / float(model.area_mm2[narrowest])
    sound = sqrt(_GAMMA * _GAS_CONSTANT * (case.sheet.air.charge_degc + _ZERO_DEGC))
    yield Reading(
        subject=f"runner.{name}",
        measured=speed / sound,
        unit="Mach",
        at_most=_MOST_MACH,
        broken="look",
        at_mm=vec3(model.centre_mm[narrowest]),
        message=f"At {engine.highest_rpm:.0f} rpm the air goes {speed:.0f} m/s here on average, and chokes in "
        "peaks: a larger bore or port, or fewer revs.",
    )


def _shares(design: Design) -> dict[str, float]:
    """What share of a cylinder each runner feeds: half where two runners share one."""
    fed = {
        runner.name: {cylinder for port in runner_ports(runner, design) for cylinder in port.cylinders}
        for runner in design.runners
    }
    count = Counter(cylinder for cylinders in fed.values() for cylinder in cylinders)
    return {
        name: max((1.0 / count[cylinder] for cylinder in cylinders), default=1.0) for name, cylinders in fed.items()
    }


RULE = Rule(
    id="air.speed",
    question="Is every passage wide enough for the air at the highest revs?",
    limit="Mach 0.3, mean of an intake stroke in the narrowest place; common practice",
    cure="a larger bore",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
