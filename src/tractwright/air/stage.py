"""The air stage: what to ask of a manifold before it is drawn, and how it breathes once it is."""

from tractwright.air.breathing import breathing_of
from tractwright.air.records import Breathing, Wanted
from tractwright.air.sizing import wanted_of
from tractwright.design.pattern import Pattern
from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet


def wanted(sheet: JobSheet, pattern: Pattern) -> Wanted:
    """Length, areas, plenum, throttle and lip to aim at. Figures held in the sheet win.

    With an engine the length puts a torque peak at the wanted revs by simulation; without one, length and bore are the
    sheet's and the rest comes from labelled rules.
    """
    return wanted_of(sheet, pattern)


def result(sheet: JobSheet, design: Design) -> Breathing | None:
    """How the drawn manifold breathes, with the real length and area of each runner; None where no engine is known."""
    if sheet.engine is None:
        return None
    return breathing_of(sheet, sheet.engine, design)
