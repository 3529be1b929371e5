"""Thin walls and inner radii of parts whose walls and radii were drawn."""

import numpy as np
import pytest
from build123d import Align, Axis, Box, Cylinder, Pos, fillet

from tractwright.own.radii import inner_radii, sharp_edges
from tractwright.own.walls import thin_walls

LOW = (Align.CENTER, Align.CENTER, Align.MIN)


def test_an_open_box_with_one_thin_side(read):
    """Sides of 5, one of 3.2; floor of 6."""
    box = Box(100, 80, 50, align=LOW) - Pos(0.9, 0, 6) * Box(91.8, 70, 44, align=LOW)
    solid = read(box)
    thinnest = thin_walls(solid.body)[0]
    assert thinnest.thickness_mm == pytest.approx(3.2, abs=1e-6)
    assert thinnest.at_mm[0] > 46.0
    assert thinnest.between == ("plane", "plane")


def test_the_wall_beside_a_bore(read):
    """A bore 30 whose edge stands 2.4 from the side of its block: 25 - 7.6 - 15."""
    solid = read(Box(120, 50, 60) - Pos(0, 7.6, 0) * Cylinder(15, 60))
    assert thin_walls(solid.body)[0].thickness_mm == pytest.approx(2.4, abs=0.06)


def test_a_round_shell_is_as_thick_as_drawn(read):
    """A tube of 40 outside and 33 inside, by its radii."""
    solid = read(Cylinder(20, 80) - Cylinder(16.5, 80))
    walls = [wall.thickness_mm for wall in thin_walls(solid.body)]
    assert walls == pytest.approx([3.5] * len(walls), abs=0.1)
    assert len(walls) > 4


def test_a_solid_block_has_no_thin_wall_at_its_edges(read):
    """Where two sides meet at an edge there is no wall, however near the ball touches both."""
    assert thin_walls(read(Box(100, 90, 35)).body) == ()
    walls = thin_walls(read(Box(100, 90, 12)).body)
    assert [wall.thickness_mm for wall in walls] == pytest.approx([12.0] * len(walls), abs=1e-6)
    assert walls


def test_inner_radii_are_those_of_the_pocket(read):
    """A pocket with upright corners of 4 and a floor radius of 1.5; an outer edge of 6 and a screw hole are none of them."""
    pocket = fillet(Box(60, 40, 30, align=LOW).edges().filter_by(Axis.Z), 4)
    pocket = fillet(pocket.faces().sort_by(Axis.Z)[0].edges(), 1.5)
    block = fillet(Box(100, 80, 40, align=LOW).edges().filter_by(Axis.Z), 6)
    solid = read(block - Pos(0, 0, 15) * pocket - Pos(40, 30, 0) * Cylinder(3.3, 40, align=LOW))
    assert [radius.radius_mm for radius in inner_radii(solid.body, solid.holes)] == [1.5, 4.0]
    assert sharp_edges(solid.body) == ()


def test_sharp_inner_edges_are_found(read):
    solid = read(Box(100, 80, 40, align=LOW) - Pos(0, 0, 15) * Box(60, 40, 30, align=LOW))
    places = np.array(sharp_edges(solid.body))
    assert len(places) == 8
    assert np.abs(places[0][[0, 2]]).tolist() == pytest.approx([0.0, 15.0], abs=1e-9)
