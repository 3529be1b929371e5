"""ISO 898-1 load tables; thread engagement from ISO/TR 16224 shear areas; nut factors of engineers' tables."""

import csv
from math import pi, sqrt
from pathlib import Path

import pytest

from tractwright.standards.clamp import (
    clamp_of,
    end_force_n,
    proof_used,
    separation_factor,
    settled_clamp_n,
    tension_n,
    torque_at_proof_share_nm,
    torque_nm,
)
from tractwright.standards.classes import breaking_load_n, proof_load_n
from tractwright.standards.engagement import (
    engagement_for_clamp_mm,
    engagement_needed_mm,
    hole_shear_area_mm2_per_mm,
    screw_shear_area_mm2_per_mm,
    strip_load_n,
)
from tractwright.standards.threads import thread

DATA = Path(__file__).parent / "data"
LOADS = list(csv.DictReader((DATA / "class_loads.csv").read_text().splitlines()))
ENGAGEMENTS = list(csv.DictReader((DATA / "engagement.csv").read_text().splitlines()))
TORQUES = list(csv.DictReader((DATA / "torque_to_tension.csv").read_text().splitlines()))


@pytest.mark.parametrize("name", ["8.8", "10.9", "12.9"])
@pytest.mark.parametrize("row", LOADS, ids=lambda row: row["size"])
def test_loads_as_printed(row, name):
    """Proof 8.8 of M6, M8, M10 is 11600, 21200, 33700 N. The prints round to three figures: 1 %."""
    assert proof_load_n(row["size"], name) == pytest.approx(float(row[f"proof_{name}"]), rel=0.01)
    assert breaking_load_n(row["size"], name) == pytest.approx(float(row[f"breaking_{name}"]), rel=0.01)


@pytest.mark.parametrize("row", ENGAGEMENTS, ids=lambda row: f"{row['size']} {row['class']} {row['material']}")
def test_engagement_for_the_screw_to_break_first(row):
    """The printed lengths rest on printed loads rounded to three figures: 1 %."""
    held = thread(row["size"])
    assert hole_shear_area_mm2_per_mm(held) == pytest.approx(float(row["hole_area"]), abs=0.02)
    assert screw_shear_area_mm2_per_mm(held) == pytest.approx(float(row["screw_area"]), abs=0.02)
    needed = engagement_needed_mm(row["size"], row["class"], row["material"])
    assert needed == pytest.approx(float(row["engagement"]), rel=0.01, abs=0.06)


@pytest.mark.parametrize(("name", "length"), [("8.8", 9.97), ("10.9", 13.0)])
def test_engagement_of_an_m8_in_6061(name, length):
    """Breaking loads of 29.2 and 38.1 kN (prints of ISO 898-1) over 16.83 mm2 a mm of thread at 174 MPa."""
    assert engagement_needed_mm("M8", name, "6061-T651") == pytest.approx(length, abs=0.05)


def test_a_published_m10_case_used_the_wrong_major_diameter():
    """69600 N in metal of shear strength 130 MPa. Printed 21.6 mm; that takes the screw's largest major diameter
    where the least belongs, and comes out 13 % short. Ours is the 24.9 mm case."""
    m10 = thread("M10")
    needed = 69600.0 / (130.0 * hole_shear_area_mm2_per_mm(m10))
    d = m10.screw_major_max_mm
    as_printed = 69600.0 / (130.0 * pi / 1.5 * d * (0.75 + (d - m10.hole_pitch_max_mm) / sqrt(3.0)))
    assert needed == pytest.approx(24.9, abs=0.1)
    assert as_printed == pytest.approx(21.6, abs=0.1)


def test_strength_rises_with_length_and_the_screw_may_strip_first():
    assert strip_load_n("M8", "8.8", "6061-T651", 20.0) == pytest.approx(
        2 * strip_load_n("M8", "8.8", "6061-T651", 10.0)
    )
    in_steel = strip_load_n("M8", "8.8", "steel", 1.0)
    assert in_steel == pytest.approx(0.6 * 800.0 * screw_shear_area_mm2_per_mm(thread("M8")))
    by_clamp = engagement_for_clamp_mm(strip_load_n("M8", "8.8", "6061-T651", 1.0), 10000.0)
    assert strip_load_n("M8", "8.8", "6061-T651", by_clamp) == pytest.approx(15000.0)


@pytest.mark.parametrize("row", TORQUES, ids=lambda row: f"{row['size']} {row['torque']} Nm")
def test_torque_to_tension(row):
    """M6 at 10 Nm gives 13889, 8333, 5556 N at K 0.12, 0.20, 0.30; over 8.8 proof at 0.12."""
    clamp = clamp_of(row["size"], float(row["torque"]), 0.20)
    assert clamp.high_n == pytest.approx(float(row["k012"]), abs=1.0)
    assert clamp.stated_n == pytest.approx(float(row["k020"]), abs=1.0)
    assert clamp.low_n == pytest.approx(float(row["k030"]), abs=1.0)
    assert (proof_used(row["size"], "8.8", clamp.high_n) > 1.0) == (row["over_proof_at_k012"] == "yes")


def test_torque_goes_both_ways_and_reaches_proof_at_the_low_factor():
    assert torque_nm("M8", tension_n("M8", 22.0, 0.18), 0.18) == pytest.approx(22.0)
    torque = torque_at_proof_share_nm("M8", "10.9")
    assert proof_used("M8", "10.9", clamp_of("M8", torque).high_n) == pytest.approx(1.0)


def test_a_plenum_cover_at_two_bar():
    """300 x 90 mm at 2 bar gauge is 5400 N; 12 M6 at 10 Nm hold 60 kN at the high K after settling: 11.1 times.
    With a 6 bar backfire 3.7 times."""
    force = end_force_n(300.0 * 90.0, 0.2)
    clamp = settled_clamp_n((clamp_of("M6", 10.0).low_n,) * 12)
    assert force == pytest.approx(5400.0)
    assert clamp == pytest.approx(60000.0, rel=1e-3)
    assert separation_factor(clamp, force) == pytest.approx(11.1, abs=0.1)
    assert separation_factor(clamp, end_force_n(27000.0, 0.6)) == pytest.approx(3.7, abs=0.1)
    assert separation_factor(clamp, 0.0) == float("inf")
