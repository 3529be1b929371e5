"""What a manifold not yet drawn should be, by simulation over what is allowed: mouth, throttle, plenum, length."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.air.band import band_of
from tractwright.air.breather import Breather
from tractwright.air.engine import swept_volume
from tractwright.air.intake import Plan, bore_of, planned_intake
from tractwright.air.peaks import LengthChoice, all_but, band_torque, choose_length, gain
from tractwright.air.records import Allowed
from tractwright.air.sweep import run_all
from tractwright.job.engine_tables import Engine
from tractwright.job.sheet import JobSheet

Array = npt.NDArray[np.float64]

SEARCH_CELL = (
    0.025  # m: filling within some tenths of a per cent of cells a third as long; sizes are compared among themselves
)
SEARCH_SETTLED = 2e-3
LENGTHS = 11
FAR, MANY = 0.26, 9  # speeds about the wanted revs: how far to both sides, how many
NEARER, FEW = 0.22, 7
MOUTHS, MOUTH_LENGTHS = 4, (0.8, 1.0, 1.2)  # a wider mouth wants a longer runner: each is tried with its own best
VOLUMES = (1.0, 1.3, 1.65, 2.0)  # x displacement; hamilton_2011 saw power rise on to 10 x, behind a restrictor
THROTTLES = (
    0.8,
    0.95,
    1.12,
    1.33,
    1.6,
)  # x the bore that the rule gives: one or two cylinders draw in gulps, and want more
TOP = (0.9, 1.0)  # x highest revs
_COUNTED = {1: "throttle", 2: "two throttles of", 4: "four throttles of"}
WIDE_OPEN = 90.0  # deg
LITTLE_MOUTH = 0.004  # the same of a wider mouth, which costs least (judgement)
LITTLE = 0.007  # what a larger plenum or throttle must give in torque to be worth its room (judgement)


@dataclass(frozen=True, slots=True)
class Told:
    """A figure with the sentence that tells where it comes from."""

    value: float
    why: str


def displacement_l(engine: Engine) -> float:
    """Of all cylinders [litre]."""
    return swept_volume(engine) * engine.cylinders * 1e3


def enough(values: Sequence[float], torque: Array, little: float = LITTLE) -> float:
    """The least of rising values that gives all but a little of the most torque.

    Between the tried values it runs on without a jump, on the highest torque so far: a small change of the torque moves it
    little, wherever the torque depends on the value at all.
    """
    so_far = np.maximum.accumulate(torque)
    goal = all_but(so_far[-1], little)
    if so_far[0] >= goal:
        return float(values[0])
    i = int(np.flatnonzero(so_far >= goal)[0])
    share = (goal - so_far[i - 1]) / (so_far[i] - so_far[i - 1])
    return float(values[i - 1] + share * (values[i] - values[i - 1]))


def chosen_mouth(sheet: JobSheet, engine: Engine, plan: Plan, areas_mm2: tuple[float, float]) -> Told:
    """Area of the mouths [mm2] between two, for torque over the sheet's band; else from under the wanted revs up to the top."""
    areas = [float(area) for area in np.linspace(*areas_mm2, MOUTHS)]
    shares = MOUTH_LENGTHS if sheet.runner.length_mm is None else (1.0,)
    lengths = [plan.length_mm * share for share in shares]
    plans = [replace(plan, mouth_area_mm2=area, length_mm=length) for area in areas for length in lengths]
    revs = np.linspace(*band_of(engine).served(engine.highest_rpm), 5)
    torque = torque_of(sheet, engine, plans, revs).mean(axis=1).reshape(len(areas), -1).max(axis=1)
    area = enough(areas, torque, LITTLE_MOUTH)
    more = gain(torque.max(), torque[0])
    return Told(
        area,
        f"bore {bore_of(area):.1f} mm at the mouth, {area / plan.port_area_mm2:.2f} x the port: the smallest within "
        f"{LITTLE_MOUTH:.1%} of the best torque from {revs[0]:.0f} to {revs[-1]:.0f} revs, simulated with mouths of "
        f"{areas[0] / plan.port_area_mm2:.2f} to {areas[-1] / plan.port_area_mm2:.2f} x; the best is {more:.1%} over the least",
    )


def chosen_throttle(sheet: JobSheet, engine: Engine, plan: Plan, step_mm: float, least_mm: float) -> Told:
    """Bore of each throttle [mm] for torque near the highest revs, rounded up to a step."""
    bores = [share * plan.throttle_bore_mm for share in THROTTLES]
    revs = np.array(TOP) * engine.highest_rpm
    torque = torque_of(sheet, engine, [replace(plan, throttle_bore_mm=bore) for bore in bores], revs).mean(axis=1)
    bore = max(float(np.ceil(enough(bores, torque) / step_mm)) * step_mm, least_mm)
    edge = "; the end of what was tried" if bore >= bores[-1] and torque[-1] == torque.max() else ""
    counted = _COUNTED[plan.throttles * len(set(plan.entered))]
    return Told(
        bore,
        f"{counted} {bore:.0f} mm: the smallest within {LITTLE:.1%} of the best torque near "
        f"{engine.highest_rpm:.0f} revs, simulated with {bores[0]:.0f} to {bores[-1]:.0f} mm{edge}",
    )


def chosen_plenum(sheet: JobSheet, engine: Engine, plan: Plan, allowed: Allowed) -> Told:
    """Volume of the plenum [litre]."""
    size = displacement_l(engine)
    low, high = allowed.volume_l or (VOLUMES[0] * size, VOLUMES[-1] * size)
    litres = [float(np.clip(factor * size, low, high)) for factor in VOLUMES]
    plans = [replace(plan, plenum_volume_l=litre) for litre in litres]
    band = band_of(engine)
    revs = band.speeds(NEARER, FEW)
    torque = band_torque(revs, torque_of(sheet, engine, plans, revs), band)
    volume = round(enough(litres, torque), 2)
    more = gain(torque.max(), float(np.interp(volume, litres, torque))) if litres[0] < litres[-1] else 0.0
    return Told(
        volume,
        f"plenum {volume:.1f} l, {volume / size:.2f} x displacement: the smallest within {LITTLE:.1%} of the best torque "
        f"{band.in_words()}, simulated with {litres[0]:.1f} to {litres[-1]:.1f} l; more would give {max(more, 0.0):.1%} at "
        "most; room, metal and answer to the pedal speak for less",
    )


def chosen_length(sheet: JobSheet, engine: Engine, plan: Plan, allowed: Allowed) -> LengthChoice:
    """The length [mm] by simulation over lengths and revs."""
    lengths = [float(x) for x in np.linspace(*allowed.length_mm, LENGTHS)]
    band = band_of(engine)
    revs = band.speeds(FAR, MANY)
    torque = torque_of(sheet, engine, [replace(plan, length_mm=length) for length in lengths], revs)
    return choose_length(lengths, revs, torque, band)


def torque_of(sheet: JobSheet, engine: Engine, plans: Sequence[Plan], revs: Array) -> Array:
    """Torque [N m] of each plan (rows) at each speed (columns), with the throttle wide open whatever the sheet looks at."""
    air = sheet.air.model_copy(update={"throttle_open_deg": WIDE_OPEN})
    breathers = [
        Breather(
            engine=engine,
            air=air,
            intake=planned_intake(plan, air),
            cell=SEARCH_CELL,
            settled=SEARCH_SETTLED,
        )
        for plan in plans
    ]
    runs = run_all([(breather, float(rpm)) for breather in breathers for rpm in revs])
    return np.array([run.torque for run in runs]).reshape(len(plans), len(revs))
