"""Passages of parts drawn in another library: length, area, bend and directions by closed forms."""

from math import cos, pi, radians, tan

import numpy as np
import pytest
from build123d import (
    Align,
    Axis,
    Box,
    Circle,
    Cylinder,
    GeomType,
    Plane,
    Pos,
    Rot,
    Solid,
    Sphere,
    Vector,
    extrude,
    fillet,
    loft,
    revolve,
)

from tractwright.own.sections import cuts, wall_of


def test_a_quarter_bend(read):
    """Length of the arc and the straights, its radius, its turn, its constant area."""
    block = Box(160, 70, 160)
    profile = Plane((0, 0, -80), z_dir=(0, 0, 1)) * Circle(18)
    straight = extrude(profile, 60)
    turn = revolve(Plane((0, 0, -20), z_dir=(0, 0, 1)) * Circle(18), Axis((60, 0, -20), (0, 1, 0)), 90)
    out = extrude(Plane((60, 0, 40), z_dir=(1, 0, 0)) * Circle(18), 20)
    (passage,) = read(block - straight - turn - out).passages
    assert passage.length_mm == pytest.approx(60 + 60 * pi / 2 + 20, rel=1e-3)
    assert passage.area_mm2 == pytest.approx(np.full(65, pi * 18**2), rel=3e-3)
    middle = np.abs(passage.s_mm - passage.length_mm / 2) < 15
    assert passage.radius_mm[middle] == pytest.approx(np.full(middle.sum(), 60.0), rel=0.03)
    ways = {tuple(np.round(end.into, 4) + 0.0) for end in passage.ends}
    assert ways == {(0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)}


def test_a_tapered_bore_has_its_cones_areas(read):
    """Area of a cone by its half angle, at every station."""
    cone = Solid.make_cone(20, 14, 90)
    (passage,) = read(Box(90, 90, 90, align=(Align.CENTER, Align.CENTER, Align.MIN)) - cone).passages
    z = passage.centre_mm[:, 2]
    assert passage.area_mm2 == pytest.approx(pi * (20 - 6 * z / 90) ** 2, rel=1e-3)
    assert passage.length_mm == pytest.approx(90.0, abs=1e-3)


def test_a_leaning_bore_enters_as_it_was_drilled(read):
    """25 degrees off square: its opening an ellipse, its section a circle, its direction the drill's."""
    lean = radians(25.0)
    drill = Rot(0, 25, 0) * Cylinder(15, 300)
    (passage,) = read(Box(160, 80, 60) - drill).passages
    way = np.array([np.sin(lean), 0.0, cos(lean)])
    for end in passage.ends:
        assert abs(np.dot(end.into, way)) == pytest.approx(1.0, abs=2e-7)
    assert passage.length_mm == pytest.approx(60.0 / cos(lean), rel=1e-4)
    assert passage.area_mm2 == pytest.approx(np.full(65, pi * 15**2), rel=1e-3)


def test_a_passage_that_changes_shape(read):
    """Lofted from a square to a circle: both ends exact, in between it only grows or shrinks."""
    start = Plane.XY * Box(30, 30, 0.001).faces().sort_by(Axis.Z)[-1]
    end = Plane((0, 0, 100)) * Circle(15).face()
    solid = loft([start.moved(Pos(0, 0, -0.0005)), end])
    (passage,) = read(Pos(0, 0, 50) * Box(80, 80, 100) - solid).passages
    areas = sorted((passage.area_mm2[0], passage.area_mm2[-1]))
    assert areas == pytest.approx([pi * 15**2, 900.0], rel=1e-4)


def test_a_side_bore_does_not_hide_the_passage(read):
    """A boss hole that runs into the bore from the side: the passage is still found, end to end."""
    block = Box(100, 60, 120) - Cylinder(16, 200) - Pos(30, 0, 10) * Rot(0, 90, 0) * Cylinder(4, 60)
    solid = read(block)
    (passage,) = solid.passages
    assert passage.length_mm == pytest.approx(120.0, abs=0.01)
    assert np.median(passage.area_mm2) == pytest.approx(pi * 16**2, rel=1e-3)
    assert sum(hole.crossed for hole in solid.holes) == 1


def test_a_closed_pocket_is_a_chamber(read):
    pocket = Pos(0, 0, 10) * Box(60, 40, 40)
    solid = read(Box(120, 90, 60) - pocket.moved(Pos(0, 0, 5)) - Pos(0, 0, 0) * Cylinder(0.001, 0.001))
    assert not solid.passages
    assert len(solid.chambers) == 1


def test_sections_of_coarse_triangles_have_the_area_of_the_surface(read):
    """A cylinder's section is a circle, cut square and cut at a slant: an ellipse larger by the slant's cosine."""
    from tractwright.geometry.frames import frame_from_normal

    solid = read(Box(100, 100, 80) - Cylinder(25, 80))
    (passage,) = solid.passages
    wall = wall_of(solid.body, passage.inside)
    for slant in (0.0, 20.0):
        normal = (np.sin(radians(slant)), 0.0, cos(radians(slant)))
        (cut,) = cuts(wall, frame_from_normal((0, 0, 3), normal, (0, 1, 0)))
        assert cut.area_mm2 == pytest.approx(pi * 25**2 / cos(radians(slant)), rel=2e-5)
        assert np.abs(cut.centre_mm - [0.0, 0.0]).max() < 3.0 * tan(radians(slant)) + 1e-4


def test_a_rounded_mouth_is_told_apart_from_a_change_of_area(read):
    """A bore 36 in a block, its mouth on top rounded with 9 by a quarter torus: area beyond the rounding the bore's own."""
    block = Box(100, 100, 90, align=(Align.CENTER, Align.CENTER, Align.MIN)) - Cylinder(18, 400)
    rim = block.faces().sort_by(Axis.Z)[-1].edges().filter_by(GeomType.CIRCLE)
    (passage,) = read(fillet(rim, 9.0)).passages
    assert sorted(passage.lips_mm) == pytest.approx([0.0, 9.0], abs=2.0)
    bore = np.interp(45.0, passage.s_mm, passage.area_mm2)
    assert bore == pytest.approx(pi * 18**2, rel=1e-4)


def test_two_passages_that_run_into_one(read):
    """Two bores 30 leaning to the middle, joined by one bore 40: an arm each, as long as the drawn corner; no chamber."""
    rise, aside = 60.0, 40.0
    block = Box(160, 90, 120, align=(Align.CENTER, Align.CENTER, Align.MIN))
    for x in (-aside, aside):
        way = Vector(-x, 0, rise)
        arm = Plane(origin=Vector(x, 0, 0) - way * 0.5, z_dir=way) * Circle(15)
        block -= extrude(arm, way.length * 1.5)
    block -= Pos(0, 0, rise) * Cylinder(20, 60, align=(Align.CENTER, Align.CENTER, Align.MIN)) + Pos(
        0, 0, rise
    ) * Sphere(20)
    solid = read(block)
    assert solid.chambers == ()
    assert [passage.shared for passage in solid.passages] == [1, 1]
    for passage in solid.passages:
        assert passage.length_mm == pytest.approx(np.hypot(rise, aside) + 60.0, rel=0.02)
        assert passage.area_mm2[[2, -3]] == pytest.approx([pi * 15**2, pi * 20**2], rel=1e-3)
        assert abs(np.dot(passage.ends[0].into, (0, 0, 1))) == pytest.approx(rise / np.hypot(rise, aside), abs=1e-5)


def test_a_plenum_piece_is_a_chamber(read):
    """Three mouths and a wide opening joined by a box: nothing runs together there."""
    block = Box(300, 110, 80, align=(Align.CENTER, Align.CENTER, Align.MIN))
    block -= Pos(0, 0, 12) * Box(260, 80, 80, align=(Align.CENTER, Align.CENTER, Align.MIN))
    for x in (-90, 0, 90):
        block -= Pos(x, 0, 0) * Cylinder(19, 60)
    solid = read(block)
    assert solid.passages == ()
    assert [len(chamber.openings) for chamber in solid.chambers] == [4]


def test_a_small_closed_plenum_is_a_chamber(read):
    """Two mouths of 38 and a throttle of 52 at its end, about as large together: its box of 180 x 80 x 60 tells."""
    block = Box(220, 110, 90, align=(Align.CENTER, Align.CENTER, Align.MIN))
    block -= Pos(0, 0, 12) * Box(180, 80, 60, align=(Align.CENTER, Align.CENTER, Align.MIN))
    block -= Pos(-50, 0, 0) * Cylinder(19, 60) + Pos(50, 0, 0) * Cylinder(19, 60)
    block -= Pos(100, 0, 42) * Rot(0, 90, 0) * Cylinder(26, 60)
    solid = read(block)
    assert solid.passages == ()
    assert [len(chamber.openings) for chamber in solid.chambers] == [3]
