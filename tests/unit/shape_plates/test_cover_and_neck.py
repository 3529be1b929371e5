"""Cover and throttle neck cut by planes."""

from dataclasses import replace
from math import pi

import pytest

from tractwright.design.records import Pocket
from tractwright.errors import KernelError
from tractwright.geometry.contours import contour_area, contour_length
from tractwright.kernel.measure import volume
from tractwright.kernel.sections import plane_section
from tractwright.shape.builders import cover, throttle_neck

SQUARE = ((-10.0, -10.0, 0.0), (10.0, -10.0, 0.0), (10.0, 10.0, 0.0), (-10.0, 10.0, 0.0))


def flange_of(design, name):
    return next(flange for flange in design.flanges if flange.name == name)


def test_a_flat_cover(made_up, small_box):
    design = made_up(small_box)
    built = cover.build(design.pieces[1], design)
    flange, seal = flange_of(design, "flange.cover"), design.seals[1]
    assert (built.valid, built.watertight, built.blends_wanted) == (True, True, 0)
    plain = contour_area(flange.contour) - 2 * small_box.columns * pi / 4 * 6.6**2
    assert plane_section(built.solid.opened(), flange.frame.moved((0, 0, 5.0))).area_mm2 == pytest.approx(
        plain, rel=1e-9
    )
    groove = contour_length(seal.path) * seal.groove_width_mm
    low = plane_section(built.solid.opened(), flange.frame.moved((0, 0, 1.0))).area_mm2
    assert low == pytest.approx(plain - groove, rel=1e-9)


def test_sunk_heads_and_a_pocket(made_up, small_box):
    design = made_up(small_box)
    flat = cover.build(design.pieces[1], design)
    flange = flange_of(design, "flange.cover")

    def sunk(screw):
        if screw.joint != "joint.cover":
            return screw
        seat = [c - 4.0 * z for c, z in zip(screw.seat_mm, flange.frame.z, strict=True)]
        return replace(screw, seat_mm=tuple(seat), grip_mm=6.0, standoff_mm=-4.0, counterbore_mm=11.0, post_mm=0.0)

    pocket = Pocket(name="window", flange="flange.cover", contour=SQUARE, depth_mm=3.0)
    design = replace(design, screws=tuple(sunk(screw) for screw in design.screws), pockets=(pocket,))
    built = cover.build(design.pieces[1], design)
    lost = 2 * small_box.columns * pi / 4 * (11.0**2 - 6.6**2) * 4.0 + 400.0 * 3.0
    assert volume(flat.solid.opened()) - volume(built.solid.opened()) == pytest.approx(lost, rel=1e-6)


def test_a_cover_with_the_throttle_on_top(made_up, small_box):
    design = made_up(replace(small_box, place="top", throttle_mm=34.0))
    built = cover.build(design.pieces[1], design)
    assert (built.valid, built.watertight, built.solids) == (True, True, 1)
    assert (built.blends_wanted, built.blends_made) == (1, 1)
    flange = flange_of(design, "flange.cover")
    pad = plane_section(built.solid.opened(), flange.frame.moved((0, 0, 16.0)))
    neck = contour_area(flange_of(design, "flange.neck").contour)
    assert pad.area_mm2 == pytest.approx(neck - pi / 4 * 34.0**2 - 4 * pi / 4 * 5.0**2, rel=1e-9)


def test_a_pad_wider_than_its_cover_has_no_root_and_it_is_counted(made_up, small_box):
    design = made_up(replace(small_box, place="top", throttle_mm=86.0))
    built = cover.build(design.pieces[1], design)
    assert (built.valid, built.watertight, built.solids) == (True, True, 1)
    assert (built.blends_wanted, built.blends_made) == (1, 0)
    assert "without a root" in built.notes[0]


def test_a_neck(made_up, small_box):
    design = made_up(small_box)
    built = throttle_neck.build(design.pieces[2], design)
    assert (built.valid, built.watertight, built.blends_made) == (True, True, 2)
    flange = flange_of(design, "flange.neck")
    bore = pi / 4 * small_box.throttle_mm**2
    tube = plane_section(built.solid.opened(), flange.frame.moved((0, 0, 20.0))).area_mm2
    assert tube == pytest.approx(pi / 4 * (small_box.throttle_mm + 2 * small_box.wall_mm) ** 2 - bore, rel=1e-9)
    low = plane_section(built.solid.opened(), flange.frame.moved((0, 0, 5.0))).area_mm2
    assert low == pytest.approx(contour_area(flange.contour) - bore - 4 * pi / 4 * 6.6**2, rel=1e-9)
    high = plane_section(built.solid.opened(), flange.frame.moved((0, 0, small_box.neck_mm - 5.0))).area_mm2
    assert high == pytest.approx(contour_area(flange.contour) - bore - 4 * pi / 4 * 5.0**2, rel=1e-9)


def test_a_neck_so_short_that_its_flanges_touch(made_up, small_box):
    design = made_up(replace(small_box, neck_mm=24.0))
    built = throttle_neck.build(design.pieces[2], design)
    assert (built.valid, built.watertight, built.solids) == (True, True, 1)
    assert "flanges lie on one another" in built.notes[0]


def test_a_neck_with_a_lean_is_refused(made_up, small_box):
    design = made_up(small_box)
    throttle = design.throttles[0]
    leaning = replace(throttle, frame=throttle.frame.moved((3.0, 0.0, 0.0)))
    joint = replace(design.joints[2], frame=replace(design.joints[2].frame, z=(0.0, 0.0, 1.0)))
    joints = tuple(joint if item.name == joint.name else item for item in design.joints)
    with pytest.raises(KernelError, match="square on one straight line"):
        throttle_neck.build(design.pieces[2], replace(design, throttles=(leaning,), joints=joints))
