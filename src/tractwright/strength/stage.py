"""Loads of a design: what pressure, clamp and seals make of it. Plate and ring formulas; no solid is needed."""

from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet
from tractwright.strength.joints import joint_load, seal_load
from tractwright.strength.pressure import pressures_of, stored_energy_j
from tractwright.strength.records import Loads
from tractwright.strength.screws import screw_load
from tractwright.strength.spacers import spacer_load
from tractwright.strength.walls import plenum_plates, runner_load


def loads(sheet: JobSheet, design: Design) -> Loads:
    """All loads. Raises TableError for a thread, class, cord or metal that no table holds."""
    pressures = pressures_of(sheet.air)
    screws = tuple(screw_load(screw, sheet, design) for screw in design.screws)
    joints = (joint_load(joint, design, screws, pressures) for joint in design.joints)
    seals = (seal_load(seal) for seal in design.seals)
    volume_l = sum(plenum.volume_l for plenum in design.plena) + sum(
        runner.length_mm * (runner.area_mm2[0][1] + runner.area_mm2[-1][1]) / 2.0 * 1e-6 for runner in design.runners
    )
    return Loads(
        pressures=pressures,
        joints=tuple(load for load in joints if load is not None),
        seals=tuple(load for load in seals if load is not None),
        screws=screws,
        plates=tuple(plate for plenum in design.plena for plate in plenum_plates(plenum, design, pressures)),
        runners=tuple(runner_load(runner, design, pressures) for runner in design.runners),
        spacers=tuple(spacer_load(spacer, design, sheet, screws) for spacer in design.spacers),
        stored_energy_j=stored_energy_j(volume_l, pressures.steady_mpa * 10.0, sheet.air.ambient_bar),
    )
