"""A runner with a throttle body and a trumpet, open to still air: what it sounds at when the valves are shut.

Source: a pipe shut at one end and open at the other sounds at c / 4L; of a free thin-walled end L counts 0.6127 of its radius
more (Levine and Schwinger 1948, Phys. Rev. 73:383; data/gas_end_corrections.csv). Exact in the limit of small amplitude.
"""

from dataclasses import replace

import numpy as np
import pytest
from heard import frequency

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather
from tractwright.air.entrance import OnMouth, through_body
from tractwright.air.intake import Plan, planned_intake
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume
from tractwright.job.engine_tables import AirSupply, Engine

BORE, RUNNER, BODY, TRUMPET = 0.045, 0.11, 0.042, 0.050
TEMPERATURE, PRESSURE = 298.15, 101325.0
UNFLANGED = 0.6127


def _plan(bell: float) -> Plan:
    area = np.pi / 4 * (BORE * 1e3) ** 2
    return Plan(
        fed=((1,), (2,), (3,)), length_mm=RUNNER * 1e3, port_area_mm2=area, mouth_area_mm2=area, lip_radius_mm=0.0,
        plenum_volume_l=0.0, throttle_bore_mm=BORE * 1e3, neck_mm=0.0,
        on_mouth=OnMouth(body=BODY, trumpet=TRUMPET, bell=bell),
    )  # fmt: skip


def test_a_plain_trumpet_sounds_as_an_organ_pipe():
    """Shut at the head: c / 4 of runner, body, trumpet and the end's own length, to 0.2 %."""
    (runner, *_) = planned_intake(_plan(0.0), AirSupply()).runners
    length = RUNNER + BODY + TRUMPET + UNFLANGED * BORE / 2
    assert runner.places[-1] == pytest.approx(length, rel=1e-3)
    cells = 80
    x = (np.arange(cells) + 0.5) * runner.places[-1] / cells
    swing = PRESSURE + 100.0 * np.sin(0.5 * np.pi * x / runner.places[-1])
    pipe = Pipe(
        places=runner.places, area=runner.area, cells=cells, low=End(volume=0), high=End(), pressure=swing,
        temperature=TEMPERATURE * (swing / PRESSURE) ** (0.4 / 1.4),
    )  # fmt: skip
    network, state = build([pipe], [Volume(pressure=PRESSURE, temperature=TEMPERATURE)])
    times = np.arange(1, 801) * 1e-4
    heard = np.empty(times.size)
    for i, time in enumerate(times):
        advance(network, state, time, 0.0, 0.85)
        heard[i] = state.faces[1, 2] - PRESSURE
    assert frequency(times, heard) == pytest.approx(np.sqrt(1.4 * 287.05 * TEMPERATURE) / (4 * length), rel=2e-3)


@pytest.mark.parametrize("bell", [0.006, 0.014, 0.030])
def test_a_bell_sounds_between_a_plain_end_at_its_foot_and_one_at_its_rim(bell):
    """Plain sums: its flare weighs less than the pipe it replaces, and more than nothing at all."""
    entrance = through_body(BORE, OnMouth(body=BODY, trumpet=TRUMPET, bell=bell), 90.0)
    plain = BODY + TRUMPET + UNFLANGED * BORE / 2
    assert plain - UNFLANGED * BORE / 2 < entrance.before < plain + bell


def test_a_bell_by_quadrature():
    """Length over area of the quarter circle summed by an independent quadrature, the free end's length at the rim added."""
    from scipy.integrate import quad

    radius, bell = BORE / 2, 0.014
    flare, _ = quad(lambda z: (radius / (radius + bell - np.sqrt(bell**2 - z**2))) ** 2, 0.0, bell)
    wanted = BODY + TRUMPET + flare + UNFLANGED * radius**2 / (radius + bell)
    on_mouth = OnMouth(body=BODY, trumpet=TRUMPET, bell=bell)
    assert through_body(BORE, on_mouth, 90.0).before == pytest.approx(wanted, rel=1e-4)


@pytest.mark.parametrize(("open_deg", "share"), [(90.0, 0.90), (60.0, 0.45), (30.0, 0.9 * (1 - np.sqrt(3) / 2))])
def test_losses_of_entry_and_plate_add_up(open_deg, share):
    """Plain sums on 1 / s^2 = 1 + K: a sharp entry loses 0.5 (idelchik_1989), the plate 1 / s^2 - 1."""
    sharp = through_body(BORE, OnMouth(body=BODY, trumpet=TRUMPET, bell=0.0), open_deg)
    assert 1.0 / sharp.entry_share**2 == pytest.approx(1.0 + 0.5 + 1.0 / share**2 - 1.0, rel=1e-9)
    assert sharp.exit_share == pytest.approx(share, rel=1e-9)


def _engine() -> Engine:
    return Engine.model_validate({"cylinders": 3, "bore": 72.0, "stroke": 80.0, "wanted_peak": 6500.0})


def test_every_trumpet_draws_from_still_air_or_from_the_box():
    """Without a box the volume at each mouth is the one whose pressure stays; with one it is one volume of its size."""
    air = AirSupply()
    intake = planned_intake(_plan(0.014), air)
    breather = Breather(engine=_engine(), air=air, intake=intake, cell=0.02)
    parts = assembled(breather, 6000.0)
    assert len(set(parts.plena)) == 1
    assert parts.plena[0] == (0,)
    boxed = replace(breather, air=AirSupply.model_validate({"box": 6.0}))
    assert assembled(boxed, 6000.0).plena[0] != (0,)
