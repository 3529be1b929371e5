"""Bosses on a plenum's wall and on its cover; slots and pockets of a head flange: each takes or adds what sums say."""

from dataclasses import replace
from math import pi

import pytest
from check_cases import SHEET, described_case

from tractwright.geometry.contours import contour_area
from tractwright.kernel.measure import volume
from tractwright.shape.parts.finishes import BEYOND_MM
from tractwright.shape.parts.grooves import flange_pockets
from tractwright.shape.parts.holes import slot_hole
from tractwright.shape.stage import build_one

BOSSES = """
[[boss]]
name = "lid"
wall = "top"
bore = "6 mm"
top = "20 mm"
height = "12 mm"
draft = "0 deg"
[[boss]]
name = "side"
wall = "side_2"
bore = "5 mm"
top = "11 mm"
root = "2 mm"
[head]
slots = "outer"
pockets = true
"""


@pytest.fixture(scope="module")
def design(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("walls"), SHEET + BOSSES).design


def _both(design, kind, **without):
    piece = next(item for item in design.pieces if item.kind == kind)
    return build_one(piece, design), build_one(piece, replace(design, **without))


def test_a_boss_on_the_cover(design):
    """Cylinder and root less the hole through boss and cover: pi (10^2 - 3^2) 12 - pi 3^2 of cover, and small things."""
    built, bare = _both(design, "cover", bosses=())
    cover = next(flange.thickness_mm for flange in design.flanges if flange.name == "cover")
    root = 2 * pi * (10.0 + 0.67) * (1 - pi / 4) * 9.0
    added = pi * (10.0**2 - 3.0**2) * 12.0 - pi * 3.0**2 * cover + root
    assert built.volume_mm3 - bare.volume_mm3 == pytest.approx(added, rel=0.01)
    assert (built.valid, built.watertight, built.solids, built.left_out) == (True, True, 1, ())
    assert (built.blends_made, built.blends_wanted) == (bare.blends_made + 1, bare.blends_wanted + 1)


def test_a_boss_on_a_wall_finds_its_place_between_columns(design):
    built, bare = _both(design, "plenum", bosses=())
    assert (built.valid, built.watertight, built.solids, built.left_out) == (True, True, 1, ())
    assert (built.blends_made, built.blends_wanted) == (bare.blends_made + 1, bare.blends_wanted + 1)


def test_slots_and_pockets_take_what_their_outlines_say(design):
    """A slot: its round hole and as much wider a box; a pocket: its area; both through their depth and a little over."""
    joint = next(joint for joint in design.joints if joint.kind == "head")
    slotted = [screw for screw in design.screws if screw.slot_mm > 0.0]
    assert len(slotted) == 4
    for screw in slotted:
        area = pi / 4 * screw.clearance_mm**2 + screw.clearance_mm * screw.slot_mm
        deep = screw.grip_mm + 2 * BEYOND_MM
        assert volume(slot_hole(screw, joint, design).solid) == pytest.approx(area * deep, rel=1e-6)
    assert len(design.pockets) == 2
    for tool, pocket in zip(flange_pockets("head", design), design.pockets, strict=True):
        assert volume(tool.solid) == pytest.approx(contour_area(pocket.contour) * (pocket.depth_mm + 1.0), rel=1e-6)


def test_a_head_piece_with_slots_and_pockets_comes_out_whole(design):
    piece = next(item for item in design.pieces if item.kind == "head")
    built = build_one(piece, design)
    assert (built.valid, built.watertight, built.solids, built.fallback) == (True, True, 1, "")
    assert built.blends_made == built.blends_wanted
