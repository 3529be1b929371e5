"""The air in front of a pipe's end as added length.

Source: data/gas_end_corrections.csv (Levine and Schwinger 1948; Norris and Sheng 1989).
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from tractwright.air.losses import FLANGED_END, UNFLANGED_END, mouth_extension

ROWS = csv.DictReader((Path(__file__).parent / "data/gas_end_corrections.csv").read_text().splitlines())
PUBLISHED = {row["end"]: float(row["extension_over_radius"]) for row in ROWS}


def test_published_values():
    assert pytest.approx(PUBLISHED["flanged"], abs=5e-5) == FLANGED_END
    assert pytest.approx(PUBLISHED["unflanged"], abs=5e-5) == UNFLANGED_END


def test_unflanged_value_from_the_integral_itself():
    """Levine and Schwinger's low-frequency integral: (1 / pi) x integral of ln(1 / (2 I1(x) K1(x))) / x^2."""
    from scipy.special import ive, kve

    value, _ = quad(lambda x: np.log(1.0 / (2.0 * ive(1, x) * kve(1, x))) / x**2, 0.0, np.inf, limit=400)
    assert value / np.pi == pytest.approx(UNFLANGED_END, abs=2e-4)


def test_a_sharp_mouth_in_a_wall_gets_the_flanged_length():
    assert mouth_extension(0.04, 0.0) == pytest.approx(PUBLISHED["flanged"] * 0.02, rel=1e-12)


def test_a_lip_shortens_it_by_its_own_flare():
    """Length over area summed by an independent quadrature of the quarter circle."""
    radius, lip = 0.021, 0.008
    flare, _ = quad(lambda z: (radius / (radius + lip - np.sqrt(lip**2 - z**2))) ** 2, 0.0, lip)
    front = PUBLISHED["flanged"] * radius**2 / (radius + lip)
    assert mouth_extension(2 * radius, lip) == pytest.approx(flare - lip + front, rel=1e-4)
