"""Directions, and rough sizes where they were published, of measured engines.

Sources: data/gas_measured_engines.csv and data/gas_ram_tubes.csv. Only abstracts and a caption were read: cams, valves,
ports and exhausts of these engines are unknown and stand here as invented, usual ones. So an order must come out right;
a size must come out within what the unknown parts can move, which is told beside each figure. This is no validation.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.losses import entry_loss, mouth_extension, throat_of_loss
from tractwright.air.sweep import run_all
from tractwright.job.engine_tables import AirSupply, Engine

DATA = Path(__file__).parent / "data"
TUBES = {row["case"]: row for row in csv.DictReader((DATA / "gas_ram_tubes.csv").read_text().splitlines())}
INCH = 0.0254
LARGE = PlenumAir(size=None)


def intake(
    cylinders: int, length: float, bore: float, plenum: PlenumAir = LARGE, lip: float = 0.2, wall: float = 320.0
):
    """Like straight runners of one bore."""
    places = np.array([0.0, mouth_extension(bore, lip * bore) + length])
    runners = tuple(
        RunnerAir(
            places=places, area=np.full(2, np.pi / 4 * bore**2), loss=0.2, entry_share=throat_of_loss(entry_loss(lip)),
            cylinders=(number + 1,), plenum=0,
        )
        for number in range(cylinders)
    )  # fmt: skip
    return Intake(runners=runners, plena=(plenum,), wall_temperature=wall)


def sweep(engine: Engine, made: Intake, revs, air: AirSupply | None = None):
    """Filling and torque at each speed."""
    breather = Breather(engine=engine, air=air or AirSupply(), intake=made, cell=0.02, settled=2e-3)
    runs = run_all([(breather, float(rpm)) for rpm in revs])
    return np.array([run.trapped.mean() for run in runs]), np.array([run.torque for run in runs])


def an_engine(**given: float) -> Engine:
    return Engine.model_validate(given)


def test_costa_long_and_small_pipes_for_low_speed_short_and_large_for_high():
    engine = an_engine(cylinders=4, bore=69.0, stroke=67.0, intake_valves=1, wanted_peak=4000.0, highest=6500.0)

    def filling(length: float, bore: float):
        plenum = PlenumAir(size=1.5e-3, throttle_bores=(bore,), necks=(length,))
        return sweep(engine, intake(4, 0.25, 0.032, plenum), (1500.0, 6500.0))[0]

    long_small, short_large = filling(0.9, 0.044), filling(0.3, 0.067)
    assert long_small[0] > 1.01 * short_large[0]
    assert short_large[1] > 1.005 * long_small[1]


SINGLE = {"cylinders": 1, "bore": 95.0, "stroke": 95.0, "intake_valves": 1, "wanted_peak": 2000.0, "highest": 3000.0}


def test_stone_and_taylor_a_tuned_pipe_fills_far_beyond_none():
    """Filling over 1.15 at 65 % of the speeds was measured, with a resonator besides; ours has a pipe alone and no exhaust
    waves: 0.10 less is allowed. A fixed long pipe gains over none at most speeds from 1 500 rpm up.
    """
    engine = an_engine(compression_ratio=17.0, intake_closes_abdc=40.0, **SINGLE)
    revs = np.linspace(1000.0, 3000.0, 9)
    by_length = [sweep(engine, intake(1, length, 0.042), revs)[0] for length in (0.02, 0.5, 0.7, 0.9, 1.2, 1.6, 2.0)]
    best = np.max(by_length, axis=0)
    assert np.mean(best > 1.05) >= 0.65
    gain = by_length[3] / by_length[0] - 1.0
    assert np.mean(gain[2:] > 0.0) >= 0.8
    assert gain.max() > 0.10


def test_hamilton_power_behind_a_restrictor_rises_with_the_plenum():
    """54 to 63 kW measured. Ours: less gain (some 3 % against 17 %), power within 30 %: cam, exhaust and friction unknown."""
    engine = an_engine(
        cylinders=4, bore=67.0, stroke=42.5, wanted_peak=9500.0, highest=12500.0, compression_ratio=12.0,
        intake_closes_abdc=65.0, intake_opens_btdc=20.0, exhaust_closes_atdc=20.0,
    )  # fmt: skip
    revs = np.linspace(8000.0, 11500.0, 6)
    power = []
    for litres in (1.2, 3.0, 6.0):
        plenum = PlenumAir(size=litres * 1e-3, throttle_bores=(0.02,), necks=(0.1,))
        power.append((sweep(engine, intake(4, 0.2, 0.038, plenum), revs)[1] * revs * np.pi / 30.0).max() / 1000.0)
    assert power[0] < power[1] < power[2]
    assert 0.7 * 54.0 < power[0] < 1.3 * 54.0
    assert 0.7 * 63.0 < power[2] < 1.3 * 63.0


def test_ceviz_a_larger_plenum_helps_at_low_speed():
    engine = an_engine(cylinders=4, bore=76.0, stroke=71.5, intake_valves=1, wanted_peak=3200.0, highest=5500.0)
    revs = np.linspace(1700.0, 2600.0, 6)
    small, large = (
        sweep(engine, intake(4, 0.3, 0.034, PlenumAir(size=size, throttle_bores=(0.045,), necks=(0.1,))), revs)[1]
        for size in (1e-3, 3e-3)
    )
    assert large.mean() > 1.005 * small.mean()


def test_tn675_heating_takes_filling():
    """Short pipe, cylinder of the size told: under 1 throughout, and the more the hotter the wall."""
    stroke = 5.48 * 25.4
    engine = an_engine(
        cylinders=1, bore=5.5 * 25.4, stroke=stroke, wanted_peak=2000.0, highest=2600.0, compression_ratio=6.5,
        intake_valves=1,
    )  # fmt: skip
    revs = (1500.0, 2050.0, 2600.0)
    cool, hot = (sweep(engine, intake(1, 0.3, 0.06, wall=wall), revs)[0] for wall in (300.0, 420.0))
    assert hot.max() < 1.0
    assert np.all(hot < 0.99 * cool)


def test_harrison_the_valve_stays_open_for_one_swing():
    """Best speed of a pipe against the swing of pipe and half-filled cylinder, kL tan kL = AL/V: within 30 % of one."""
    engine = an_engine(**SINGLE)
    revs = np.linspace(1200.0, 3000.0, 19)
    length, bore = 0.9, 0.042
    filling = sweep(engine, intake(1, length, bore, wall=300.0), revs)[0]
    tract = length + mouth_extension(bore, 0.2 * bore) + engine.port_length_mm * 1e-3
    area, sound = np.pi / 4 * bore**2, 346.0
    swept = np.pi / 4 * 0.095**3
    half = swept * (0.5 + 1.0 / (engine.compression_ratio - 1.0))
    share = area * tract / half
    k = brentq(lambda x: x * np.tan(x) - share, 1e-6, np.pi / 2 - 1e-6)
    best = revs[np.argmax(filling)]
    open_for = (180.0 + 10.0 + 50.0) / (6.0 * best)
    assert open_for * k * sound / (2 * np.pi * tract) == pytest.approx(1.0, abs=0.3)


def test_ram_tubes_shape_the_curve_as_on_the_brake():
    """An eight with stacks of 9 and 3.5 in, and without an entry radius. Wheel figures; ports, bodies and cams unknown, so
    losses of torque are held to half and twice the measured, power to within 5 points of it, speeds to direction.
    """
    engine = an_engine(
        cylinders=8, bore=90.2, stroke=90.0, wanted_peak=4500.0, highest=6800.0, intake_valve=37.0, intake_lift=10.0,
        port_length=110.0,
    )  # fmt: skip
    bore, bodies = 1.9375 * INCH, 0.12
    revs = np.linspace(3800.0, 6800.0, 13)
    torque, power, at = {}, {}, {}
    for case, row in TUBES.items():
        lip = 0.2 if row["entry_rounded"] == "yes" else 0.0
        made = intake(8, float(row["tube_length_in"]) * INCH + bodies, bore, lip=lip)
        curve = sweep(engine, made, revs)[1]
        torque[case], power[case] = curve.max(), (curve * revs).max()
        at[case] = revs[np.argmax(curve * revs)]

    def measured(key: str, case: str) -> float:
        return float(TUBES[case][key]) / float(TUBES["long"][key]) - 1.0

    for case in ("short", "plain"):
        lost, told = torque[case] / torque["long"] - 1.0, measured("peak_torque_lbft", case)
        assert 2.0 * told < lost < 0.5 * told
        assert power[case] / power["long"] - 1.0 == pytest.approx(measured("peak_power_hp", case), abs=0.05)
        assert at[case] > at["long"]
    assert torque["plain"] < torque["short"]
