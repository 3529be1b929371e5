"""ASME B1.20.1 taper pipe threads: the standard's formulas against its printed gauge lengths and diameters."""

import csv
from pathlib import Path

import pytest

from tractwright.standards.npt import taper_pipe_thread

INCH = 25.4
PRINTED = list(csv.DictReader((Path(__file__).parent / "data/taper_pipe.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["size"])
def test_gauge_lengths_and_diameters(row):
    """To half of the last printed place; 3/8 L2 is 0.4078, printed 0.0478 on two pages by mistake."""
    held = taper_pipe_thread(row["size"])
    assert held.pitch_end_mm / INCH == pytest.approx(float(row["E0"]), abs=5e-5)
    assert held.pitch_gauge_mm / INCH == pytest.approx(float(row["E1"]), abs=5e-5)
    assert held.hand_tight_mm / INCH == pytest.approx(float(row["L1"]), abs=5e-5)
    assert held.effective_mm / INCH == pytest.approx(float(row["L2"]), abs=6e-5)
    assert held.make_up_mm / INCH == pytest.approx(float(row["L3"]), abs=6e-5)
    assert held.full_internal_mm == pytest.approx(float(row["full_mm"]), abs=0.01)
    assert held.boss_outside_mm == pytest.approx(float(row["boss_mm"]), abs=0.06)


def test_spellings_and_drills():
    eighth = taper_pipe_thread("1/8-27 NPT")
    assert eighth == taper_pipe_thread("1/8 NPT") == taper_pipe_thread("1/8")
    assert eighth.straight_bore_most_mm < eighth.drill_reamed_mm < eighth.drill_straight_mm
