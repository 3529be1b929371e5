"""A screw through a larger fixture thread: arithmetic on published limits, every pair of two printed tables."""

import csv
from pathlib import Path

import pytest

from tractwright.standards.clamp import seat_pressure_mpa, tension_n
from tractwright.standards.fixture_pairs import fixture_pair, fixture_threads_for
from tractwright.standards.materials import material
from tractwright.standards.screws import screw_head, washer

DATA = Path(__file__).parent / "data"
METRIC = list(csv.DictReader((DATA / "fixture_pairs_metric.csv").read_text().splitlines()))
INCH = list(csv.DictReader((DATA / "fixture_pairs_inch.csv").read_text().splitlines()))
SEATS = list(csv.DictReader((DATA / "seat_pressures.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", METRIC, ids=lambda row: f"{row['screw']} through {row['fixture']}")
def test_metric_pairs(row):
    """M6 through M8x1.25 0.673 mm, medium; M5 through M6x1 -0.059 mm, no."""
    pair = fixture_pair(row["screw"], row["fixture"])
    assert pair.least_mm == pytest.approx(float(row["least"]), abs=0.001)
    assert pair.at_drill_mm == pytest.approx(float(row["at_drill"]), abs=0.001)
    assert pair.most_mm == pytest.approx(float(row["most"]), abs=0.001)
    assert pair.verdict == row["verdict"]


@pytest.mark.parametrize("row", INCH, ids=lambda row: f"{row['screw']} through {row['fixture']}")
def test_inch_and_mixed_pairs(row):
    """1/4 through 5/16-18 0.0031 in, no; M6 through 5/16-18 0.427 mm, fine."""
    scale, error = (25.4, 0.0003) if row["unit"] == "in" else (1.0, 0.001)
    pair = fixture_pair(row["screw"], row["fixture"])
    assert pair.least_mm / scale == pytest.approx(float(row["least"]), abs=error)
    assert pair.at_drill_mm / scale == pytest.approx(float(row["at_drill"]), abs=error)
    assert pair.verdict == row["verdict"]


def test_the_list_of_fixture_threads_holds_only_sound_pairs():
    names = [pair.fixture for pair in fixture_threads_for("M8")]
    assert "M10x1.5" in names
    assert "3/8-16" not in names
    assert "M8x1" not in names


@pytest.mark.parametrize("row", SEATS, ids=lambda row: row["case"])
def test_seat_pressures(row):
    """Head on what the fixture thread leaves: over the limit of the aluminium in half the cases."""
    pressure = seat_pressure_mpa(float(row["tension"]), float(row["outer"]), float(row["inner"]))
    assert pressure == pytest.approx(float(row["pressure"]), rel=0.01)


def test_an_m6_head_on_a_bare_m8_thread_demands_a_washer():
    """10 Nm at K 0.2 makes 442 MPa on the bare thread, over 260; 144 MPa under a washer."""
    force = tension_n("M6", 10.0, 0.20)
    head, ring, limit = screw_head("cap", "M6"), washer("M6"), material("6061-T651").seat_limit_mpa
    bare = seat_pressure_mpa(force, head.seat_mm or 0.0, fixture_pair("M6", "M8").mouth_mm)
    under_washer = seat_pressure_mpa(force, ring.outer_mm, 8.4)
    assert bare == pytest.approx(442.0, rel=0.01)
    assert under_washer == pytest.approx(144.0, rel=0.01)
    assert under_washer < limit < bare
    assert limit == 260.0
