"""ASME VIII division 1 appendix 2: greatest spacing of screws, and what it does to the moment."""

import csv
from pathlib import Path

import pytest

from tractwright.standards.spacing import moment_factor, widest_spacing_mm

PRINTED = list(csv.DictReader((Path(__file__).parent / "data/bolt_spacing.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: f"M{row['screw']} t {row['flange']} m {row['m']}")
def test_widest_spacing(row):
    """M6, 12 mm flange, m = 1 gives 60.0 mm."""
    screw, flange = float(row["screw"]), float(row["flange"])
    assert widest_spacing_mm(screw, flange, float(row["m"])) == pytest.approx(float(row["spacing"]), abs=0.06)


def test_moment_factor():
    """M6 screws 60 mm apart on a 12 mm flange bend it 1.58 times as hard (root of 60/24); side by side once."""
    assert moment_factor(60.0, 6.0, 12.0) == pytest.approx(1.58, abs=0.005)
    assert moment_factor(12.0, 6.0, 12.0) == 1.0
