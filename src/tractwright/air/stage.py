"""The air stage: what to ask of a manifold before it is drawn, and how it breathes once it is."""

from tractwright.air.breathing import breathing_of
from tractwright.air.quick import quick_look
from tractwright.air.records import Allowed, Breathing, QuickLook, Wanted
from tractwright.air.sizing import allowed_freely, wanted_of
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Design
from tractwright.job.sheet import JobSheet


def wanted(sheet: JobSheet, pattern: Pattern) -> Wanted:
    """Length, areas, plenum, throttle and lip to aim at. Figures held in the sheet win.

    With an engine they come from simulation of torque about the wanted revs; without one, length and bore are the sheet's
    and the rest comes from labelled rules.
    """
    return wanted_of(_through_spacer(sheet, pattern.banks), pattern, allowed_freely(sheet))


def wanted_within(sheet: JobSheet, pattern: Pattern, allowed: Allowed) -> Wanted:
    """The same within what the room was found to allow."""
    return wanted_of(_through_spacer(sheet, pattern.banks), pattern, allowed)


def result(sheet: JobSheet, design: Design) -> Breathing | None:
    """How the drawn manifold breathes, with the real length and area of each runner; None where no engine is known."""
    told = _through_spacer(sheet, design.banks)
    return None if told.engine is None else breathing_of(told, told.engine, design)


def quick(sheet: JobSheet, design: Design) -> QuickLook | None:
    """Filling and torque for live use, within its stated error; None where no engine is known."""
    told = _through_spacer(sheet, design.banks)
    return None if told.engine is None else quick_look(told, told.engine, design)


def _through_spacer(sheet: JobSheet, banks: tuple[Bank, ...]) -> JobSheet:
    """The sheet with the way through an insulating spacer counted to the port behind it."""
    thick = max((bank.spacer_mm for bank in banks), default=0.0)
    if sheet.engine is None or thick == 0.0:
        return sheet
    longer = {"port_length_mm": sheet.engine.port_length_mm + thick}
    return sheet.model_copy(update={"engine": sheet.engine.model_copy(update=longer)})
