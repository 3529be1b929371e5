"""Pressure under heads and washers against what the metal bears."""

from collections.abc import Iterator
from math import floor

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.strength.records import ScrewLoad

_CURE = "a washer, a smaller hole under it"


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw at the stated nut factor; one a joint, of those that hold at that the worst one, at the low factor.
    What is only the torque's fault is join.proof's to say.
    """
    seats = {screw.name: screw.seat_mm for screw in case.design.screws}
    torques = {screw.name: screw.torque_nm for screw in case.design.screws}
    for load in case.loads.screws:
        if _is_torque(load):
            continue
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
        group = [load for load in case.loads.screws if load.joint == joint and _holds(load)]
        if not group:
            continue
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


def _holds(load: ScrewLoad) -> bool:
    """Whether screw and seat bear the torque at the stated nut factor."""
    return load.proof_used_stated <= 1.0 and load.seat_stated_mpa <= load.seat_limit_mpa


def _is_torque(load: ScrewLoad) -> bool:
    """Whether a screw is past its proof load, and its seat bears it once it is tightened less."""
    at_proof = load.seat_stated_mpa / max(load.proof_used_stated, 1e-9)
    return load.proof_used_stated > 1.0 and at_proof <= load.seat_limit_mpa < load.seat_stated_mpa


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
