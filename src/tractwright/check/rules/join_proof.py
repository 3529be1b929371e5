"""Clamp against the screws' own proof load."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_TORQUE_STEP_NM = 0.1


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint at the sheet's nut factor, one at the low factor: its most loaded screw."""
    screws = {screw.name: screw for screw in case.design.screws}
    for joint in dict.fromkeys(load.joint for load in case.loads.screws):
        group = [load for load in case.loads.screws if load.joint == joint]
        stated = max(group, key=lambda load: load.proof_used_stated)
        yield Reading(
            subject=f"joint.{joint}",
            measured=stated.proof_used_stated,
            unit="share of proof",
            at_most=1.0,
            at_mm=screws[stated.screw].seat_mm,
            message=f"{stated.screw} is stretched past its proof load: tighten less, a higher class, or a larger "
            "thread.",
        )
        low = max(group, key=lambda load: load.proof_used_high)
        rounding = _TORQUE_STEP_NM / 2 / screws[low.screw].torque_nm
        yield Reading(
            subject=f"screw.{low.screw}",
            measured=low.proof_used_high,
            unit="share of proof",
            at_most=1.0 + rounding,
            broken="look",
            at_mm=screws[low.screw].seat_mm,
            message="Should its thread run slippery, it stretches past its proof load: oil as the sheet says, or "
            "tighten less.",
        )


RULE = Rule(
    id="join.proof",
    question="Does no screw get stretched past its proof load?",
    limit="the proof load at the sheet's nut factor; at 0.6 of that factor a look, torque's last digit forgiven",
    cure="less torque, a higher class, a larger thread",
    bites_at="join",
    needs="description",
    source="iso_898_1",
    judge=judge,
)
