"""What to ask of a manifold: sizes by simulation within what is allowed; the sheet's own figures win; rules beside it."""

from dataclasses import replace

import numpy as np

from tractwright.air.choosing import Told, chosen_length, chosen_mouth, chosen_plenum, chosen_throttle, displacement_l
from tractwright.air.engine import supply_temperature
from tractwright.air.entrance import body_wanted
from tractwright.air.intake import Plan, area_of, bore_of, cylinders_fed
from tractwright.air.records import Allowed, Wanted
from tractwright.air.rules_of_thumb import WAVE_ANGLE, reflected_wave_length, sound_speed
from tractwright.design.pattern import Pattern
from tractwright.geometry.outlines import outline_area
from tractwright.job.engine_tables import Engine
from tractwright.job.sheet import JobSheet

MIDDLE_LENGTH_MM = 300.0
GAS_SPEED = 78.0  # m/s at the highest revs, mean piston speed x area ratio (engine_judgement)
THROTTLE_SPEED = 45.0  # m/s, mean flow of the engine at the highest revs (engine_judgement)
LEAST_TAPER, MOST_TAPER_PER_BORE = 1.05, 0.04  # mouth over port area; growth of area in a length of one bore
LIP_OVER_BORE = 0.20  # where the entry loss ends to fall (idelchik_1989)
VOLUME_OVER_AREA = 0.5  # m: plenum volume over the mouths' area where no engine is known (engine_judgement)
MIDDLE_VOLUME = 1.4  # x displacement, while the plenum is not chosen yet
STEP_OF_THROTTLES_MM = 2.0
LEAST_THROTTLE_MM = 30.0
SHORTEST_MM = 70.0  # a runner to a throttle body: two flanges with their roots, and a little between (shop_judgement)


def allowed_freely(sheet: JobSheet) -> Allowed:
    """What there is to choose from before the room is known: lengths to the end of a trumpet count its body as well."""
    on_mouth = body_wanted(sheet.throttle, sheet.mouth_bore_mm or LEAST_THROTTLE_MM)
    if on_mouth is None:
        return Allowed()
    low, high = (length - 1e3 * on_mouth.length for length in Allowed().length_mm)
    return Allowed(length_mm=(max(low, SHORTEST_MM), max(high, 2.0 * SHORTEST_MM)))


def wanted_of(sheet: JobSheet, pattern: Pattern, allowed: Allowed) -> Wanted:
    """The aims of a job with or without an engine, within what the room allows."""
    engine = sheet.engine
    port_area = float(np.mean([outline_area(port.outline) for port in pattern.ports]))
    port = Told(port_area, f"port area {port_area:.0f} mm2: mean of the pattern's outlines")
    if engine is None:
        return _without_engine(sheet, port, len(pattern.ports))
    fed = cylinders_fed(pattern.ports, engine)
    low, high = _mouth_areas(sheet, port_area)
    plan = Plan(
        fed=fed,
        length_mm=sheet.runner.length_mm or MIDDLE_LENGTH_MM,
        port_area_mm2=port_area,
        mouth_area_mm2=float(np.clip(_area_by_speed(engine, len(fed)), low, high)),
        lip_radius_mm=_lip(sheet, bore_of(low)).value,
        plenum_volume_l=sheet.plenum.volume_l or MIDDLE_VOLUME * displacement_l(engine),
        throttle_bore_mm=_throttle_by_speed(sheet, engine, pattern),
        neck_mm=sheet.throttle.neck_mm,
        on_mouth=body_wanted(sheet.throttle, bore_of(low)),
        throttles=len(sheet.throttle.walls),
        rooms=rooms_of(sheet, pattern),
    )
    mouth = _mouth(sheet, engine, plan, (low, high))
    lip = _lip(sheet, bore_of(mouth.value))
    plan = replace(plan, mouth_area_mm2=mouth.value, lip_radius_mm=lip.value)
    if plan.on_mouth is not None:
        return _on_mouths(sheet, engine, plan, (port, mouth), allowed)
    throttle = _throttle(sheet, engine, plan)
    plan = replace(plan, throttle_bore_mm=throttle.value)
    plenum = _plenum(sheet, engine, plan, allowed)
    length, price = _length(sheet, engine, replace(plan, plenum_volume_l=plenum.value), allowed)
    return replace(_wanted(length, port, mouth, plenum, throttle, lip), length_price=price)


def _on_mouths(sheet: JobSheet, engine: Engine, plan: Plan, known: tuple[Told, Told], allowed: Allowed) -> Wanted:
    """The aims where every runner ends in a throttle body. known : port and mouth."""
    port, mouth = known
    plan = replace(plan, on_mouth=body_wanted(sheet.throttle, bore_of(mouth.value)))
    length, price = _length(sheet, engine, plan, allowed)
    return replace(_wanted(length, port, mouth, *_no_plenum(mouth)), length_price=price)


def _no_plenum(mouth: Told) -> tuple[Told, Told, Told]:
    """Plenum, throttle and lip where throttle bodies sit on the mouths."""
    bore = bore_of(mouth.value)
    return (
        Told(0.0, "plenum: none, a throttle body on every mouth"),
        Told(bore, f"throttle bodies {bore:.1f} mm: as wide as the mouths they sit on"),
        Told(0.0, "lip: none, the runner goes on into its throttle body"),
    )


def _wanted(length: Told, port: Told, mouth: Told, plenum: Told, throttle: Told, lip: Told) -> Wanted:
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


def _without_engine(sheet: JobSheet, port: Told, runners: int) -> Wanted:
    """Length and bore are the sheet's; the rest by labelled rules."""
    facts = sheet.runner
    length = Told(facts.length_mm or MIDDLE_LENGTH_MM, "runner length: the sheet's")
    if facts.length_mm is None:
        length = replace(length, why=f"runner length {MIDDLE_LENGTH_MM:.0f} mm: no engine, none given; a middle length")
    bore = sheet.mouth_bore_mm or round(bore_of(port.value * LEAST_TAPER), 1)
    mouth = Told(
        area_of(bore), f"bore {bore:.1f} mm: " + ("the sheet's" if sheet.mouth_bore_mm else "a little over the port")
    )
    if sheet.throttle.on_mouths:
        return _wanted(length, port, mouth, *_no_plenum(mouth))
    volume = _volume_by_area(mouth.value, runners)
    plenum = Told(volume, f"plenum {volume:.1f} l: rule of thumb, half a metre of the mouths' area (judgement)")
    if sheet.plenum.volume_l is not None:
        plenum = Told(sheet.plenum.volume_l, "plenum volume: the sheet's")
    throttle = Told(sheet.throttle.bore_mm, "throttle bore: the sheet's")
    return _wanted(length, port, mouth, plenum, throttle, _lip(sheet, bore))


def _mouth_areas(sheet: JobSheet, port_area: float) -> tuple[float, float]:
    """Least and greatest mouth [mm2]: a slight and a gentle taper from the port; the sheet's own bore is both."""
    if sheet.mouth_bore_mm is not None:
        return area_of(sheet.mouth_bore_mm), area_of(sheet.mouth_bore_mm)
    bores_long = (sheet.runner.length_mm or MIDDLE_LENGTH_MM) / bore_of(port_area)
    least = LEAST_TAPER * port_area
    return least, max(port_area * (1.0 + MOST_TAPER_PER_BORE * bores_long), least)


def _area_by_speed(engine: Engine, runners: int) -> float:
    """Runner area [mm2] by the rule of gas speed: where the search begins, and a rule told beside it."""
    piston_speed = 2.0 * engine.stroke_mm * 1e-3 * engine.highest_rpm / 60.0
    return area_of(engine.bore_mm) * piston_speed / GAS_SPEED / max(runners / engine.cylinders, 1.0)


def _mouth(sheet: JobSheet, engine: Engine, plan: Plan, areas: tuple[float, float]) -> Told:
    if sheet.mouth_bore_mm is not None:
        return Told(areas[0], f"bore {sheet.mouth_bore_mm:.1f} mm: the sheet's")
    told = chosen_mouth(sheet, engine, plan, areas)
    area = area_of(round(bore_of(told.value), 0 if sheet.throttle.on_mouths else 1))
    ruled = _area_by_speed(engine, len(plan.fed))
    rule = f"rule of thumb: {GAS_SPEED:.0f} m/s mean gas speed (judgement) asks {bore_of(ruled):.1f} mm"
    return Told(area, f"{told.why}; {rule}")


def _lip(sheet: JobSheet, bore: float) -> Told:
    if sheet.runner.lip_radius_mm is not None:
        return Told(sheet.runner.lip_radius_mm, "lip radius: the sheet's")
    radius = round(2.0 * LIP_OVER_BORE * bore) / 2.0
    return Told(
        radius, f"lip radius {radius:.1f} mm: {LIP_OVER_BORE} of the bore, beyond which the entry gains nothing"
    )


def rooms_of(sheet: JobSheet, pattern: Pattern) -> tuple[int, ...]:
    """The plenum that each port's runner enters: the one, or that of its bank."""
    names = [bank.name for bank in pattern.banks]
    return tuple(names.index(port.bank) if sheet.plenum.over == "own" else 0 for port in pattern.ports)


def _throttle_by_speed(sheet: JobSheet, engine: Engine, pattern: Pattern) -> float:
    """Bore of each throttle [mm] by the rule of gas speed; the sheet's own where it has one."""
    if "bore_mm" in sheet.throttle.model_fields_set:
        return sheet.throttle.bore_mm
    throttles = len(sheet.throttle.walls) * len(set(rooms_of(sheet, pattern)))
    flow = displacement_l(engine) * 1e-3 * engine.highest_rpm / 120.0 / throttles
    return max(bore_of(flow / THROTTLE_SPEED) * 1e3, LEAST_THROTTLE_MM)


def _throttle(sheet: JobSheet, engine: Engine, plan: Plan) -> Told:
    if "bore_mm" in sheet.throttle.model_fields_set:
        return Told(sheet.throttle.bore_mm, "throttle bore: the sheet's")
    told = chosen_throttle(sheet, engine, plan, STEP_OF_THROTTLES_MM, LEAST_THROTTLE_MM)
    rule = f"rule of thumb: {THROTTLE_SPEED:.0f} m/s mean at the highest revs (judgement) asks {plan.throttle_bore_mm:.0f} mm"
    return Told(told.value, f"{told.why}; {rule}")


def _plenum(sheet: JobSheet, engine: Engine, plan: Plan, allowed: Allowed) -> Told:
    if sheet.plenum.volume_l is not None:
        return Told(sheet.plenum.volume_l, "plenum volume: the sheet's")
    told = chosen_plenum(sheet, engine, plan, allowed)
    rule = (
        f"half a metre of the mouths' area (judgement) asks {_volume_by_area(plan.mouth_area_mm2, len(plan.fed)):.1f} l"
    )
    return replace(told, why=f"{told.why}; rule of thumb: {rule}")


def _volume_by_area(mouth_area_mm2: float, runners: int) -> float:
    """Plenum volume [litre] by the rule of the mouths' area: without an engine, and told beside the simulation."""
    return round(runners * mouth_area_mm2 * 1e-6 * VOLUME_OVER_AREA * 1e3, 1)


def _length(
    sheet: JobSheet, engine: Engine, plan: Plan, allowed: Allowed
) -> tuple[Told, tuple[tuple[float, float], ...]]:
    if sheet.runner.length_mm is not None:
        return Told(sheet.runner.length_mm, "runner length: the sheet's"), ()
    choice = chosen_length(sheet, engine, plan, allowed)
    length = float(round(choice.length))
    wave = reflected_wave_length(WAVE_ANGLE, sound_speed(supply_temperature(sheet.air)), engine.wanted_peak_rpm) * 1e3
    rule = f"{WAVE_ANGLE:.0f} degrees for a wave out and back ask {max(wave - engine.port_length_mm, 0.0):.0f} mm"
    why = f"runner length {length:.0f} mm: {choice.how}; rule of thumb: {rule}, without area, valve and plenum"
    return Told(length, why), choice.price
