"""A volume that breathes through an open pipe sounds where kL tan kL = A L / V: the distributed answer, not the lump's.

Source: data/gas_pipe_and_volume.csv.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume

ROWS = list(csv.DictReader((Path(__file__).parent / "data/gas_pipe_and_volume.csv").read_text().splitlines()))
PRESSURE = 101325.0


CELLS = 50


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["length_m"])
def test_resonance(row):
    """Started in the mode's own shape, so that no other sounds."""
    length, bore, size = float(row["length_m"]), float(row["bore_m"]), float(row["volume_m3"])
    expected = float(row["frequency_hz"])
    temperature = float(row["sound_m_s"]) ** 2 / (1.4 * 287.05)
    k = 2 * np.pi * expected / float(row["sound_m_s"])
    swing = PRESSURE + 60.0 * np.sin(k * (np.arange(CELLS) + 0.5) * length / CELLS)
    pressed = PRESSURE + 60.0 * np.sin(k * length)
    pipe = Pipe(
        places=np.array([0.0, length]), area=np.full(2, np.pi / 4 * bore**2), cells=CELLS, low=End(volume=0),
        high=End(volume=1), pressure=swing, temperature=warmed(temperature, swing),
    )  # fmt: skip
    network, state = build(
        [pipe],
        [
            Volume(pressure=PRESSURE, temperature=temperature),
            Volume(pressure=pressed, temperature=warmed(temperature, pressed), size=size),
        ],
    )
    times = np.arange(1, 801) / expected / 40.0
    heard = np.empty(times.size)
    for i, time in enumerate(times):
        advance(network, state, time, 0.0, 0.85)
        heard[i] = state.volumes[1, 4] - PRESSURE
    assert frequency(times, heard) == pytest.approx(expected, rel=1e-3)


def warmed(temperature, pressure):
    return temperature * (pressure / PRESSURE) ** (0.4 / 1.4)


def frequency(times, heard):
    """Mean over whole swings, from rise to rise through zero."""
    rises = np.flatnonzero((heard[:-1] <= 0.0) & (heard[1:] > 0.0))
    moments = times[rises] - heard[rises] * (times[rises + 1] - times[rises]) / (heard[rises + 1] - heard[rises])
    return (len(moments) - 1) / (moments[-1] - moments[0])
