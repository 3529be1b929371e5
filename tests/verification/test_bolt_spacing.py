"""ASME VIII division 1 appendix 2: greatest spacing of screws."""

import csv
from pathlib import Path

import pytest

from tractwright.standards.spacing import widest_spacing_mm

PRINTED = list(csv.DictReader((Path(__file__).parent / "data/bolt_spacing.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: f"M{row['screw']} t {row['flange']} m {row['m']}")
def test_widest_spacing(row):
    """M6, 12 mm flange, m = 1 gives 60.0 mm."""
    screw, flange = float(row["screw"]), float(row["flange"])
    assert widest_spacing_mm(screw, flange, float(row["m"])) == pytest.approx(float(row["spacing"]), abs=0.06)
