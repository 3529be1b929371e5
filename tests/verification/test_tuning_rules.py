"""The trade's closed forms against worked answers. Source: data/gas_tuning_rules.csv."""

import csv
from math import pi
from pathlib import Path

import pytest

from tractwright.air.rules_of_thumb import (
    inlet_mach_index,
    mean_piston_speed,
    reflected_wave_length,
    resonator_frequency,
    resonator_rpm,
)

ROWS = list(csv.DictReader((Path(__file__).parent / "data/gas_tuning_rules.csv").read_text().splitlines()))
OURS = {
    "reflected wave 85 deg 330 m/s 2000": reflected_wave_length(85.0, 330.0, 2000.0),
    "reflected wave 85 deg 330 m/s 3000": reflected_wave_length(85.0, 330.0, 3000.0),
    "reflected wave 85 deg 330 m/s 4000": reflected_wave_length(85.0, 330.0, 4000.0),
    "resonator 500 cc CR 10 0.35 m 42 mm 343 m/s": resonator_rpm(pi / 4 * 0.042**2, 0.35, 500e-6, 10.0, 343.0),
    "lump frequency 1 l 20 mm 32 mm 343 m/s": resonator_frequency(pi / 4 * 0.02**2, 0.032, 1e-3, 343.0),
    "inlet Mach index 86 x 86 two 35 mm 0.35 343 m/s 7000": inlet_mach_index(
        0.086, 0.086, 7000.0, 0.35 * 2 * pi / 4 * 0.035**2, 343.0
    ),
    "mean piston speed 86 mm 7000": mean_piston_speed(0.086, 7000.0),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["rule"])
def test_worked_answer(row):
    assert OURS[row["rule"]] == pytest.approx(float(row["answer"]), rel=float(row["tolerance"]))
