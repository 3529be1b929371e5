"""Squeeze and fill of O-ring sections in published face grooves."""

import csv
from math import pi
from pathlib import Path

import pytest

from tractwright.standards.cords import cord, gland, smallest_corner_radius_mm, width_for_fill_mm

GROOVES = list(csv.DictReader((Path(__file__).parent / "data/face_grooves.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", GROOVES, ids=lambda row: row["w"])
def test_squeeze_and_fill(row):
    """2.62 in 1.91 to 2.06 x 3.56 squeezes 18.9 to 29.3 %, fills 76.3 nominal and 87.4 worst."""
    section = cord(float(row["w"]))
    found = gland(section, section.width_mm, section.depth_mm)
    per_cent = {
        "nominal_squeeze_pct": found.squeeze_nominal,
        "min_squeeze_pct": found.squeeze_least,
        "max_squeeze_pct": found.squeeze_most,
        "nominal_fill_pct": found.fill_nominal,
        "worst_fill_pct": found.fill_worst,
    }
    for column, value in per_cent.items():
        assert 100.0 * value == pytest.approx(float(row[column]), abs=0.1), column


@pytest.mark.parametrize("row", GROOVES, ids=lambda row: row["w"])
def test_a_widened_groove_fills_no_more_than_asked(row):
    section = cord(float(row["w"]))
    width = width_for_fill_mm(section)
    assert width >= section.width_mm
    assert gland(section, width, section.depth_mm).fill_worst <= 0.85 + 1e-9


def test_rubber_keeps_its_volume():
    """A groove of the section's own area is full: the definition of fill."""
    section = cord(3.53)
    area = pi / 4.0 * 3.53**2
    assert gland(section, area / section.depth_mm, section.depth_mm).fill_nominal == pytest.approx(1.0)
    assert smallest_corner_radius_mm(3.53) == pytest.approx(10.6, abs=0.05)
