"""Screws hardly tightened work loose."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.clamp import torque_at_proof_share_nm

_LEAST = 0.3
_USUAL = 0.6
_NOTHING = 0.1


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint: its least tightened screw, as a share of the proof load."""
    screws = {screw.name: screw for screw in case.design.screws}
    for joint in dict.fromkeys(load.joint for load in case.loads.screws):
        least = min(
            (load for load in case.loads.screws if load.joint == joint), key=lambda load: load.proof_used_stated
        )
        screw = screws[least.screw]
        usual = torque_at_proof_share_nm(screw.thread, screw.property_class, _USUAL, case.sheet.joint.nut_factor)
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=least.proof_used_stated,
            unit="share of proof",
            at_least=_LEAST,
            broken="stop" if least.proof_used_stated < _NOTHING else "look",
            at_mm=screw.seat_mm,
            message=f"Tightened to {screw.torque_nm:g} Nm it is likely to work loose: {usual:.0f} Nm is usual for "
            f"{screw.thread} of class {screw.property_class}.",
            fix=Fix(
                path=f"screw.{screw.name}.torque_nm", value=int(10 * usual) / 10, what=f"{int(10 * usual) / 10:g} Nm"
            ),
        )


RULE = Rule(
    id="join.slack",
    question="Is every screw tightened enough to stay tight?",
    limit="0.3 of the proof load at the sheet's nut factor a look, 0.1 a stop; common practice",
    cure="more torque, or a smaller screw",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
