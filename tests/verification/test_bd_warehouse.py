"""An independent twin of the tables: the csv files of the open package bd_warehouse. Where it is wrong, that is named."""

import csv
from fractions import Fraction
from importlib.resources import files

import pytest

from tractwright.standards.cords import cord, cord_sections
from tractwright.standards.screws import head_sizes, screw_head, stock_lengths, washer
from tractwright.standards.threads import threads


def table(name: str) -> list[dict[str, str]]:
    text = files("bd_warehouse").joinpath(f"data/{name}.csv").read_text()
    return [{key.strip(): value for key, value in row.items()} for row in csv.DictReader(text.splitlines())]


def by_size(name: str) -> dict[str, dict[str, str]]:
    """Rows of coarse metric sizes by 'M6'."""
    coarse = {item.size: item.pitch_mm for item in threads() if item.coarse and item.system == "metric"}
    return {
        size: row for row in table(name) for size, pitch in coarse.items() if row["Size"] in (size, f"{size}-{pitch:g}")
    }


METRIC = [size for size in head_sizes("cap") if size.startswith("M")]
INCH = [size for size in head_sizes("cap") if not size.startswith("M")]


@pytest.mark.parametrize("size", INCH)
def test_inch_cap_heads(size):
    """ASME B18.3 in inches; its rows go by thread, and all threads of a size have one head."""
    rows = [row for row in table("socket_head_cap_parameters") if row["Size"].split("-")[0] == size]
    ours = screw_head("cap", size)
    assert len(rows) == 2
    for theirs in rows:
        assert ours.across_mm == pytest.approx(25.4 * float(theirs["asme_b18.3:dk"]), abs=6e-4)
        assert ours.height_mm == pytest.approx(25.4 * float(theirs["asme_b18.3:k"]), abs=6e-4)
        assert ours.key_mm == pytest.approx(25.4 * float(Fraction(theirs["asme_b18.3:s"])), abs=6e-4)
        assert ours.key_depth_mm == pytest.approx(25.4 * float(theirs["asme_b18.3:t"]), abs=6e-4)


@pytest.mark.parametrize("size", METRIC)
def test_cap_heads(size):
    """ISO 4762; its dk is the knurled head's largest."""
    theirs, ours = by_size("socket_head_cap_parameters")[size], screw_head("cap", size)
    assert ours.across_mm == float(theirs["iso4762:dk"])
    assert ours.height_mm == float(theirs["iso4762:k"])
    assert ours.key_mm == float(theirs["iso4762:s"])
    assert ours.key_depth_mm == float(theirs["iso4762:t"])
    assert (ours.shortest_mm, ours.longest_mm) == (float(theirs["iso4762:short"]), float(theirs["iso4762:long"]))


@pytest.mark.parametrize("size", head_sizes("hex"))
def test_hex_heads(size):
    """ISO 4017; its k is the largest (M4: grade B)."""
    theirs, ours = by_size("hex_head_parameters")[size], screw_head("hex", size)
    assert ours.key_mm == float(theirs["iso4017:s"])
    assert ours.height_mm == float(theirs["iso4017:k"])
    assert (ours.shortest_mm, ours.longest_mm) == (float(theirs["iso4017:short"]), float(theirs["iso4017:long"]))


@pytest.mark.parametrize("size", head_sizes("button"))
def test_button_heads(size):
    """ISO 7380-1. Its key column is the socket's largest width, so ours, the key, is just under it.

    M10: ours is pocketed for the 18.0 head of the inch-based standard, theirs is 17.5.
    """
    theirs, ours = by_size("button_head_parameters")[size], screw_head("button", size)
    assert ours.plain_across_mm == float(theirs["iso7380_1:dk"])
    assert ours.across_mm == (18.0 if size == "M10" else ours.plain_across_mm)
    assert ours.height_mm == float(theirs["iso7380_1:k"])
    assert 0.0 < float(theirs["iso7380_1:s"]) - ours.key_mm < 0.2
    assert ours.key_depth_mm == float(theirs["iso7380_1:t"])


@pytest.mark.parametrize("size", head_sizes("countersunk"))
def test_countersunk_heads(size):
    """Its rows named ISO 10642 hold the smaller DIN 7991 head: wrong there, kept here as the least head."""
    theirs, ours = by_size("countersunk_head_parameters")[size], screw_head("countersunk", size)
    assert ours.plain_across_mm == float(theirs["iso10642:dk"])
    assert ours.across_mm == pytest.approx(2.24 * float(size[1:]), abs=0.01)  # ISO 10642 theoretical head
    assert ours.across_mm > float(theirs["iso10642:dk"])


@pytest.mark.parametrize("size", METRIC)
def test_washers(size):
    """ISO 7089; its h is the largest thickness."""
    theirs, ours = by_size("plain_washer_parameters")[size], washer(size)
    assert ours.inner_mm == float(theirs["iso7089:d1"])
    assert ours.outer_mm == float(theirs["iso7089:d2"])
    assert ours.thickness_max_mm == float(theirs["iso7089:h"])
    assert ours.thickness_mm < ours.thickness_max_mm


NAMES = {"cap": "iso4762", "hex": "iso4017", "button": "iso7380_1", "countersunk": "iso10642"}


@pytest.mark.parametrize("kind", list(NAMES))
def test_stock_lengths(kind):
    listed = {row["Screw_Type"]: row["Nominal_Sizes"] for row in table("nominal_screw_lengths")}[NAMES[kind]]
    theirs = [float(length) for length in listed.split(",")]
    for size in [size for size in head_sizes(kind) if size.startswith("M")]:
        head = screw_head(kind, size)
        assert list(stock_lengths(kind, size)) == [x for x in theirs if head.shortest_mm <= x <= head.longest_mm]


def test_tap_drills():
    """Its 'Soft' drills are ours, but for M14 (12.1); its 'Hard' drills all make a hole wider than 6H allows: wrong."""
    theirs = {row["Size"].replace("-1.0", "-1"): row for row in table("tap_hole_sizes")}
    ours = {f"M{held.major_mm:g}-{held.pitch_mm:g}": held for held in threads() if held.system == "metric"}
    assert set(ours) - set(theirs) == {"M12-1", "M20-1.5", "M22-1.5"}
    for name in set(ours) & set(theirs):
        held, row = ours[name], theirs[name]
        assert held.hole_minor_min_mm - 0.01 <= held.tap_drill_mm <= held.hole_minor_max_mm
        assert float(row["Soft"]) == held.tap_drill_mm or held.designation == "M14x2"
        assert float(row["Hard"]) > held.hole_minor_max_mm


@pytest.mark.parametrize("section", cord_sections())
def test_face_grooves(section):
    """Axial (face) grooves, no backup ring, and the section's tolerance."""
    ours = cord(section)
    theirs = next(row for row in table("o-ring_static_gland_parameters") if float(row["w"]) == section)
    assert (ours.depth_least_mm, ours.depth_most_mm) == (float(theirs["d_a_min"]), float(theirs["d_a_max"]))
    assert ours.width_mm == float(theirs["g_w_0"])
    assert ours.bottom_radius_least_mm == float(theirs["g_r_min"])
    assert ours.bottom_radius_most_mm == float(theirs["g_r_max"])
    tolerances = {
        float(row["iso3601:w_tol"]) for row in table("o-ring_parameters") if float(row["iso3601:w"]) == section
    }
    assert ours.section_tolerance_mm in tolerances
