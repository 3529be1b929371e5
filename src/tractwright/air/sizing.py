"""What to ask of a manifold: areas from gas speed, plenum and length from the simulation; the sheet's own figures win."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.air.breather import Breather
from tractwright.air.engine import swept_volume
from tractwright.air.intake import Plan, area_of, bore_of, cylinders_fed, planned_intake
from tractwright.air.peaks import LengthChoice, choose_length
from tractwright.air.records import Wanted
from tractwright.air.sweep import run_all
from tractwright.design.pattern import Pattern
from tractwright.geometry.outlines import outline_area
from tractwright.job.engine_tables import Engine
from tractwright.job.sheet import JobSheet

Array = npt.NDArray[np.float64]

SEARCH_CELL = 0.025  # m: filling within 0.2 % of cells a third as long
SEARCH_SETTLED = 2e-3
LENGTHS_MM = tuple(float(x) for x in np.linspace(150.0, 450.0, 11))
SPEEDS = np.linspace(0.7, 1.3, 11)  # x wanted revs
MIDDLE_LENGTH_MM = 300.0
VOLUMES = (1.0, 1.3, 1.6, 2.0, 2.5)  # x displacement; hamilton_2011 saw power rise on to 10 x, behind a restrictor
LITTLE = 0.005  # a larger plenum must give this share of torque more
GAS_SPEED = 78.0  # m/s at the highest revs, mean piston speed x area ratio (engine_judgement)
THROTTLE_SPEED = 45.0  # m/s, mean flow of the engine at the highest revs (engine_judgement)
LEAST_TAPER, MOST_TAPER_PER_BORE = 1.05, 0.04  # mouth over port area; growth of area in a length of one bore
LIP_OVER_BORE = 0.20  # where the entry loss ends to fall (idelchik_1989)
VOLUME_OVER_AREA = 0.5  # m: plenum volume over the mouths' area where no engine is known (engine_judgement)
STEP_OF_THROTTLES_MM = 2.0
LEAST_THROTTLE_MM = 30.0


@dataclass(frozen=True, slots=True)
class _Told:
    """A figure with the sentence that tells where it comes from."""

    value: float
    why: str


def wanted_of(sheet: JobSheet, pattern: Pattern) -> Wanted:
    """The aims of a job with or without an engine."""
    engine = sheet.engine
    port_area = float(np.mean([outline_area(port.outline) for port in pattern.ports]))
    port = _Told(port_area, f"port area {port_area:.0f} mm2: mean of the pattern's outlines")
    if engine is None:
        return _without_engine(sheet, port, len(pattern.ports))
    fed = cylinders_fed(pattern.ports, engine)
    mouth = _mouth_area(sheet, engine, port_area, len(fed))
    lip = _lip(sheet, bore_of(mouth.value))
    throttle = _throttle(sheet, engine)
    plan = Plan(
        fed=fed,
        length_mm=sheet.runner.length_mm or MIDDLE_LENGTH_MM,
        port_area_mm2=port_area,
        mouth_area_mm2=mouth.value,
        lip_radius_mm=lip.value,
        plenum_volume_l=sheet.plenum.volume_l or 1.6 * _displacement_l(engine),
        throttle_bore_mm=throttle.value,
        neck_mm=sheet.throttle.neck_mm,
    )
    plenum = _plenum(sheet, engine, plan)
    length = _length(sheet, engine, replace(plan, plenum_volume_l=plenum.value))
    return _wanted(length, port, mouth, plenum, throttle, lip)


def _wanted(length: _Told, port: _Told, mouth: _Told, plenum: _Told, throttle: _Told, lip: _Told) -> Wanted:
    return Wanted(
        length_mm=length.value,
        bore_mm=bore_of(mouth.value),
        port_area_mm2=port.value,
        mouth_area_mm2=mouth.value,
        plenum_volume_l=plenum.value,
        throttle_bore_mm=throttle.value,
        lip_radius_mm=lip.value,
        why=tuple(told.why for told in (length, mouth, port, plenum, throttle, lip)),
    )


def _without_engine(sheet: JobSheet, port: _Told, runners: int) -> Wanted:
    """Length and bore are the sheet's; the rest by labelled rules."""
    facts = sheet.runner
    length = _Told(facts.length_mm or MIDDLE_LENGTH_MM, "runner length: the sheet's")
    if facts.length_mm is None:
        length = replace(length, why=f"runner length {MIDDLE_LENGTH_MM:.0f} mm: no engine, none given; a middle length")
    bore = facts.bore_mm or round(bore_of(port.value * LEAST_TAPER), 1)
    mouth = _Told(
        area_of(bore), f"bore {bore:.1f} mm: " + ("the sheet's" if facts.bore_mm else "a little over the port")
    )
    volume = round(runners * mouth.value * 1e-6 * VOLUME_OVER_AREA * 1e3, 1)
    plenum = _Told(volume, f"plenum {volume:.1f} l: rule of thumb, half a metre of the mouths' area (judgement)")
    if sheet.plenum.volume_l is not None:
        plenum = _Told(sheet.plenum.volume_l, "plenum volume: the sheet's")
    throttle = _Told(sheet.throttle.bore_mm, "throttle bore: the sheet's")
    return _wanted(length, port, mouth, plenum, throttle, _lip(sheet, bore))


def _mouth_area(sheet: JobSheet, engine: Engine, port_area: float, runners: int) -> _Told:
    """From the gas speed at the highest revs, held between a slight and a gentle taper from the port."""
    if sheet.runner.bore_mm is not None:
        return _Told(area_of(sheet.runner.bore_mm), f"bore {sheet.runner.bore_mm:.1f} mm: the sheet's")
    piston_speed = 2.0 * engine.stroke_mm * 1e-3 * engine.highest_rpm / 60.0
    of_a_cylinder = area_of(engine.bore_mm) * piston_speed / GAS_SPEED
    aim = of_a_cylinder / max(runners / engine.cylinders, 1.0)
    bores_long = (sheet.runner.length_mm or MIDDLE_LENGTH_MM) / bore_of(port_area)
    most = port_area * (1.0 + MOST_TAPER_PER_BORE * bores_long)
    area = float(np.clip(aim, LEAST_TAPER * port_area, max(most, LEAST_TAPER * port_area)))
    area = area_of(round(bore_of(area), 1))
    speed = GAS_SPEED * aim / area
    bound = "" if abs(aim / area - 1.0) < 0.01 else "; held there by a gentle taper from the port"
    return _Told(
        area,
        f"bore {bore_of(area):.1f} mm: mean gas speed {speed:.0f} m/s at {engine.highest_rpm:.0f} revs (aim {GAS_SPEED:.0f},"
        f" judgement), mouth {area / port_area:.2f} x port area{bound}",
    )


def _lip(sheet: JobSheet, bore: float) -> _Told:
    if sheet.runner.lip_radius_mm is not None:
        return _Told(sheet.runner.lip_radius_mm, "lip radius: the sheet's")
    radius = round(2.0 * LIP_OVER_BORE * bore) / 2.0
    return _Told(
        radius, f"lip radius {radius:.1f} mm: {LIP_OVER_BORE} of the bore, beyond which the entry gains nothing"
    )


def _throttle(sheet: JobSheet, engine: Engine) -> _Told:
    if "bore_mm" in sheet.throttle.model_fields_set:
        return _Told(sheet.throttle.bore_mm, "throttle bore: the sheet's")
    flow = _displacement_l(engine) * 1e-3 * engine.highest_rpm / 120.0
    bore = bore_of(flow / THROTTLE_SPEED) * 1e3
    bore = max(float(np.ceil(bore / STEP_OF_THROTTLES_MM)) * STEP_OF_THROTTLES_MM, LEAST_THROTTLE_MM)
    return _Told(bore, f"throttle {bore:.0f} mm: {THROTTLE_SPEED:.0f} m/s mean at the highest revs (judgement)")


def _plenum(sheet: JobSheet, engine: Engine, plan: Plan) -> _Told:
    """The smallest of a few volumes past which torque gains little."""
    if sheet.plenum.volume_l is not None:
        return _Told(sheet.plenum.volume_l, "plenum volume: the sheet's")
    litres = [round(factor * _displacement_l(engine), 1) for factor in VOLUMES]
    revs = np.array([0.75, 1.0, 1.2]) * engine.wanted_peak_rpm
    torque = _torque(sheet, engine, [replace(plan, plenum_volume_l=litre) for litre in litres], revs).mean(axis=1)
    pick = int(np.flatnonzero(torque >= (1.0 - LITTLE) * torque.max())[0])
    return _Told(
        litres[pick],
        f"plenum {litres[pick]:.1f} l, {VOLUMES[pick]} x displacement: the smallest within {LITTLE:.1%} of the best torque"
        f" of {VOLUMES[0]} to {VOLUMES[-1]} x, simulated",
    )


def _length(sheet: JobSheet, engine: Engine, plan: Plan) -> _Told:
    if sheet.runner.length_mm is not None:
        return _Told(sheet.runner.length_mm, "runner length: the sheet's")
    choice = chosen_length(sheet, engine, plan)
    length = float(round(choice.length))
    others = ", ".join(sorted({f"{one.length:.0f}" for one in choice.candidates if one.length != choice.length}))
    return _Told(
        length,
        f"runner length {length:.0f} mm for {engine.wanted_peak_rpm:.0f} revs by simulation of"
        f" {LENGTHS_MM[0]:.0f} to {LENGTHS_MM[-1]:.0f} mm: {choice.how}" + (f"; others: {others} mm" if others else ""),
    )


def chosen_length(sheet: JobSheet, engine: Engine, plan: Plan) -> LengthChoice:
    """The length [mm] by simulation over lengths and revs."""
    revs = SPEEDS * engine.wanted_peak_rpm
    torque = _torque(sheet, engine, [replace(plan, length_mm=length) for length in LENGTHS_MM], revs)
    return choose_length(LENGTHS_MM, revs, torque, engine.wanted_peak_rpm)


def _torque(sheet: JobSheet, engine: Engine, plans: list[Plan], revs: Array) -> Array:
    """Torque [N m] of each plan (rows) at each speed (columns)."""
    breathers = [
        Breather(
            engine=engine,
            air=sheet.air,
            intake=planned_intake(plan, sheet.air),
            cell=SEARCH_CELL,
            settled=SEARCH_SETTLED,
        )
        for plan in plans
    ]
    runs = run_all([(breather, float(rpm)) for breather in breathers for rpm in revs])
    return np.array([run.torque for run in runs]).reshape(len(plans), len(revs))


def _displacement_l(engine: Engine) -> float:
    return swept_volume(engine) * engine.cylinders * 1e3
