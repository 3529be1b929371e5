"""How fast the air has to go through the throttles."""

from collections.abc import Iterator
from math import pi, sqrt

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_MOST_MACH = 0.25
_GAMMA, _GAS_CONSTANT, _ZERO_DEGC = 1.4, 287.05, 273.15


def judge(case: Case) -> Iterator[Reading]:
    """One reading for all throttles together: mean speed at the highest revs with cylinders filled once."""
    engine, throttles = case.sheet.engine, case.design.throttles
    if engine is None or not throttles:
        return
    swept_m3 = pi / 4 * engine.bore_mm**2 * engine.stroke_mm * engine.cylinders * 1e-9
    area_m2 = sum(pi / 4 * throttle.bore_mm**2 for throttle in throttles) * 1e-6
    speed = swept_m3 * engine.highest_rpm / 120.0 / area_m2
    sound = sqrt(_GAMMA * _GAS_CONSTANT * (case.sheet.air.charge_degc + _ZERO_DEGC))
    smallest = min(throttles, key=lambda throttle: throttle.bore_mm)
    yield Reading(
        subject=f"throttle.{smallest.name}",
        measured=speed / sound,
        unit="Mach",
        at_most=_MOST_MACH,
        broken="look",
        at_mm=smallest.frame.origin_mm,
        message=f"At {engine.highest_rpm:.0f} rpm the air goes {speed:.0f} m/s through the throttle and loses "
        "pressure there: a larger throttle body.",
    )


RULE = Rule(
    id="air.throttle_speed",
    question="Is the throttle large enough for the air at the highest revs?",
    limit="Mach 0.25, mean over the whole cycle; common practice",
    cure="a larger throttle body",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
