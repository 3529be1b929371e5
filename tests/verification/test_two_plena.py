"""Several plena and several throttles on one engine.

Sources: the same engine told otherwise (a half by itself, one plenum of the summed volume, one throttle of the summed
area); elementary acoustics: volumes V1 and V2 on the ends of a pipe of area A and length L sound where
tan kL = (a + b) / (ab - 1), a = V1 k / A, b = V2 k / A, which for low notes is Helmholtz's resonator.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.cylinders.kernels import PRESSURE
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume
from tractwright.air.sweep import run_at
from tractwright.job.engine_tables import AirSupply, Engine

REST, WARM = 101325.0, 300.0
SOUND = np.sqrt(1.4 * 287.05 * WARM)
HALF = PlenumAir(size=1.5e-3, throttle_bores=(0.045,), necks=(0.03,))
BANKS = ((1, 2), (3, 4))


def engine(cylinders: int, order: list[int], firing_at: list[float]) -> Engine:
    return Engine.model_validate({
        "cylinders": cylinders, "bore": 86.0, "stroke": 86.0, "highest": 7500.0, "firing_order": order, "firing_at": firing_at,
    })  # fmt: skip


def breather(made: Engine, plena: tuple[PlenumAir, ...], rooms: tuple[int, ...], **air: float) -> Breather:
    """Like runners, one a cylinder, each into its room."""
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, 0.3]), area=np.array([1.4e-3, 1.15e-3]), loss=0.2, entry_share=0.98, cylinders=(number,),
            plenum=room,
        )
        for number, room in enumerate(rooms, start=1)
    )  # fmt: skip
    intake = Intake(runners=runners, plena=plena, wall_temperature=330.0)
    return Breather(engine=made, air=AirSupply.model_validate(air), intake=intake, cell=0.02, settled=5e-4)


def test_banks_that_nothing_joins_breathe_each_as_half_an_engine():
    """Both fire together, so that the halves step alike: the same numbers to rounding."""
    whole = run_at(breather(engine(4, [1, 3, 2, 4], [0, 0, 360, 360]), (HALF, HALF), (0, 0, 1, 1)), 5500.0)
    half = run_at(breather(engine(2, [1, 2], [0, 360]), (HALF,), (0, 0)), 5500.0)
    for bank in BANKS:
        numbers = [number - 1 for number in bank]
        np.testing.assert_allclose(whole.trapped[numbers], half.trapped, rtol=1e-12)
        np.testing.assert_allclose(whole.speed_at_mouth[numbers], half.speed_at_mouth, rtol=1e-12)


def test_banks_by_turns_breathe_each_as_half_an_engine():
    """They step at other moments than a half does by itself: 9e-5 apart, of 2e-4."""
    whole = run_at(breather(engine(4, [1, 3, 2, 4], [0, 180, 360, 540]), (HALF, HALF), (0, 0, 1, 1)), 5500.0)
    half = run_at(breather(engine(2, [1, 2], [0, 360]), (HALF,), (0, 0)), 5500.0)
    np.testing.assert_allclose(whole.trapped, np.tile(half.trapped, 2), rtol=2e-4)


def test_a_fat_short_pipe_between_plena_makes_them_one():
    """Against one plenum of both volumes and the pipe's, with both throttles: 0.2 % apart, of 0.4."""
    made = engine(4, [1, 2, 3, 4], [0, 180, 360, 540])
    bore = 0.149
    own = 0.25 * np.pi * bore**2 * (0.01 + 0.8216 * bore)
    joined = replace(HALF, size=2 * HALF.size + own, throttle_bores=(0.045,) * 2, necks=(0.03,) * 2)
    one = run_at(breather(made, (joined,), (0, 0, 0, 0)), 5500.0).trapped
    runs = {
        wide: run_at(breather(made, (HALF, HALF), (0, 0, 1, 1), balance_length=10.0, balance_bore=wide), 5500.0).trapped
        for wide in (6.0, 149.0)
    }
    apart = run_at(breather(made, (HALF, HALF), (0, 0, 1, 1)), 5500.0).trapped
    assert abs(apart / one - 1.0).max() > 0.02
    assert abs(runs[6.0] / apart - 1.0).max() < 0.01
    assert abs(runs[149.0] / one - 1.0).max() < 0.004


@pytest.mark.parametrize(("sizes", "length", "bore"), [((3e-3, 3e-3), 0.30, 0.04), ((2e-3, 5e-3), 0.6, 0.05)])
def test_two_volumes_on_a_pipe_sound_as_they_must(sizes, length, bore):
    """Started in the mode's own shape, so that no other sounds."""
    area = np.pi / 4 * bore**2

    def off(k: float) -> float:
        a, b = (size * k / area for size in sizes)
        return (a * b - 1.0) * np.sin(k * length) - (a + b) * np.cos(k * length)

    low = np.sqrt(area / length * (1 / sizes[0] + 1 / sizes[1]))
    k = brentq(off, 0.5 * low, 1.001 * low)
    assert k == pytest.approx(low, rel=0.1)  # Helmholtz's, that leaves out the air in the pipe
    x = np.array([0.0, *(np.arange(60) + 0.5) * length / 60, length])
    swing = 60.0 * (np.cos(k * x) - sizes[0] * k / area * np.sin(k * x))
    warm = WARM * (1.0 + swing / REST) ** (0.4 / 1.4)
    pipe = Pipe(
        places=np.array([0.0, length]), area=np.full(2, area), cells=60, low=End(volume=0), high=End(volume=1),
        pressure=REST + swing[1:-1], temperature=warm[1:-1],
    )  # fmt: skip
    ends = [
        Volume(pressure=REST + swing[i], temperature=warm[i], size=size) for i, size in ((0, sizes[0]), (-1, sizes[1]))
    ]
    network, state = build([pipe], ends)
    expected = SOUND * k / (2 * np.pi)
    times = np.arange(1, 801) / expected / 40.0
    heard = np.empty(times.size)
    for i, time in enumerate(times):
        advance(network, state, time, 0.0, 0.85)
        heard[i] = state.volumes[0, PRESSURE] - state.volumes[1, PRESSURE]
    rises = np.flatnonzero((heard[:-1] <= 0.0) & (heard[1:] > 0.0))
    moments = times[rises] - heard[rises] * (times[rises + 1] - times[rises]) / (heard[rises + 1] - heard[rises])
    assert (len(moments) - 1) / (moments[-1] - moments[0]) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("open_deg", [30.0, 90.0])
def test_two_throttles_pass_what_one_of_both_their_areas_does(open_deg):
    """Steady flow out of the plenum into a near vacuum; friction on the smaller bores differs, 0.9 % wide open."""
    one, two = (
        PlenumAir(size=3e-3, throttle_bores=(0.04 * np.sqrt(2.0 / count),) * count, necks=(0.03,) * count)
        for count in (1, 2)
    )
    assert _pressure_lost(two, open_deg) == pytest.approx(_pressure_lost(one, open_deg), rel=0.01)


def _pressure_lost(plenum: PlenumAir, open_deg: float) -> float:
    """From the supply to the plenum [Pa], while a choked throat of 6 cm2 draws from it."""
    air = AirSupply.model_validate({"throttle_open": open_deg})
    intake = Intake(runners=(), plena=(plenum,), wall_temperature=WARM)
    made = assembled(Breather(engine=engine(1, [1], [0]), air=air, intake=intake, cell=0.01), 1.0)
    (room,), state = made.plena[0], made.state
    state.volumes[1, PRESSURE] = 0.1 * REST
    drawn = made.network._replace(
        throat_ends=np.array([[room, 1]]), throat_table=np.array([-1]), throat_area=np.array([6e-4]),
        throat_phase=np.zeros(1),
    )  # fmt: skip
    advance(drawn, state, 0.6, 1e-3, 0.85)
    settled = float(state.volumes[room, PRESSURE])
    advance(drawn, state, 0.65, 1e-3, 0.85)
    assert float(state.volumes[room, PRESSURE]) == pytest.approx(settled, rel=1e-6)
    return float(state.volumes[0, PRESSURE]) - settled
