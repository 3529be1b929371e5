"""The air stage: what to ask of a manifold before it is drawn, and how it breathes once it is."""

from tractwright.air.breathing import breathing_of
from tractwright.air.quick import quick_look
from tractwright.air.records import Allowed, Breathing, QuickLook, Wanted
from tractwright.air.sizing import wanted_of
from tractwright.design.pattern import Pattern
from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet


def wanted(sheet: JobSheet, pattern: Pattern) -> Wanted:
    """Length, areas, plenum, throttle and lip to aim at. Figures held in the sheet win.

    With an engine they come from simulation of torque about the wanted revs; without one, length and bore are the sheet's
    and the rest comes from labelled rules.
    """
    return wanted_of(sheet, pattern, Allowed())


def wanted_within(sheet: JobSheet, pattern: Pattern, allowed: Allowed) -> Wanted:
    """The same within what the room was found to allow."""
    return wanted_of(sheet, pattern, allowed)


def result(sheet: JobSheet, design: Design) -> Breathing | None:
    """How the drawn manifold breathes, with the real length and area of each runner; None where no engine is known."""
    if sheet.engine is None:
        return None
    return breathing_of(sheet, sheet.engine, design)


def quick(sheet: JobSheet, design: Design) -> QuickLook | None:
    """Filling and torque for live use, within its stated error; None where no engine is known."""
    if sheet.engine is None:
        return None
    return quick_look(sheet, sheet.engine, design)
