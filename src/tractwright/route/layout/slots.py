"""Slots in the head flange where the warm flange grows more than round holes have play for."""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

import numpy as np

from tractwright.design.file import Held
from tractwright.design.records import Design, Joint, Screw
from tractwright.design.slots import ways_from_middle
from tractwright.job.sheet import JobSheet
from tractwright.standards.materials import material
from tractwright.standards.threads import thread

COLD_DEGC = 20.0
_SAME_MM = 1.0


def slotted(design: Design, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """The screws, those of head joints with slots where the sheet asks for them. Raises TableError."""
    if sheet.head.slots == "none":
        return tuple(_held(screw, held, 0.0) for screw in design.screws)
    slots = {
        name: slot for joint in design.joints if joint.kind == "head" for name, slot in _slots(design, joint, sheet)
    }
    return tuple(_held(screw, held, slots.get(screw.name, 0.0)) for screw in design.screws)


def _slots(design: Design, joint: Joint, sheet: JobSheet) -> Iterator[tuple[str, float]]:
    """For each screw of a head joint how much longer its hole is."""
    screws = tuple(screw for screw in design.screws if screw.joint == joint.name)
    grown = wandered_mm(design, joint, sheet)
    off = np.linalg.norm(ways_from_middle(design, joint), axis=1) if screws else np.empty(0)
    for screw, far in zip(screws, off, strict=True):
        outer = sheet.head.slots == "outer" and far > float(off.min()) + _SAME_MM
        yield screw.name, max(_slot(screw, grown[screw.name]), sheet.head.slot_mm if outer else 0.0)


def wandered_mm(design: Design, joint: Joint, sheet: JobSheet) -> dict[str, float]:
    """How far the hole of each screw of a head joint wanders off the head's when warm, from the middle of all [mm]."""
    screws = tuple(screw for screw in design.screws if screw.joint == joint.name)
    ours = next((piece.material for piece in design.pieces if piece.name in joint.pieces), sheet.shop.material)
    differs = abs(material(ours).expansion_per_k - material(sheet.head.material).expansion_per_k)
    off = np.linalg.norm(ways_from_middle(design, joint), axis=1) if screws else np.empty(0)
    warm = abs(sheet.air.wall_degc - COLD_DEGC)
    return {screw.name: float(differs * warm * far) for screw, far in zip(screws, off, strict=True)}


def _slot(screw: Screw, wandered: float) -> float:
    """To the next half millimetre, and nothing where the round hole has play enough."""
    play = (screw.clearance_mm - thread(screw.thread).major_mm) / 2.0
    return ceil(4.0 * (wandered - play) - 1e-9) / 2.0 if wandered > play + 1e-9 else 0.0


def _held(screw: Screw, held: Held, slot: float) -> Screw:
    value = held.number(f"screw.{screw.name}.slot_mm", slot)
    return replace(screw, slot_mm=value) if value != screw.slot_mm else screw
