"""Engine figures against each other."""

from collections.abc import Iterator
from math import hypot

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet

_LEAST_ROD = 1.1
"""Rod length over stroke: under this the piston's skirt meets the crank's webs; judgement."""
_MOST_LIFT = 0.5
"""Lift over valve diameter: the curtain passes all the seat can at a quarter; judgement."""
_SHORTEST_INTAKE_DEG = 150.0
_LONGEST_INTAKE_DEG = 350.0
"""Crank angle from opening to closing; judgement."""


def sizes_without_engine(sheet: JobSheet) -> Iterator[CrossFault]:
    """With nothing known of the engine, length and bore have to come from the sheet."""
    if sheet.engine is None:
        for key, value in (("length", sheet.runner.length_mm), ("bore", sheet.runner.bore_mm)):
            if value is None:
                yield ("runner", key), "nothing, and no [engine]", "a length: without an engine it cannot be solved"


def firing_order(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each cylinder fires once."""
    engine = sheet.engine
    if engine is not None and sorted(engine.firing_order) != list(range(1, engine.cylinders + 1)):
        given = "[" + ", ".join(str(number) for number in engine.firing_order) + "]"
        yield ("engine", "firing_order"), given, f"each cylinder number from 1 to {engine.cylinders} once"


def valves_in_bore(sheet: JobSheet) -> Iterator[CrossFault]:
    """All valve heads together take no more area than the bore has."""
    engine = sheet.engine
    if engine is None:
        return
    intake = engine.intake_valves**0.5 * engine.intake_valve_mm
    exhaust = engine.exhaust_valves**0.5 * engine.exhaust_valve_mm
    if hypot(intake, exhaust) > engine.bore_mm:
        given = f"{engine.intake_valves} of {engine.intake_valve_mm:g} mm, with {engine.exhaust_valves} exhaust valves "
        given += f"of {engine.exhaust_valve_mm:g} mm"
        yield ("engine", "intake_valve"), given, f"valves that fit a bore of {engine.bore_mm:g} mm together"


def lifts(sheet: JobSheet) -> Iterator[CrossFault]:
    """No valve lifts more than half its diameter."""
    engine = sheet.engine
    if engine is None:
        return
    pairs = (
        ("intake_lift", engine.intake_lift_mm, engine.intake_valve_mm),
        ("exhaust_lift", engine.exhaust_lift_mm, engine.exhaust_valve_mm),
    )
    for key, lift, valve in pairs:
        if lift > _MOST_LIFT * valve:
            yield ("engine", key), f"{lift:g} mm", f"at most half the valve's diameter, {_MOST_LIFT * valve:.4g} mm"


def intake_open_long_enough(sheet: JobSheet) -> Iterator[CrossFault]:
    """The intake valve is open for a stroke or so."""
    engine = sheet.engine
    if engine is None:
        return
    span = engine.intake_opens_btdc_deg + 180.0 + engine.intake_closes_abdc_deg
    if not _SHORTEST_INTAKE_DEG <= span <= _LONGEST_INTAKE_DEG:
        accepted = f"angles that keep the valve open for {_SHORTEST_INTAKE_DEG:g} to {_LONGEST_INTAKE_DEG:g} deg"
        yield ("engine", "intake_closes_abdc"), f"open for {span:g} deg of crank in all", accepted


def revs(sheet: JobSheet) -> Iterator[CrossFault]:
    """The engine turns faster than where its torque peaks."""
    engine = sheet.engine
    if engine is not None and engine.highest_rpm <= engine.wanted_peak_rpm:
        yield ("engine", "highest"), f"{engine.highest_rpm:g} rpm", f"above wanted_peak, {engine.wanted_peak_rpm:g} rpm"


def rod(sheet: JobSheet) -> Iterator[CrossFault]:
    """The rod is longer than the stroke."""
    engine = sheet.engine
    if engine is not None and engine.rod_length_mm < _LEAST_ROD * engine.stroke_mm:
        accepted = f"at least {_LEAST_ROD:g} x the stroke, {_LEAST_ROD * engine.stroke_mm:.4g} mm"
        yield ("engine", "rod_length"), f"{engine.rod_length_mm:g} mm", accepted


CHECKS = (
    CrossCheck(("engine", "runner.length", "runner.bore"), sizes_without_engine),
    CrossCheck(("engine.cylinders", "engine.firing_order"), firing_order),
    CrossCheck(
        (
            "engine.bore",
            "engine.intake_valves",
            "engine.intake_valve",
            "engine.exhaust_valves",
            "engine.exhaust_valve",
        ),
        valves_in_bore,
    ),
    CrossCheck(
        ("engine.bore", "engine.intake_valve", "engine.exhaust_valve", "engine.intake_lift", "engine.exhaust_lift"),
        lifts,
    ),
    CrossCheck(("engine.intake_opens_btdc", "engine.intake_closes_abdc"), intake_open_long_enough),
    CrossCheck(("engine.wanted_peak", "engine.highest"), revs),
    CrossCheck(("engine.stroke", "engine.rod_length"), rod),
)
