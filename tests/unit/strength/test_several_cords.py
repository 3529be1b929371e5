"""A joint whose openings have a cord each: screws are counted round their own, loads shared over all."""

from math import hypot, pi

import pytest
from on_mouths import case_on_mouths

from tractwright.strength.joints import sealed_area_mm2


@pytest.fixture(scope="module")
def case(tmp_path_factory):
    return case_on_mouths(tmp_path_factory.mktemp("cords"))


def test_screws_are_counted_round_their_own_cord(case):
    """Four screws on 58 x 50 mm: the widest step round each is 58, though 24 mm part the screws of two neighbours."""
    load = next(load for load in case.loads.joints if load.joint == "runner")
    assert load.spacing_mm == pytest.approx(58.0, abs=1e-6)


def test_pressure_acts_within_every_cord(case):
    """Three circles: the bore's radius, 2 mm of land, half the groove."""
    joint = next(joint for joint in case.design.joints if joint.name == "runner")
    groove = case.design.seals[1].groove_width_mm
    assert sealed_area_mm2(joint, case.design) == pytest.approx(3 * pi * (21.0 + 2.0 + groove / 2) ** 2, rel=1e-9)


def test_no_screw_stands_nearer_to_another_mouth(case):
    joint = next(joint for joint in case.design.joints if joint.name == "runner")
    for screw in (item for item in case.design.screws if item.joint == "runner"):
        x, y, _ = joint.frame.to_local(screw.seat_mm)
        assert min(hypot(x - at, y) for at in (-82.0, 0.0, 82.0)) == pytest.approx(hypot(29.0, 25.0), abs=1e-6)
