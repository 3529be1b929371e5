"""How a drawn manifold breathes over the revs, what another length would give, and what is assumed in both."""

import numpy as np
import numpy.typing as npt

from tractwright.air.breather import Breather, Intake, with_whole_plena
from tractwright.air.engine import has_primaries, intake_valves, supply_temperature, swept_volume
from tractwright.air.flow_bench import bench_flow
from tractwright.air.intake import drawn_intake
from tractwright.air.peaks import peak_nearest, torque_peaks
from tractwright.air.plain import plain, plain_row
from tractwright.air.questions import price_of_unequal, sensitivity
from tractwright.air.records import Breathing, MachAlong, RuleOfThumb, Traces
from tractwright.air.rules_of_thumb import (
    WAVE_ANGLE,
    inlet_mach_index,
    mean_gas_speed,
    reflected_wave_length,
    resonator_rpm,
    sound_speed,
)
from tractwright.air.sweep import Run, run_all
from tractwright.air.traces import Watched, watched
from tractwright.air.valves import effective_area
from tractwright.design.records import Design
from tractwright.job.engine_tables import AirSupply, Engine
from tractwright.job.sheet import JobSheet

Array = npt.NDArray[np.float64]

CURVE_CELL, CHART_CELL = 0.0075, 0.025  # m
CHART_SETTLED = 2e-3
CURVE_POINTS = 16
LOWEST_SHARE = 0.3  # of the highest revs, where the curve begins
CHART_STRETCHES = tuple(float(x) for x in np.linspace(0.6, 1.4, 7))
CHART_SPEEDS = 10


def breathing_of(sheet: JobSheet, engine: Engine, design: Design) -> Breathing:
    """Curves, chart and notes of a description by simulation."""
    intake = drawn_intake(design, engine, sheet.air)
    breather = Breather(engine=engine, air=sheet.air, intake=intake, cell=CURVE_CELL)
    revs = np.linspace(LOWEST_SHARE, 1.0, CURVE_POINTS) * engine.highest_rpm
    chart_revs = np.linspace(LOWEST_SHARE, 1.0, CHART_SPEEDS) * engine.highest_rpm
    curve = [(breather, float(rpm)) for rpm in revs]
    runs = run_all(curve + _chart_runs(sheet, engine, design, chart_revs))
    runs, chart = runs[:CURVE_POINTS], runs[CURVE_POINTS:]
    torque = np.array([run.torque for run in runs])
    lengths = [float(np.mean([runner.length_mm for runner in design.runners])) * s for s in CHART_STRETCHES]
    filling = np.array([run.trapped.mean() for run in chart]).reshape(len(lengths), CHART_SPEEDS)
    return Breathing(
        rpm=plain_row(revs),
        delivered_ve=plain_row([run.delivered.mean() for run in runs]),
        trapped_ve=plain_row([run.trapped.mean() for run in runs]),
        torque_nm=plain_row(torque),
        residual=plain_row([run.residual.mean() for run in runs]),
        cylinder_ve=tuple(plain_row(run.trapped) for run in runs),
        power_kw=plain_row(torque * revs * np.pi / 30.0 / 1000.0),
        wanted_peak_rpm=engine.wanted_peak_rpm,
        peak_rpm=plain(peak_nearest(revs, torque, engine.wanted_peak_rpm), 1),
        cylinder_spread=plain(max(_spread(run) for run in runs)),
        length_chart_mm=plain_row(lengths),
        length_chart_rpm=plain_row(chart_revs),
        length_chart_ve=tuple(plain_row(row) for row in filling),
        peak_speed_at_mouth=plain(runs[-1].speed_at_mouth.max(), 2),
        mach_peak=plain_row(runs[-1].mach),
        mach_along=_mach_along(design, watched(breather, float(revs[-1]))),
        traces=_traces(engine.wanted_peak_rpm, watched(breather, engine.wanted_peak_rpm)),
        sensitivity=sensitivity(engine, sheet.air, design),
        unequal=price_of_unequal(engine, sheet.air, design),
        bench=bench_flow(breather, intake.runners[0]),
        notes=_notes(sheet.air, engine, breather.intake, (revs, torque)),
        rules_of_thumb=_rules(breather),
    )


def _spread(run: Run) -> float:
    return float(np.ptp(run.trapped) / run.trapped.mean())


def _traces(rpm: float, seen: Watched) -> Traces:
    return Traces(
        rpm=rpm,
        crank_deg=plain_row(seen.crank),
        cylinder_bar=plain_row(seen.cylinder * 1e-5),
        port_bar=plain_row(seen.port * 1e-5),
        plenum_bar=plain_row(seen.plenum * 1e-5),
        mouth_speed=plain_row(seen.mouth_speed),
    )


def _mach_along(design: Design, seen: Watched) -> tuple[MachAlong, ...]:
    return tuple(
        MachAlong(runner=runner.name, place_mm=plain_row(places * 1e3), mach=plain_row(mach))
        for runner, places, mach in zip(design.runners, seen.places, seen.mach, strict=True)
    )


def _chart_runs(sheet: JobSheet, engine: Engine, design: Design, revs: Array) -> list[tuple[Breather, float]]:
    breathers = [
        Breather(
            engine=engine,
            air=sheet.air,
            intake=with_whole_plena(drawn_intake(design, engine, sheet.air, stretch)),
            cell=CHART_CELL,
            settled=CHART_SETTLED,
        )
        for stretch in CHART_STRETCHES
    ]
    return [(breather, float(rpm)) for breather in breathers for rpm in revs]


def _notes(air: AirSupply, engine: Engine, intake: Intake, curve: tuple[Array, Array]) -> tuple[str, ...]:
    """What is assumed and what is only a trend."""
    peaks = ", ".join(f"{peak.torque:.0f} Nm at {peak.rpm:.0f}" for peak in torque_peaks(*curve))
    notes = [
        "filling: over swept volume x density of the supply" + (" (under boost)" if air.boost_bar > 0 else ""),
        f"torque peaks: {peaks or 'none inside the range'}",
        "torque and power: trend only; friction and heat release are remembered figures, unverified",
        "valve discharge: "
        + ("the sheet's, of a flowed head" if engine.intake_flow else "bands from memory, unverified"),
        "intake cam: the sheet's, measured" if engine.intake_lift_at_deg else "valve timing taken from seat to seat",
        _exhaust_note(engine),
        *_notes_before(air, intake),
    ]
    if air.boost_bar > 0:
        notes.append("exhaust back pressure taken as high as the boost (judgement)")
    if air.balance_length_mm > 0:
        notes.append("balance pipe: from the middle of one plenum to the other's, losses as of sharp edges; a trend")
    if any(len(runner.cylinders) > 1 for runner in intake.runners):
        notes.append(
            "shared runners: joined to their ports at one static pressure, losses of the branch left out; a trend"
        )
    return tuple(notes)


def _notes_before(air: AirSupply, intake: Intake) -> list[str]:
    """What is before the runners, as it is taken."""
    notes: list[str] = []
    if any(plenum.size is not None for plenum in intake.plena):
        notes.append(
            "plenum: a row of volumes with the air swinging between them; losses of turning into the mouths left out; a trend"
        )
    if any(plenum.size is None for plenum in intake.plena):
        where = "the box before them, one volume" if air.box_l > 0.0 else "still air"
        notes.append(
            f"throttle bodies on the mouths: each trumpet draws from {where}; the plate's loss taken at the trumpet's mouth, "
            "its entry's as that of a mouth flush in a wall; what one trumpet blows back and its neighbour takes left out"
        )
    return notes


def _exhaust_note(engine: Engine) -> str:
    if has_primaries(engine):
        return "exhaust: primaries with waves in hot gas of one specific heat, no silencer; a trend"
    return (
        "exhaust: a fixed back pressure that rises with the revs; its waves are left out, so long overlaps are a trend"
    )


def _rules(breather: Breather) -> tuple[RuleOfThumb, ...]:
    """The trade's closed forms for the first cylinder, its runners taken together, labelled."""
    engine, runner = breather.engine, breather.intake.runners[0]
    beside = max(len(breather.intake.runners) / engine.cylinders, 1.0)
    sound = sound_speed(supply_temperature(breather.air))
    port = engine.port_length_mm * 1e-3
    tract = float(runner.places[-1]) + port
    area = beside * float(np.trapezoid(runner.area, runner.places) / runner.places[-1])
    stroke = engine.stroke_mm * 1e-3
    valves = intake_valves(engine)
    open_share = (valves.closes - valves.opens) / 720.0
    mean_valve = float(effective_area(valves)[:-1].mean() / open_share)
    wave = reflected_wave_length(WAVE_ANGLE, sound, engine.wanted_peak_rpm)
    resonance = resonator_rpm(area, tract, swept_volume(engine), engine.compression_ratio, sound)
    gas = mean_gas_speed(swept_volume(engine), beside * float(runner.area[0]), stroke, engine.highest_rpm)
    index = inlet_mach_index(engine.bore_mm * 1e-3, stroke, engine.highest_rpm, mean_valve, sound)
    return (
        RuleOfThumb(
            name="reflected wave, valve to plenum",
            value=round(wave * 1e3, 1),
            unit="mm",
            label=f"{WAVE_ANGLE:.0f} degrees for out and back; leaves out area, valve and plenum",
        ),
        RuleOfThumb(
            name="resonator",
            value=round(resonance, 0),
            unit="1/min",
            label="pipe as a lump of air on half the swept volume, K = 2.1 from memory; up to 45 % off",
        ),
        RuleOfThumb(
            name="mean gas speed in the mouth at the highest revs",
            value=round(gas, 1),
            unit="m/s",
            label="piston speed x area ratio",
        ),
        RuleOfThumb(
            name="inlet Mach index at the highest revs",
            value=round(index, 3),
            unit="-",
            label="filling falls fast from 0.5; valve discharge unverified",
        ),
    )
