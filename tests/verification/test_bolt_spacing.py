"""ASME VIII division 1 appendix 2: greatest spacing of screws and what wide spacing does to the flange's bending."""

import csv
from pathlib import Path

import pytest

from tractwright.standards.spacing import moment_factor, widest_spacing_mm

PRINTED = list(csv.DictReader((Path(__file__).parent / "data/bolt_spacing.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: f"M{row['screw']} t {row['flange']} m {row['m']}")
def test_spacing_and_moment_factor(row):
    """M6, 12 mm flange, m = 1 gives 60.0 mm; at 60 mm the moment factor is 1.58."""
    screw, flange = float(row["screw"]), float(row["flange"])
    assert widest_spacing_mm(screw, flange, float(row["m"])) == pytest.approx(float(row["spacing"]), abs=0.06)
    assert moment_factor(60.0, screw, flange) == pytest.approx(float(row["moment_factor_at_60"]), abs=0.006)


def test_close_screws_raise_nothing():
    assert moment_factor(10.0, 6.0, 12.0) == 1.0
