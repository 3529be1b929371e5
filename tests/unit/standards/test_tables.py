"""Every table says where each row comes from, and asking for what it does not hold is told plainly."""

from importlib.resources import files

import pytest

from tractwright.errors import TableError
from tractwright.sources import source
from tractwright.standards.cautions import caution_texts
from tractwright.standards.classes import class_in_system, property_class
from tractwright.standards.cords import cord
from tractwright.standards.holes import clearance_hole, drill_beyond_thread_mm
from tractwright.standards.keys import hex_key, socket
from tractwright.standards.materials import material
from tractwright.standards.npt import taper_pipe_thread
from tractwright.standards.screws import (
    head_sizes,
    screw_head,
    stock_length_at_least,
    stock_length_at_most,
    stock_lengths,
    washer,
)
from tractwright.standards.spacing import edge_distance_mm
from tractwright.standards.stock import plate_thicknesses
from tractwright.standards.tables import row, rows
from tractwright.standards.threads import thread, threads

TABLES = sorted(
    item.name.removesuffix(".csv") for item in files("tractwright.standards").iterdir() if item.name.endswith(".csv")
)
KEYED = [name for name in TABLES if "verified" in dict(rows(name)[0].cells)]
"""Tables whose source column holds keys; tables of curves hold the source's own text there."""


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_source(table):
    assert all(item.text("source") for item in rows(table))


@pytest.mark.parametrize("table", KEYED)
def test_every_row_cites_a_known_source(table):
    for item in rows(table):
        origin = item.origin
        assert item.text("verified") in ("yes", "no")
        assert source(origin.source).verified == origin.verified
        for column in origin.unverified:
            item.text(column)


def test_there_are_tables():
    assert {"metric_threads", "screw_heads", "cords", "materials"} <= set(KEYED)


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ("M8", "M8x1.25"),
        ("m8", "M8x1.25"),
        ("M8 x 1.0", "M8x1"),
        ("M8-1.25", "M8x1.25"),
        ("M10\N{MULTIPLICATION SIGN}1.25", "M10x1.25"),
        ("1/4-20", "1/4-20"),
        ("1/4-20 UNC", "1/4-20"),
        ("1/4-28 UNF-2B", "1/4-28"),
        ("1/4", "1/4-20"),
        ("10-32", "#10-32"),
        ("#10", "#10-24"),
    ],
)
def test_spellings_of_a_thread(given, meant):
    assert thread(given).designation == meant


@pytest.mark.parametrize("given", ["M9", "M8x0.5", "", "eight", "1/4-19", "M8x"])
def test_a_thread_not_held_is_told_with_those_that_are(given):
    with pytest.raises(TableError, match=r"M8x1\.25"):
        thread(given)


@pytest.mark.parametrize("held", threads(), ids=lambda held: held.designation)
def test_a_thread_is_consistent(held):
    assert held.screw_major_min_mm < held.screw_major_max_mm <= held.major_mm
    assert held.screw_pitch_min_mm < held.screw_pitch_max_mm <= held.hole_pitch_min_mm < held.hole_pitch_max_mm
    assert held.hole_minor_min_mm < held.hole_minor_max_mm < held.hole_pitch_min_mm
    assert held.hole_minor_min_mm * 0.99 <= held.tap_drill_mm <= held.hole_minor_max_mm
    assert thread(held.designation) == held


@pytest.mark.parametrize(
    "ask",
    [
        lambda: screw_head("cap", "M7"),
        lambda: washer("M8", "ISO 7093"),
        lambda: clearance_hole("7/16-14"),
        lambda: hex_key(7.0),
        lambda: socket(17.0),
        lambda: cord(2.5),
        lambda: property_class("4.6"),
        lambda: material("brass"),
        lambda: taper_pipe_thread("1/3"),
        lambda: stock_length_at_most("cap", "M6", 7.0),
        lambda: stock_length_at_least("cap", "M6", 61.0),
        lambda: row("washers", colour="red"),
    ],
)
def test_what_is_not_held_raises_a_table_error(ask):
    with pytest.raises(TableError):
        ask()


def test_a_cell_that_is_no_number_is_told():
    with pytest.raises(TableError, match="a number"):
        rows("washers")[0].number("standard")


def test_stock_lengths_around_a_wanted_length():
    lengths = stock_lengths("cap", "M6x1")
    assert lengths[0] == 8.0
    assert lengths[-1] == 60.0
    assert stock_length_at_most("cap", "M6", 37.0) == 35.0
    assert stock_length_at_least("cap", "M6", 37.0) == 40.0
    assert stock_length_at_most("cap", "M6", 40.0) == stock_length_at_least("cap", "M6", 40.0) == 40.0


@pytest.mark.parametrize("size", head_sizes("cap"))
def test_every_cap_head_has_its_key(size):
    key = hex_key(screw_head("cap", size).key_mm)
    assert key.flats_mm < key.across_corners_mm < screw_head("cap", size).across_mm
    assert key.short_arm_mm < key.long_arm_mm < key.extra_long_arm_mm


@pytest.mark.parametrize("size", head_sizes("hex"))
def test_every_hex_head_has_its_socket(size):
    hexagon = screw_head("hex", size)
    assert hexagon.across_mm == pytest.approx(hexagon.key_mm * 2.0 / 3.0**0.5, abs=0.015)
    assert socket(hexagon.key_mm).outside_mm > hexagon.across_mm


@pytest.mark.parametrize(
    ("name", "asked", "given"),
    [("5/16-18", "10.9", "grade 8"), ("M8", "10.9", "10.9"), ("M8", "A574", "12.9"), ("1/4-20", "grade 5", "grade 5")],
)
def test_a_class_has_its_counterpart_in_the_other_system(name, asked, given):
    assert class_in_system(name, asked) == given
    assert property_class(given).proof_mpa == pytest.approx(property_class(asked).proof_mpa, rel=0.02)


def test_an_inch_screw_comes_in_inch_lengths_with_an_inch_washer():
    assert stock_length_at_least("cap", "5/16-18", 40.0) == pytest.approx(1.75 * 25.4)
    assert (washer("5/16-18").standard, washer("M8").standard) == ("ASME B18.21.1", "ISO 7089")


def test_a_value_from_memory_says_so():
    assert socket(13.0).origin.verified is False
    assert "tensile_mpa" in material("6061-T651").origin.unverified
    assert "conductivity_w_mk" not in material("6061-T651").origin.unverified
    assert screw_head("cap", "M6").origin.unverified == ()


def test_metals_and_plates():
    names = {found.text("name") for found in rows("materials")}
    assert names == {"6061-T651", "7075-T651", "cast aluminium", "cast iron", "steel"}
    plate = material("6061-T651")
    assert plate.density_kg_mm3 == pytest.approx(2.7e-6)
    assert plate.shear_strength_mpa == pytest.approx(174.0)
    assert plate.allowable_mpa == pytest.approx(120.8, abs=0.05)
    assert plate.yield_mpa < plate.tensile_mpa
    for series in ("metric", "inch"):
        assert list(plate_thicknesses(series)) == sorted(plate_thicknesses(series))


def test_cautions_follow_the_fuel():
    always = {caution.topic for caution in caution_texts("petrol")}
    assert {"air under pressure", "loose parts", "torque"} <= always
    assert {caution.topic for caution in caution_texts("methanol")} == always | {"methanol"}
    assert {caution.topic for caution in caution_texts("ethanol")} == always | {"ethanol"}


def test_cautions_follow_how_it_is_made():
    always = {caution.topic for caution in caution_texts("petrol")}
    made = {"turned work": "work that turns", "light hold": "light holds", "long cutter": "long cutters"}
    for applies, topic in made.items():
        assert {caution.topic for caution in caution_texts("petrol", applies)} == always | {topic}


def test_distances_round_screws():
    assert drill_beyond_thread_mm("M8", 40.0) == pytest.approx(8.0)
    assert drill_beyond_thread_mm("M8", 10.0) == pytest.approx(6.25)
    assert drill_beyond_thread_mm("M5", 20.0) == pytest.approx(5.0)
    assert edge_distance_mm(8.0) == 12.0
