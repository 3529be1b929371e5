"""Clamp against the screws' own proof load."""

from collections.abc import Iterator
from math import floor

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw at the sheet's nut factor; one a joint, of the screws that hold at that the most loaded one, at the
    low factor.
    """
    seats = {screw.name: screw.seat_mm for screw in case.design.screws}
    torques = {screw.name: screw.torque_nm for screw in case.design.screws}
    for load in case.loads.screws:
        most = floor(10.0 * torques[load.screw] / max(load.proof_used_stated, 1e-9)) / 10.0
        yield Reading(
            subject=f"screw.{load.screw}",
            measured=load.proof_used_stated,
            unit="share of proof",
            at_most=1.0,
            at_mm=seats[load.screw],
            message=f"Its torque of {torques[load.screw]:g} Nm stretches it past its proof load: {most:g} Nm at most, a higher "
            "class, or a larger thread.",
            fix=Fix(path=f"screw.{load.screw}.torque_nm", value=most, what=f"{most:g} Nm"),
        )
    for joint in dict.fromkeys(load.joint for load in case.loads.screws):
        group = [load for load in case.loads.screws if load.joint == joint and load.proof_used_stated <= 1.0]
        if not group:
            continue
        worst = max(group, key=lambda load: load.proof_used_high)
        yield Reading(
            subject=f"joint.{joint}",
            measured=worst.proof_used_high,
            unit="share of proof",
            at_most=1.0,
            broken="look",
            at_mm=seats[worst.screw],
            message=f"Should its thread run slippery, {worst.screw} stretches past its proof load: oil as the sheet "
            "says, or tighten less.",
        )


RULE = Rule(
    id="join.proof",
    question="Does no screw get stretched past its proof load?",
    limit="the proof load at the sheet's nut factor; at 0.6 of that factor a look",
    cure="less torque, a higher class, a larger thread",
    bites_at="join",
    needs="description",
    source="iso_898_1",
    judge=judge,
)
