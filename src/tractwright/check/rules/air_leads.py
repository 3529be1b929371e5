"""A runner bends after its flanges, not within them."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.mouths import ground_of
from tractwright.design.records import Bank, Flange, Runner

_TRACED_MM = 3.0
"""Where a straight ends is told that well of a traced passage: a bend of 60 mm has left it by 0.08 mm there."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: the end whose straight lead ends first, against the plates it goes through there.

    Of a passage drawn already the lead is traced, and whether it can be cut is for its reach to say: a look.
    """
    drawn = case.described.own is not None
    for runner in case.design.runners:
        ends = {
            "port": ("port_lead_mm", runner.port_lead_mm, _at_port(case, runner)),
            "mouth": ("mouth_lead_mm", runner.mouth_lead_mm, _at_mouth(case, runner)),
        }
        end = min(ends, key=lambda name: ends[name][1] - ends[name][2])
        field, lead, plates = ends[end]
        least = round(plates + 0.05, 1)
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=lead,
            unit="mm",
            at_least=plates - _TRACED_MM if drawn else plates,
            broken="look" if drawn else "stop",
            message=f"The runner bends inside its flange at the {end}: the bore cannot be cut square there. "
            f"Keep it straight for {least:g} mm.",
            fix=Fix(path=f"runner.{runner.name}.{field}", value=least, what=f"straight for {least:g} mm at the {end}"),
        )


def _at_port(case: Case, runner: Runner) -> float:
    """Way through the head flange along the port's axis [mm]."""
    bank = next(bank for bank in case.design.banks if bank.name == runner.bank)
    axis = next(np.array(port.axis) for port in case.design.ports if port.name in runner.ports)
    plates = _plates(case, "head")
    nearest = min(plates, key=lambda plate: _off(plate, bank), default=None)
    return nearest.thickness_mm / float(axis @ np.array(bank.frame.z)) if nearest is not None else 0.0


def _at_mouth(case: Case, runner: Runner) -> float:
    """Way through mouth flange and floor [mm]."""
    floors = {piece.name for piece in case.design.pieces if piece.kind == "plenum"}
    mouths = [plate.thickness_mm for plate in _plates(case, "runner") if plate.piece not in floors]
    return ground_of(runner, case.design).floor_mm + max(mouths, default=0.0)


def _plates(case: Case, kind: str) -> list[Flange]:
    joints = {joint.name for joint in case.design.joints if joint.kind == kind}
    return [flange for flange in case.design.flanges if flange.joint in joints]


def _off(plate: Flange, bank: Bank) -> float:
    return float(np.linalg.norm(bank.frame.to_local(np.array(plate.frame.origin_mm))))


RULE = Rule(
    id="air.leads",
    question="Does every runner go straight through its flanges?",
    limit="straight as far as head flange, and mouth flange with floor, are thick; plain sums",
    cure="longer leads",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
