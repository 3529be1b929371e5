"""The heads of a vee and of a flat engine: where they stand and whose cylinders their ports feed, by plain geometry."""

from pathlib import Path

import numpy as np
import pytest

from tractwright.design.room import HEAD_FACE, clearance, pack
from tractwright.job.sheet import JobSheet
from tractwright.scan.stage import pattern_and_room

PATTERN = {"pitch": 100.0, "port_width": 40.0, "port_height": 30.0, "screw_rise": 30.0, "port_rise": 10.0}


def sheet(rise: float, *, mirrored: bool = False) -> JobSheet:
    """A six of two banks, its right one 20 mm further along x."""
    banks = [
        {"side": "left", "cylinders": (1, 2, 3), "rise": rise, "from_middle": 80.0, "offset": -10.0},
        {"side": "right", "cylinders": (4, 5, 6), "rise": rise, "from_middle": 80.0, "offset": 10.0},
    ]
    engine = {"layout": "vee", "cylinders": 6, "bore": 86.0, "stroke": 80.0, "firing_order": (1, 4, 2, 5, 3, 6)}
    return JobSheet.model_validate({
        "job": {"name": "six"}, "engine": engine, "bank": banks[::-1] if mirrored else banks, "pattern": PATTERN,
    })  # fmt: skip


@pytest.mark.parametrize("rise", [35.0, 90.0])
def test_each_head_looks_up_and_at_the_other(rise: float) -> None:
    pattern, _ = pattern_and_room(sheet(rise), Path())
    up, level = np.sin(np.radians(rise)), np.cos(np.radians(rise))
    assert [bank.name for bank in pattern.banks] == ["left", "right"]
    left, right = (bank.frame for bank in pattern.banks)
    assert left.z == pytest.approx((0.0, up, level))
    assert right.z == pytest.approx((0.0, up, -level))
    for frame in (left, right):
        assert np.cross(frame.x, frame.y) == pytest.approx(np.array(frame.z))
        assert frame.y[1] >= -1e-12
    assert left.origin_mm == pytest.approx((-10.0, 0.0, -80.0))
    assert right.origin_mm == pytest.approx((10.0, 0.0, 80.0))


def test_a_half_turn_about_the_upright_carries_one_head_onto_the_other() -> None:
    """Both heads are one casting: what is at a place on the left is at the turned place on the right."""
    pattern, _ = pattern_and_room(sheet(50.0), Path())
    frames = {bank.name: bank.frame for bank in pattern.banks}
    turned = np.array([-1.0, 1.0, -1.0])
    for kind in (pattern.ports, pattern.head_holes):
        left, right = ([item for item in kind if item.bank == side] for side in ("left", "right"))
        assert len(left) == len(right)
        for one, other in zip(left, right, strict=True):
            here = frames["left"].to_world((*one.at_mm, 0.0))
            assert here * turned == pytest.approx(frames["right"].to_world((*other.at_mm, 0.0)))
    for one, other in zip(pattern.ports[:3], pattern.ports[3:], strict=True):
        assert np.array(one.axis) * turned == pytest.approx(other.axis)
    names = [item.name for item in (*pattern.ports, *pattern.head_holes)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("mirrored", [False, True])
def test_cylinders_stand_in_the_order_of_x_in_both_banks(mirrored: bool) -> None:
    pattern, _ = pattern_and_room(sheet(50.0, mirrored=mirrored), Path())
    frames = {bank.name: bank.frame for bank in pattern.banks}
    places = {port.cylinders: frames[port.bank].to_world((*port.at_mm, 0.0))[0] for port in pattern.ports}
    assert places == pytest.approx({(1,): -110.0, (2,): -10.0, (3,): 90.0, (4,): -90.0, (5,): 10.0, (6,): 110.0})


def test_no_part_of_the_manifold_stands_behind_either_head_face() -> None:
    _, room = pattern_and_room(sheet(45.0), Path())
    assert [plane.name for plane in room.planes] == [HEAD_FACE, HEAD_FACE]
    distance, _ = clearance(pack(room), np.array([[0.0, 30.0, 0.0], [0.0, 0.0, 80.0], [0.0, -10.0, 80.0]]))
    assert distance == pytest.approx([110.0 / np.sqrt(2.0), 0.0, -10.0 / np.sqrt(2.0)], abs=1e-5)
