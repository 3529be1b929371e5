"""The plenum piece cut by planes: every hole, groove and wall where the description puts it, areas in closed form."""

from dataclasses import replace
from math import pi

import pytest

from tractwright.errors import KernelError
from tractwright.geometry.contours import contour_area, contour_length
from tractwright.kernel.measure import fineness
from tractwright.kernel.sections import plane_section
from tractwright.shape.builders.plenum_piece import build
from tractwright.shape.parts.gates import wall_gates
from tractwright.shape.parts.walls import inner_contour, wall_outline


@pytest.fixture(scope="module")
def design(made_up, small_box):
    return made_up(small_box)


@pytest.fixture(scope="module")
def built(design):
    return build(design.pieces[0], design)


@pytest.fixture(scope="module")
def cut_at(design, built):
    return lambda height: plane_section(built.solid.opened(), design.plena[0].frame.moved((0.0, 0.0, height)))


def test_one_sound_solid_with_both_blends(built):
    assert (built.valid, built.watertight, built.solids) == (True, True, 1)
    assert (built.blends_wanted, built.blends_made) == (2, 2)
    assert built.volume_mm3 == pytest.approx(built.twin_volume_mm3, rel=2e-4)
    assert built.mass_kg == pytest.approx(built.volume_mm3 * 2.7e-6)
    assert built.rung == ""
    assert built.notes == ()


def test_the_floor_has_its_mouths_screws_and_dowels(design, small_box, cut_at):
    floor = cut_at(3.0)
    mouths = small_box.count * pi / 4 * small_box.bore_mm**2
    screws = 2 * (small_box.count + 1) * pi / 4 * 6.6**2
    dowels = 2 * pi / 4 * 6.0**2
    assert len(floor.loops_mm) == 1 + small_box.count + 2 * (small_box.count + 1) + 2
    assert floor.area_mm2 == pytest.approx(contour_area(design.flanges[0].contour) - mouths - screws - dowels, rel=1e-9)


def test_the_groove_lies_under_the_floor(design, cut_at):
    seal = design.seals[0]
    groove = contour_length(seal.path) * seal.groove_width_mm
    assert cut_at(3.0).area_mm2 - cut_at(1.0).area_mm2 == pytest.approx(groove, rel=1e-9)
    assert cut_at(3.0).area_mm2 - cut_at(seal.groove_depth_mm - 0.01).area_mm2 == pytest.approx(groove, rel=1e-9)


def test_the_walls_stand_round_the_box_with_columns_and_pad(design, small_box, cut_at):
    plenum = design.plena[0]
    columns = tuple(
        (*(float(c) for c in plenum.frame.to_local(screw.seat_mm)[:2]), screw.post_mm / 2)
        for screw in design.screws
        if screw.joint == "joint.cover"
    )
    outline = wall_outline(plenum, columns, wall_gates("plenum", plenum, design))
    walls = contour_area(outline) - contour_area(inner_contour(plenum))
    top = small_box.floor_mm + small_box.depth_mm
    assert cut_at(17.0).area_mm2 == pytest.approx(walls, rel=1e-9)
    tapped = 2 * small_box.columns * pi / 4 * 5.0**2
    assert cut_at(top - 5.0).area_mm2 == pytest.approx(walls - tapped, rel=1e-9)


def test_the_throttle_opening_goes_through_wall_and_pad(design, small_box, built):
    joint = next(joint for joint in design.joints if joint.kind == "neck")
    loops = plane_section(built.solid.opened(), joint.frame.moved((0.0, 0.0, -2.0))).loops_mm
    across = [float(loop[:, 0].max() - loop[:, 0].min()) for loop in loops]
    assert sum(1 for size in across if size == pytest.approx(small_box.throttle_mm, abs=0.02)) == 1
    assert sum(1 for size in across if size == pytest.approx(5.0, abs=0.02)) == 4


def test_nothing_is_finer_than_a_cutter_leaves(built):
    found = fineness(built.solid.opened())
    assert found.edge_tolerance_mm < 1e-4
    assert found.least_edge_mm > 0.05
    assert found.faces < 400


def test_an_opening_wider_than_the_walls_flat_keeps_its_lip(made_up, small_box):
    box = replace(small_box, corner_mm=24.0, throttle_mm=44.0)
    built = build((design := made_up(box)).pieces[0], design)
    assert (built.valid, built.watertight, built.solids) == (True, True, 1)
    plenum = design.plena[0]
    inner_face = plenum.frame.moved((plenum.width_mm / 2, 0.0, box.floor_mm + box.depth_mm / 2))
    along = replace(inner_face, x=inner_face.y, y=inner_face.z, z=inner_face.x)
    wide = max(
        float(loop[:, 0].max()) for loop in plane_section(built.solid.opened(), along.moved((0, 0, 0.5))).loops_mm[1:]
    )
    assert wide > box.throttle_mm / 2 + 2.0


def test_a_narrow_rim_gets_a_smaller_root_and_says_so(made_up, small_box):
    design = made_up(replace(small_box, rim_mm=14.0))
    screws = tuple(screw for screw in design.screws if screw.joint != "joint.runner")
    built = build(design.pieces[0], replace(design, screws=screws, dowels=()))
    assert built.valid
    assert built.blends_made == 2
    assert "the rim is narrow" in built.notes[0]


def test_walls_that_reach_over_the_rim_stand_without_a_root_and_it_is_counted(made_up, small_box):
    design = made_up(small_box)
    narrow = made_up(replace(small_box, rim_mm=6.0)).flanges[0]
    flanges = (replace(design.flanges[0], contour=narrow.contour), *design.flanges[1:])
    screws = tuple(screw for screw in design.screws if screw.joint != "joint.runner")
    built = build(design.pieces[0], replace(design, flanges=flanges, screws=screws, dowels=()))
    assert built.valid
    assert (built.blends_wanted, built.blends_made) == (2, 1)
    assert "without a root radius" in built.notes[0]


def test_lips_that_would_meet_share_the_metal_and_it_is_said(made_up, small_box):
    built = build((design := made_up(replace(small_box, pitch_mm=48.0))).pieces[0], design)
    assert built.valid
    assert built.notes[0] == "lip of r1: 3.6 mm across, not 6.0"


def test_a_neck_inside_the_plenum_is_refused(made_up, small_box):
    design = made_up(replace(small_box, pad_mm=0.5))
    with pytest.raises(KernelError, match=r"pad of joint\.neck"):
        build(design.pieces[0], design)
