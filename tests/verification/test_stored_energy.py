"""Energy of compressed air: isentropic expansion, 8 litres, a printed row of pressures."""

import csv
from pathlib import Path

import pytest
from scipy.integrate import quad

from tractwright.strength.pressure import stored_energy_j

PRINTED = list(csv.DictReader((Path(__file__).parent / "data/stored_energy.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["gauge_bar"])
def test_eight_litres(row):
    """717 J at 1 bar gauge, 222 J at 0.35."""
    assert stored_energy_j(8.0, float(row["gauge_bar"])) == pytest.approx(float(row["energy_j"]), rel=0.01)


def test_it_is_the_work_of_expansion():
    """Integral of p dv along p v^1.4 = constant, in SI."""
    start, gauge, ambient = 8e-3, 2e5, 1.01325e5
    inside = gauge + ambient
    end = start * (inside / ambient) ** (1 / 1.4)
    work, _ = quad(lambda v: inside * (start / v) ** 1.4, start, end)
    assert stored_energy_j(8.0, 2.0) == pytest.approx(work, rel=1e-9)
