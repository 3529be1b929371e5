"""The air stage's bars: speed of cells, of a sweep, of many designs; extreme designs; half the cells; a Fortran solver.

python benchmarks/air.py [--seed N] [--count N]      count: extreme designs (300); many designs are 5/3 of it, quick ones 1/10
The last line printed, also after a part of the work, is one JSON object: figure -> value, bar, holds, count.
"""

import argparse
import json
from collections.abc import Iterator
from dataclasses import replace
from time import perf_counter, process_time

import numpy as np
import numpy.typing as npt

from air_reference import beside_the_reference
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe
from tractwright.air.peaks import torque_peaks
from tractwright.air.quick import MEAN_ERROR, MOST_ERROR, QUICK_CELL, QUICK_POINTS, QUICK_SETTLED
from tractwright.air.records import Allowed
from tractwright.air.sizing import wanted_of
from tractwright.air.sweep import run_all, run_at
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Port
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.engine_tables import AirSupply, Engine
from tractwright.job.sheet import JobSheet

TURNS = 5
Figure = tuple[str, float, float, bool, int]


def an_intake(draw: np.random.Generator, cylinders: int, extreme: bool) -> Intake:
    """Like runners, drawn at random: anything at all (shared runners, plena in rows), or anything sensible."""
    bore = draw.uniform(0.018, 0.07) if extreme else draw.uniform(0.036, 0.05)
    length = draw.uniform(0.03, 0.9) if extreme else draw.uniform(0.15, 0.5)
    taper = draw.uniform(0.4, 2.0) if extreme else draw.uniform(0.75, 1.0)
    area = np.pi / 4.0 * bore**2 * np.array([1.0, taper])
    each = int(draw.integers(1, 3)) if extreme else 1
    parts = int(draw.integers(1, 5)) if extreme else 1
    fed = [tuple(range(n, min(n + each, cylinders + 1))) for n in range(1, cylinders + 1, each)]
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, length]), area=area, loss=0.3, entry_share=0.98, cylinders=numbers, plenum=0,
            part=i % parts,
        )
        for i, numbers in enumerate(fed)
    )  # fmt: skip
    size = 10 ** draw.uniform(-3.7, -1.5) if extreme else draw.uniform(1.5e-3, 5e-3)
    throttle = draw.uniform(0.015, 0.1) if extreme else 0.065
    plenum = PlenumAir(
        size=float(size), throttle_bores=(float(throttle),), necks=(0.03,), parts=parts, length=0.1 * parts
    )
    return Intake(runners=runners, plena=(plenum,), wall_temperature=333.0)


def an_engine(**given: float) -> Engine:
    """A two-litre four, or what is given."""
    return Engine.model_validate({"cylinders": 4, "bore": 86.0, "stroke": 86.0, "highest": 7500.0, **given})


def cell_rate() -> Iterator[Figure]:
    """One long pipe, nothing but cells; the best of a few turns, for other work on the machine slows them."""
    pipe = Pipe(places=np.array([0.0, 3.0]), area=np.full(2, 1e-3), cells=1000, low=End(), high=End(), speed=20.0)
    network, state = build([pipe], [])
    advance(network, state, 1e-4, 0.0, 0.85)
    rate, steps = 0.0, 0
    for turn in range(1, TURNS + 1):
        start = process_time()
        steps = advance(network, state, 0.1 * turn, 0.0, 0.85)
        rate = max(rate, steps * 1000 / (process_time() - start) / 1e6)
    yield "cell updates [M/s a core]", rate, 100.0, rate >= 100.0, steps


def a_sweep(seed: int) -> Iterator[Figure]:
    """Sixteen speeds of a four, and the same with half the cells."""
    draw = np.random.default_rng(seed)
    intake = an_intake(draw, 4, extreme=False)
    revs = np.linspace(2000.0, 7500.0, 16)
    runs = []
    for cell in (0.0075, 0.00375):
        breather = Breather(engine=an_engine(), air=AirSupply(), intake=intake, cell=cell)
        start = process_time()
        runs.append(run_all([(breather, float(rpm)) for rpm in revs]))
        if cell == 0.0075:
            seconds = process_time() - start
            yield "16-point sweep of a four [s CPU]", seconds, 2.0, seconds <= 2.0, 16
    worst = max(abs(a.trapped.mean() / b.trapped.mean() - 1.0) for a, b in zip(*runs, strict=True))
    yield "filling against half the cells", worst, 0.01, worst <= 0.01, 16
    spread = max(float(np.ptp(run.trapped) / run.trapped.mean()) for run in runs[0])
    yield "spread of equal cylinders", spread, 1e-3, spread <= 1e-3, 16


def a_wanted_length() -> Iterator[Figure]:
    """What to ask for a four: all of it, and how far the peak ends from the wanted revs at fine cells."""
    sheet = JobSheet.model_validate(
        {"job": {"name": "bench"}, "engine": {"cylinders": 4, "bore": 86.0, "stroke": 86.0, "wanted_peak": 5000.0}}
    )
    ports = tuple(
        Port(
            name=f"p{i}",
            bank="a",
            cylinders=(i,),
            at_mm=(95.0 * i, 0.0),
            outline=circle(38.0),
            turn_deg=0.0,
            axis=(0, 0, 1),
        )
        for i in (1, 2, 3, 4)
    )
    start = process_time()
    wanted_of(sheet, Pattern(banks=(Bank(name="a", frame=Frame()),), ports=ports, head_holes=()), Allowed())
    seconds = process_time() - start
    yield "wanted() of a four [s CPU]", seconds, 6.0, seconds <= 6.0, 1


def extremes(seed: int, count: int) -> Iterator[Figure]:
    """Designs far outside the sensible, at any revs: none may fail."""
    failed = 0
    for i in range(count):
        draw = np.random.default_rng((seed, i))
        cylinders = int(draw.integers(1, 9))
        engine = an_engine(
            cylinders=cylinders,
            intake_closes_abdc=float(draw.uniform(10, 100)),
            intake_opens_btdc=float(draw.uniform(-20, 60)),
            exhaust_closes_atdc=float(draw.uniform(-20, 60)),
            bank_angle=float(draw.choice([0.0, 60.0, 90.0])),
            pin_offset=float(draw.uniform(0.0, 3.0)),
            **_an_exhaust(draw),
        )
        air = AirSupply.model_validate(
            {
                "boost": float(draw.choice([0.0, 1.5])),
                "ambient": float(draw.uniform(0.6, 1.1)),
                "throttle_open": float(draw.uniform(5.0, 90.0)),
                "duct_length": float(draw.choice([0.0, 400.0])),
                "box": float(draw.choice([0.0, 5.0])),
            }
        )
        cell = float(draw.uniform(0.006, 0.03))
        breather = Breather(engine=engine, air=air, intake=an_intake(draw, cylinders, extreme=True), cell=cell)
        run = run_at(breather, float(draw.uniform(400, 14000)))
        failed += not bool(np.all((run.trapped > 0.0) & (run.trapped < 2.0)) and np.isfinite(run.torque))
        yield "extreme designs that fail", float(failed), 0.0, failed == 0, i + 1


def _an_exhaust(draw: np.random.Generator) -> dict[str, float]:
    """None, primaries, or primaries that meet."""
    kind = int(draw.integers(0, 3))
    primary = float(draw.uniform(100.0, 1200.0)) if kind > 0 else 0.0
    return {"primary_length": primary, "collector_length": float(draw.uniform(100.0, 900.0)) if kind > 1 else 0.0}


def a_quick_look() -> Iterator[Figure]:
    """The quick model of sixes at twelve speeds: wall and processor time, the best of three."""
    seconds, work = 0.0, 0.0
    for length in (0.30, 0.42):
        runners = _in_a_row(6, np.array([1.4e-3, 1.2e-3]), length)
        plenum = PlenumAir(size=4.8e-3, throttle_bores=(0.07,), necks=(0.03,), parts=6, length=0.54)
        intake = Intake(runners=runners, plena=(plenum,), wall_temperature=333.0)
        asked = _quickly(an_engine(cylinders=6, highest=7000.0), AirSupply(), intake)
        run_all(asked)
        took: list[tuple[float, float]] = []
        for _ in range(3):
            start, worked = perf_counter(), process_time()
            run_all(asked)
            took.append((perf_counter() - start, process_time() - worked))
        seconds, work = max(seconds, min(took)[0]), max(work, min(took)[1])
    yield "quick model of a six, 12 speeds [s wall]", seconds, 1.5, seconds <= 1.5, 12
    yield "quick model of a six, 12 speeds [s CPU on each of 2 cores]", work / 2, 1.5, work / 2 <= 1.5, 12


def quick_errors(seed: int, count: int) -> Iterator[Figure]:
    """The quick model's filling against the whole simulation's: any engine, any plenum in a row fed at its end."""
    off = np.zeros(0)
    for i in range(count):
        draw = np.random.default_rng((seed, i))
        number, bore = int(draw.integers(1, 9)), float(draw.uniform(60.0, 105.0))
        stroke, peak = float(draw.uniform(50.0, 105.0)), float(draw.uniform(3000.0, 8500.0))
        kind = int(draw.integers(0, 3))
        engine = an_engine(
            cylinders=number,
            bore=bore,
            stroke=stroke,
            wanted_peak=peak,
            highest=peak * float(draw.uniform(1.15, 1.4)),
            intake_closes_abdc=float(draw.uniform(35.0, 75.0)),
            intake_opens_btdc=float(draw.uniform(0.0, 40.0)),
            exhaust_closes_atdc=float(draw.uniform(0.0, 40.0)),
            primary_length=500.0 * (kind > 0),
            collector_length=500.0 * (kind > 1),
        )
        air = AirSupply.model_validate(
            {"boost": float(draw.choice([0.0, 0.0, 1.0])), "duct_length": float(draw.choice([0.0, 600.0])), "box": 5.0}
        )
        port = np.pi / 4.0 * (0.43e-3 * bore) ** 2 * float(draw.uniform(0.8, 1.2))
        swept = np.pi / 4.0 * bore**2 * stroke * 1e-9
        plenum = PlenumAir(
            size=number * swept * float(draw.uniform(0.8, 2.0)),
            throttle_bores=(0.01 + 0.29e-3 * bore * float(np.sqrt(number)),),
            necks=(0.03,),
            parts=number,
            length=0.09 * number,
        )
        area = port * np.array([float(draw.uniform(1.0, 1.3)), 1.0])
        runners = _in_a_row(number, area, float(draw.uniform(0.12, 0.5)))
        asked = _quickly(engine, air, Intake(runners=runners, plena=(plenum,), wall_temperature=333.0))
        whole = run_all([(replace(quick, cell=0.0075, settled=5e-4), rpm) for quick, rpm in asked])
        pairs = zip(run_all(asked), whole, strict=True)
        off = np.append(off, [abs(a.trapped.mean() / b.trapped.mean() - 1.0) for a, b in pairs])
        mean, worst = off.mean(), off.max()
        yield "quick model against the whole, mean", mean, MEAN_ERROR, mean <= MEAN_ERROR, off.size
        yield "quick model against the whole, worst", worst, MOST_ERROR, worst <= MOST_ERROR, off.size


def _in_a_row(number: int, area: npt.NDArray[np.float64], length: float) -> tuple[RunnerAir, ...]:
    """Like runners, a cylinder and a part of the plenum's row each."""
    places = np.array([0.0, length])
    return tuple(
        RunnerAir(places=places, area=area, loss=0.3, entry_share=0.98, cylinders=(i + 1,), plenum=0, part=i)
        for i in range(number)
    )


def _quickly(engine: Engine, air: AirSupply, intake: Intake) -> list[tuple[Breather, float]]:
    """What the quick model runs."""
    quick = Breather(engine=engine, air=air, intake=intake, cell=QUICK_CELL, settled=QUICK_SETTLED)
    return [(quick, float(rpm)) for rpm in np.linspace(0.3, 1.0, QUICK_POINTS) * engine.highest_rpm]


def many_designs(seed: int, count: int) -> Iterator[Figure]:
    """Sensible designs at eight speeds, 10 mm cells; the processor time of 500 of them, halved for two cores."""
    start = process_time()
    revs = np.linspace(2000.0, 8000.0, 8)
    peaked = 0
    for i in range(count):
        intake = an_intake(np.random.default_rng((seed, i)), 4, extreme=False)
        breather = Breather(engine=an_engine(), air=AirSupply(), intake=intake, cell=0.010)
        runs = run_all([(breather, float(rpm)) for rpm in revs])
        peaked += bool(torque_peaks(revs, np.array([run.torque for run in runs])))
        minutes = (process_time() - start) / (i + 1) * 500 / 60 / 2
        yield "500 designs x 8 speeds [min CPU on each of 2 cores]", minutes, 3.0, minutes <= 3.0, i + 1
    yield "designs with a torque peak inside", peaked / count, 0.9, peaked / count >= 0.9, count


def main() -> None:
    """Run all, telling each figure as it grows."""
    options = argparse.ArgumentParser()
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=300)
    asked = options.parse_args()
    run_at(
        Breather(engine=an_engine(), air=AirSupply(), intake=an_intake(np.random.default_rng(0), 4, False), cell=0.02),
        6000.0,
    )
    told: dict[str, dict[str, float | bool | int]] = {}
    try:
        for part in (
            cell_rate(),
            beside_the_reference(),
            a_sweep(asked.seed),
            a_wanted_length(),
            a_quick_look(),
            quick_errors(asked.seed, max(asked.count // 10, 1)),
            extremes(asked.seed, asked.count),
            many_designs(asked.seed, max(asked.count * 5 // 3, 1)),
        ):
            for name, value, bar, holds, count in part:
                if name not in told:
                    print(name, flush=True)
                told[name] = {"value": round(float(value), 5), "bar": bar, "holds": bool(holds), "count": count}
    finally:
        print(json.dumps(told))


if __name__ == "__main__":
    main()
