"""The air path beyond runners: throttle, duct, rows of volumes, joints, primaries, cams, firing."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir, with_whole_plena
from tractwright.air.cylinders.kernels import HOT_ZERO, cylinder_volume
from tractwright.air.engine import firing_phases, intake_valves
from tractwright.air.flow.kernels import PER_VOLUME
from tractwright.air.network.bundles import (
    CYLINDER_LOSS,
    ENERGY_IN,
    FUEL_HEAT,
    MASS_IN,
    RESERVOIR,
    WALL_HEAT_IN,
    WORK_OUT,
)
from tractwright.air.network.kernels import advance
from tractwright.air.sweep import run_at
from tractwright.air.valves import ANGLES, effective_area, lift_share
from tractwright.job.engine_tables import AirSupply, Engine

ROAD = {"cylinders": 4, "bore": 86.0, "stroke": 86.0, "highest": 7500.0}


def engine(**given) -> Engine:
    return Engine.model_validate({**ROAD, **given})


def breather(made: Engine, air: dict[str, object] | None = None, plena=None, fed=None) -> Breather:
    plena = plena or (PlenumAir(size=3e-3, throttle_bores=(0.06,), necks=(0.03,)),)
    fed = fed or tuple((number,) for number in range(1, made.cylinders + 1))
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, 0.3]), area=np.array([1.4e-3, 1.15e-3]), loss=0.2, entry_share=0.98, cylinders=numbers,
            plenum=i % len(plena), part=i * plena[0].parts // len(fed),
        )
        for i, numbers in enumerate(fed)
    )  # fmt: skip
    supply = AirSupply.model_validate(air or {})
    return Breather(
        engine=made, air=supply, cell=0.02, settled=2e-3,
        intake=Intake(runners=runners, plena=plena, wall_temperature=330.0),
    )  # fmt: skip


def test_a_throttle_half_shut_takes_filling_and_ever_more_of_it():
    filling = [run_at(breather(engine(), {"throttle_open": deg}), 5000.0).trapped.mean() for deg in (90.0, 40.0, 20.0)]
    assert filling[0] > 1.05 * filling[1] > 1.3 * filling[2]


def test_a_wide_throttle_on_a_tiny_row_is_survived():
    """Sound fills the row's first volume, 35 cm3 behind a 90 mm bore, three times over in a step of the cells."""
    tiny = PlenumAir(size=0.24e-3, throttle_bores=(0.09,), necks=(0.03,), parts=4, length=0.4)
    run = run_at(breather(engine(), plena=(tiny,)), 3700.0)
    assert np.all((run.trapped > 0.1) & (run.trapped < 1.5))


def test_a_duct_and_a_box_are_heard():
    plain = run_at(breather(engine()), 4000.0).trapped.mean()
    ducted = run_at(breather(engine(), {"duct_length": 900.0, "duct_bore": 60.0, "box": 4.0}), 4000.0).trapped.mean()
    assert abs(ducted / plain - 1.0) > 0.005


def test_an_end_fed_row_fills_cylinders_unequally_and_a_whole_plenum_does_not():
    row = PlenumAir(size=3e-3, throttle_bores=(0.06,), necks=(0.03,), parts=4, length=0.38)
    drawn = breather(engine(), plena=(row,))
    by_row = run_at(drawn, 6000.0).trapped
    whole = run_at(replace(drawn, intake=with_whole_plena(drawn.intake)), 6000.0).trapped
    assert np.ptp(by_row) / by_row.mean() > 0.01
    assert np.ptp(whole) / whole.mean() < 1e-3


def test_a_balance_pipe_brings_two_plena_nearer():
    half = PlenumAir(size=1.5e-3, throttle_bores=(0.045,), necks=(0.03,))
    apart, joined = (
        run_at(breather(engine(), air, plena=(half, half)), 7000.0).trapped
        for air in ({}, {"balance_length": 150.0, "balance_bore": 60.0})
    )
    assert np.ptp(joined) < np.ptp(apart)


@pytest.mark.parametrize("collector", [0.0, 500.0])
def test_primaries_keep_mass_and_energy(collector):
    """The whole engine with hot pipes, a joint of primaries and shared runners over five cycles, to rounding."""
    made = engine(primary_length=600.0, collector_length=collector)
    parts = assembled(breather(made, fed=((1, 2), (3, 4))), 6000.0)
    network, state = parts.network, parts.state

    def totals():
        per_volume = network.shape[PER_VOLUME]
        sizes = np.divide(1.0, per_volume, out=np.zeros_like(per_volume), where=per_volume > 0)
        ours, hot = network.kinds != RESERVOIR, np.arange(per_volume.size) >= network.hot_from
        mass = (state.conserved[0] * sizes).sum() + state.volumes[ours, 0].sum()
        energy = ((state.conserved[2] + HOT_ZERO * hot * state.conserved[0]) * sizes).sum() + state.volumes[
            ours, 1
        ].sum()
        return mass, energy

    mass, energy = totals()
    advance(network, state, 5 * 0.02, 6000.0, 0.85)
    mass_now, energy_now = totals()
    sums = state.sums
    assert abs(mass_now - mass - sums[MASS_IN]) <= 1e-12
    heat = sums[FUEL_HEAT] + sums[WALL_HEAT_IN] - sums[CYLINDER_LOSS]
    assert abs(energy_now - energy - sums[ENERGY_IN] - heat + sums[WORK_OUT]) <= 1e-10 * sums[FUEL_HEAT]


def test_a_long_overlap_is_helped_or_hurt_by_primaries():
    """Waves of the exhaust matter where both valves are open; fresh air that goes straight through is not trapped."""
    long = {"intake_opens_btdc": 40.0, "exhaust_closes_atdc": 40.0, "intake_closes_abdc": 65.0}
    runs = [
        run_at(breather(engine(primary_length=length, **long)), rpm)
        for length in (0.0, 700.0)
        for rpm in (4000.0, 7000.0)
    ]
    assert abs(runs[3].trapped.mean() / runs[1].trapped.mean() - 1.0) > 0.03
    assert all(np.all(run.trapped <= run.delivered + 2e-3) for run in runs)
    assert runs[3].delivered.mean() > runs[3].trapped.mean() + 1e-3
    assert all(0.005 < run.residual.mean() < 0.35 for run in runs)


def test_primaries_of_a_symmetric_engine_serve_all_alike():
    run = run_at(breather(engine(primary_length=600.0, collector_length=500.0)), 5500.0)
    assert np.ptp(run.trapped) / run.trapped.mean() < 1e-3


@pytest.mark.parametrize(
    ("given", "phases"),
    [
        ({"cylinders": 3}, [0, 240, 480]),
        ({"cylinders": 6, "bank_angle": 90.0}, [0, 90, 240, 330, 480, 570]),
        ({"cylinders": 6, "bank_angle": 60.0}, [0, 60, 240, 300, 480, 540]),
        ({"cylinders": 2, "bank_angle": 45.0}, [0, 405]),
        ({"cylinders": 8, "bank_angle": 90.0}, [0, 90, 180, 270, 360, 450, 540, 630]),
        ({"cylinders": 2, "firing_at": [0.0, 180.0]}, [0, 180]),
    ],
)
def test_firing(given, phases):
    made = engine(**given)
    assert [firing_phases(made)[number] for number in made.firing_order] == pytest.approx(phases)


@pytest.mark.parametrize("cylinders", range(1, 9))
def test_any_number_of_cylinders_breathes(cylinders):
    run = run_at(breather(engine(cylinders=cylinders)), 5000.0)
    assert len(run.trapped) == cylinders
    assert np.all((run.trapped > 0.6) & (run.trapped < 1.4))


def test_a_measured_cam_is_followed():
    at = np.linspace(-20.0, 240.0, 27)
    lifts = 9.0 * np.sin(np.pi * (at + 20.0) / 260.0) ** 2
    lifts[[0, -1]] = 0.0
    valves = intake_valves(engine(intake_lift_at=list(at), intake_lifts=list(lifts)))
    assert (valves.opens, valves.closes, valves.lift) == pytest.approx((-20.0, 240.0, 9e-3), rel=2e-3)
    share = lift_share(valves)
    exact = np.sin(np.pi * ((ANGLES + 20.0) % 720.0) / 260.0) ** 2 * (((ANGLES + 20.0) % 720.0) < 260.0)
    np.testing.assert_allclose(share, exact, atol=0.01)


def test_a_flowed_head_is_believed():
    valves = intake_valves(engine(intake_flow_at=[0.0, 0.3], intake_flow=[0.5, 0.5]))
    curtain = valves.count * np.pi * valves.diameter * valves.lift * lift_share(valves)
    np.testing.assert_allclose(effective_area(valves), 0.5 * curtain)


def test_a_pin_offset_lengthens_the_stroke_a_little():
    """Both dead centres of the offset slider-crank: sqrt((l + r)^2 - e^2) and sqrt((l - r)^2 - e^2)."""
    bore, stroke, rod, e = 0.086, 0.086, 0.14, 0.012
    crank = stroke / 2
    travel = np.sqrt((rod + crank) ** 2 - e**2) - np.sqrt((rod - crank) ** 2 - e**2)
    volume = np.array([cylinder_volume(bore, stroke, rod, e, 10.0, a) for a in np.linspace(0.0, 360.0, 7201)])
    area = np.pi / 4 * bore**2
    assert volume[0] == pytest.approx(area * stroke / 9.0)
    assert volume.min() == pytest.approx(volume[0])
    assert (volume.max() - volume.min()) / area == pytest.approx(travel, rel=1e-6)
