"""Head screws go where the head has its holes."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import joint_of
from tractwright.design.records import Bank, HeadHole, Screw

_SAME_MM = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw into the engine: how far it stands from the nearest hole of the head, or how they differ."""
    banks = {bank.name: bank for bank in case.design.banks}
    for screw in case.design.screws:
        if screw.tapped_in != "engine" or joint_of(case, screw.joint).kind != "head" or not case.design.head_holes:
            continue
        off = {hole.name: _off_mm(screw, hole, banks[hole.bank]) for hole in case.design.head_holes}
        hole = min(case.design.head_holes, key=lambda hole: off[hole.name])
        measured, message = _worst(screw, hole, off[hole.name])
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=measured,
            unit="mm",
            at_most=_SAME_MM,
            at_mm=screw.seat_mm,
            message=message,
        )


def _worst(screw: Screw, hole: HeadHole, off_mm: float) -> tuple[float, str]:
    """What does not agree with the hole, and by how much [mm]."""
    deeper = screw.tapped_depth_mm - hole.depth_mm
    if off_mm > _SAME_MM or deeper <= _SAME_MM:
        return (
            off_mm,
            f"The head has no hole here, {hole.name} is the nearest: put the screw over it, or correct the pattern.",
        )
    return (
        deeper,
        f"The thread of the head's {hole.name} is only {hole.depth_mm:g} mm deep: reckon with that, or deepen it.",
    )


def _off_mm(screw: Screw, hole: HeadHole, bank: Bank) -> float:
    """From a screw's axis to a hole's middle, in the head's face [mm]."""
    seat = bank.frame.to_local(np.array(screw.seat_mm))
    into = bank.frame.matrix() @ np.array(screw.direction)
    foot = seat - into * (seat[2] / into[2]) if abs(into[2]) > 1e-6 else seat
    return float(np.hypot(*(foot[:2] - np.array(hole.at_mm))))


RULE = Rule(
    id="pattern.head_hole",
    question="Does every head screw stand over a hole of the head, no deeper than its thread?",
    limit="0.05 mm; plain sums",
    cure="the place and depth of the head's own hole",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
