"""What a change of the drawn manifold or of the cam would do, and what unequal runners cost: by simulation, coarse cells."""

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

import numpy as np
import numpy.typing as npt

from tractwright.air.band import band_of
from tractwright.air.breather import Breather, with_whole_plena
from tractwright.air.choosing import FEW, NEARER, SEARCH_CELL, SEARCH_SETTLED
from tractwright.air.intake import drawn_intake
from tractwright.air.peaks import band_torque
from tractwright.air.plain import plain
from tractwright.air.records import Change, Unequal
from tractwright.air.sweep import Run, run_all
from tractwright.design.records import Design, Plenum, Runner
from tractwright.job.engine_tables import AirSupply, Engine

Array = npt.NDArray[np.float64]

TOP = (0.95, 1.0)  # x highest revs
LONGER_MM, WIDER_MM, LARGER_L, TURNED_DEG = 10.0, 1.0, 0.5, 5.0

Variant = tuple[Engine, Design]


def sensitivity(engine: Engine, air: AirSupply, design: Design) -> tuple[Change, ...]:
    """Torque for runners 10 mm longer, 1 mm wider, plena half a litre larger, the intake cam 5 degrees either way."""
    longer = replace(design, runners=tuple(replace(r, length_mm=r.length_mm + LONGER_MM) for r in design.runners))
    wider = replace(design, runners=tuple(_wider(runner) for runner in design.runners))
    each = LARGER_L / max(len(design.plena), 1)
    larger = replace(design, plena=tuple(_larger(plenum, each) for plenum in design.plena))
    asked: list[tuple[str, Variant]] = [
        (f"runners {LONGER_MM:.0f} mm longer", (engine, longer)),
        (f"runners {WIDER_MM:.0f} mm wider", (engine, wider)),
        *([(f"{_plena(design)} {LARGER_L:.1f} l larger", (engine, larger))] if design.plena else []),
        (f"intake cam {TURNED_DEG:.0f} deg later", (_turned(engine, TURNED_DEG), design)),
        (f"intake cam {TURNED_DEG:.0f} deg earlier", (_turned(engine, -TURNED_DEG), design)),
    ]
    about, top = _scores(_runs(air, [(engine, design), *(variant for _, variant in asked)]), engine)
    return tuple(
        Change(what=what, about_wanted=_share(about[i], about[0]), near_highest=_share(top[i], top[0]))
        for i, (what, _) in enumerate(asked, start=1)
    )


def price_of_unequal(engine: Engine, air: AirSupply, design: Design) -> Unequal:
    """Drawn lengths against the same manifold with all runners of the mean length; plena of one volume in both."""
    lengths = [runner.length_mm for runner in design.runners]
    mean = float(np.mean(lengths))
    equal = replace(design, runners=tuple(replace(runner, length_mm=mean) for runner in design.runners))
    runs = _runs(air, [(engine, design), (engine, equal)])
    about, top = _scores(runs, engine)
    spreads = [max(float(np.ptp(run.trapped) / run.trapped.mean()) for run in row) for row in runs]
    return Unequal(
        differ_mm=plain(max(lengths) - min(lengths), 2),
        about_wanted=_share(about[1], about[0]),
        near_highest=_share(top[1], top[0]),
        spread=plain(spreads[0]),
        spread_if_equal=plain(spreads[1]),
    )


def _share(changed: float, base: float) -> float:
    return plain(changed / base - 1.0)


def _wider(runner: Runner) -> Runner:
    """A runner with its bore greater by the same amount all along."""
    area = tuple((place, value * (1.0 + WIDER_MM / sqrt(4.0 / np.pi * value)) ** 2) for place, value in runner.area_mm2)
    mouth = replace(runner.mouth, bore_mm=runner.mouth.bore_mm + WIDER_MM)
    return replace(runner, area_mm2=area, mouth=mouth)


def _plena(design: Design) -> str:
    return "plenum" if len(design.plena) == 1 else "plena together"


def _larger(plenum: Plenum, litres: float) -> Plenum:
    return replace(plenum, volume_l=plenum.volume_l + litres)


def _turned(engine: Engine, later_deg: float) -> Engine:
    """The engine with its intake cam turned, positive for later."""
    return engine.model_copy(
        update={
            "intake_opens_btdc_deg": engine.intake_opens_btdc_deg - later_deg,
            "intake_closes_abdc_deg": engine.intake_closes_abdc_deg + later_deg,
            "intake_lift_at_deg": tuple(angle + later_deg for angle in engine.intake_lift_at_deg),
        }
    )


def _runs(air: AirSupply, variants: Sequence[Variant]) -> list[list[Run]]:
    """A row of runs a variant: in the band of revs wanted, then near the highest."""
    first = variants[0][0]
    revs = [*band_of(first).speeds(NEARER, FEW), *(share * first.highest_rpm for share in TOP)]
    breathers = [
        Breather(
            engine=engine,
            air=air,
            intake=with_whole_plena(drawn_intake(design, engine, air)),
            cell=SEARCH_CELL,
            settled=SEARCH_SETTLED,
        )
        for engine, design in variants
    ]
    runs = run_all([(breather, float(rpm)) for breather in breathers for rpm in revs])
    return [runs[i : i + len(revs)] for i in range(0, len(runs), len(revs))]


def _scores(runs: list[list[Run]], engine: Engine) -> tuple[Array, Array]:
    """Mean torque of each row [N m] in the band of revs wanted and near the highest."""
    torque = np.array([[run.torque for run in row] for row in runs])
    band = band_of(engine)
    revs = band.speeds(NEARER, FEW)
    about = band_torque(revs, torque[:, : len(revs)], band)
    return about, torque[:, len(revs) :].mean(axis=1)
