"""Engine figures against each other."""

from collections.abc import Iterator
from itertools import pairwise
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
_CYCLE_DEG = 720.0
_LEAST_REVS = 500.0
_FEWEST_OF_CAM = 3


def sizes_without_engine(sheet: JobSheet) -> Iterator[CrossFault]:
    """With nothing known of the engine, length and bore have to come from the sheet, or from a head piece drawn already."""
    if sheet.engine is None and not sheet.piece:
        for key, value in (("length", sheet.runner.length_mm), ("bore", sheet.mouth_bore_mm)):
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


def band(sheet: JobSheet) -> Iterator[CrossFault]:
    """Two speeds the engine turns at, the wanted peak between them."""
    engine = sheet.engine
    if engine is None or not engine.band_rpm:
        return
    if len(engine.band_rpm) != 2 or not _LEAST_REVS < engine.band_rpm[0] < engine.band_rpm[1] <= engine.highest_rpm:
        accepted = f"two rising speeds above {_LEAST_REVS:g} rpm, at most highest, {engine.highest_rpm:g} rpm"
        yield ("engine", "band"), _listed(engine.band_rpm), accepted
    elif not engine.band_rpm[0] <= engine.wanted_peak_rpm <= engine.band_rpm[1]:
        yield (
            ("engine", "wanted_peak"),
            f"{engine.wanted_peak_rpm:g} rpm",
            f"within band, {_listed(engine.band_rpm)} rpm",
        )


def rod(sheet: JobSheet) -> Iterator[CrossFault]:
    """The rod is longer than the stroke."""
    engine = sheet.engine
    if engine is not None and engine.rod_length_mm < _LEAST_ROD * engine.stroke_mm:
        accepted = f"at least {_LEAST_ROD:g} x the stroke, {_LEAST_ROD * engine.stroke_mm:.4g} mm"
        yield ("engine", "rod_length"), f"{engine.rod_length_mm:g} mm", accepted


def firing_at(sheet: JobSheet) -> Iterator[CrossFault]:
    """An angle a cylinder, rising within a cycle."""
    engine = sheet.engine
    if engine is None or not engine.firing_at_deg:
        return
    at = engine.firing_at_deg
    if len(at) != engine.cylinders or at[0] != 0.0 or at[-1] >= _CYCLE_DEG or not _rising(at):
        accepted = f"{engine.cylinders} rising angles from 0 to under {_CYCLE_DEG:g} deg"
        yield ("engine", "firing_at"), _listed(at), accepted


def measured_cam(sheet: JobSheet) -> Iterator[CrossFault]:
    """Angles and lifts of a measured cam go together, from seat to seat."""
    engine = sheet.engine
    if engine is None or not (engine.intake_lift_at_deg or engine.intake_lifts_mm):
        return
    at, lifted = engine.intake_lift_at_deg, engine.intake_lifts_mm
    if len(at) < _FEWEST_OF_CAM or not _rising(at) or not _SHORTEST_INTAKE_DEG <= at[-1] - at[0] <= _LONGEST_INTAKE_DEG:
        accepted = f"three or more rising angles over {_SHORTEST_INTAKE_DEG:g} to {_LONGEST_INTAKE_DEG:g} deg"
        yield ("engine", "intake_lift_at"), _listed(at), accepted
    elif len(lifted) != len(at) or lifted[0] != 0.0 or lifted[-1] != 0.0 or min(lifted) < 0.0 or max(lifted) <= 0.0:
        yield ("engine", "intake_lifts"), _listed(lifted), f"{len(at)} lifts, the first and the last 0"
    elif max(lifted) > _MOST_LIFT * engine.intake_valve_mm:
        accepted = f"at most half the valve's diameter, {_MOST_LIFT * engine.intake_valve_mm:.4g} mm"
        yield ("engine", "intake_lifts"), f"{max(lifted):g} mm", accepted


def flowed_head(sheet: JobSheet) -> Iterator[CrossFault]:
    """Lifts and coefficients of a flowed head go together."""
    engine = sheet.engine
    if engine is None or not (engine.intake_flow_at or engine.intake_flow):
        return
    at, flow = engine.intake_flow_at, engine.intake_flow
    if not at or at[0] < 0.0 or at[-1] > _MOST_LIFT or not _rising(at):
        yield ("engine", "intake_flow_at"), _listed(at), f"rising shares of the valve's diameter up to {_MOST_LIFT:g}"
    elif len(flow) != len(at) or not all(0.0 < value <= 1.0 for value in flow):
        yield ("engine", "intake_flow"), _listed(flow), f"{len(at)} coefficients above 0, at most 1"


def collector(sheet: JobSheet) -> Iterator[CrossFault]:
    """Only pipes can meet."""
    engine = sheet.engine
    if engine is not None and engine.collector_length_mm > 0.0 and engine.primary_length_mm == 0.0:
        yield ("engine", "collector_length"), f"{engine.collector_length_mm:g} mm", "0, or a primary_length as well"


def _rising(values: tuple[float, ...]) -> bool:
    return all(b > a for a, b in pairwise(values))


def _listed(values: tuple[float, ...]) -> str:
    return "[" + ", ".join(f"{value:g}" for value in values) + "]"


CHECKS = (
    CrossCheck(("engine.cylinders", "engine.firing_at"), firing_at),
    CrossCheck(("engine.intake_valve", "engine.intake_lift_at", "engine.intake_lifts"), measured_cam),
    CrossCheck(("engine.intake_flow_at", "engine.intake_flow"), flowed_head),
    CrossCheck(("engine.primary_length", "engine.collector_length"), collector),
    CrossCheck(("engine", "piece", "runner.length", "runner.bore"), sizes_without_engine),
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
    CrossCheck(("engine.band", "engine.wanted_peak", "engine.highest"), band),
    CrossCheck(("engine.stroke", "engine.rod_length"), rod),
)
