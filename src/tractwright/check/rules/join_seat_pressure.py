"""Pressure under heads and washers against what the metal bears."""

from collections.abc import Iterator
from math import floor

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_CURE = "a washer, a smaller hole under it"


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw at the stated nut factor; one a joint, its worst screw, at the low one."""
    seats = {screw.name: screw.seat_mm for screw in case.design.screws}
    torques = {screw.name: screw.torque_nm for screw in case.design.screws}
    for load in case.loads.screws:
        most = floor(10.0 * torques[load.screw] * load.seat_limit_mpa / max(load.seat_stated_mpa, 1e-9)) / 10.0
        yield Reading(
            subject=f"screw.{load.screw}",
            measured=load.seat_stated_mpa,
            unit="MPa",
            at_most=load.seat_limit_mpa,
            at_mm=seats[load.screw],
            message=f"At {torques[load.screw]:g} Nm the head sinks into the metal and the clamp is lost: {_CURE}, or at "
            f"most {most:g} Nm.",
        )
    for joint in dict.fromkeys(load.joint for load in case.loads.screws):
        group = [load for load in case.loads.screws if load.joint == joint]
        worst = max(group, key=lambda load: load.seat_high_mpa / load.seat_limit_mpa)
        yield Reading(
            subject=f"joint.{joint}",
            measured=worst.seat_high_mpa,
            unit="MPa",
            at_most=worst.seat_limit_mpa,
            broken="look",
            at_mm=seats[worst.screw],
            message=f"Should its thread run slippery, {worst.screw}'s head sinks into the metal: {_CURE}, or tighten less.",
        )


RULE = Rule(
    id="join.seat_pressure",
    question="Does the metal under every head or washer bear the clamp?",
    limit="the metal's limit at the sheet's nut factor; at 0.6 of that factor a look",
    cure="a washer, a smaller clearance hole, less torque",
    bites_at="join",
    needs="description",
    source="vdi_2230_seat",
    judge=judge,
)
