"""ISO 273 clearance holes against a secondary print, and against bd_warehouse with its wrong rows named."""

import csv
from importlib.resources import files
from pathlib import Path

import pytest

from tractwright.standards.holes import clearance_hole, clearance_mm, counterbore
from tractwright.standards.screws import screw_head

PRINTED = list(csv.DictReader((Path(__file__).parent / "data/iso273.csv").read_text().splitlines()))
THEIRS = {
    row["Size"]: (float(row["Close"]), float(row["Normal"]), float(row["Loose"]))
    for row in csv.DictReader(files("bd_warehouse").joinpath("data/clearance_hole_sizes.csv").read_text().splitlines())
    if row["Size"].startswith("M")
}
WRONG_THERE = {"M12"}


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["size"])
def test_holes_as_printed(row):
    hole = clearance_hole(row["size"])
    assert (hole.fine_mm, hole.medium_mm, hole.coarse_mm) == tuple(float(row[k]) for k in ("fine", "medium", "coarse"))


@pytest.mark.parametrize("size", ["M4", "M5", "M6", "M7", "M8", "M10", "M12"])
def test_holes_of_the_parts_package(size):
    """bd_warehouse prints M12 as 13, 14, 15; the standard says 13, 13.5, 14.5. All other sizes held agree."""
    hole = clearance_hole(size)
    ours = (hole.fine_mm, hole.medium_mm, hole.coarse_mm)
    assert (ours == THEIRS[size]) == (size not in WRONG_THERE)


def test_an_inch_thread_has_its_own_holes():
    """ASME B18.2.8 close, normal, loose for 1/4: 0.266, 0.281, 0.297 in."""
    hole = clearance_hole("1/4-20")
    assert [round(value / 25.4, 3) for value in (hole.fine_mm, hole.medium_mm, hole.coarse_mm)] == [0.266, 0.281, 0.297]
    assert clearance_mm("1/4-20", "medium") == hole.medium_mm


@pytest.mark.parametrize(
    ("size", "diameter"), [("M4", 8), ("M5", 10), ("M6", 11), ("M8", 15), ("M10", 18), ("M12", 20)]
)
def test_counterbores_take_the_largest_head(size, diameter):
    """DIN 974-1 diameters, a secondary print; a knurled head at its largest must go in and not stand out."""
    pocket, head = counterbore("cap", size), screw_head("cap", size)
    assert pocket.diameter_mm == diameter
    assert pocket.diameter_mm - head.across_mm >= 0.6
    assert pocket.depth_mm >= head.height_mm + 0.5
