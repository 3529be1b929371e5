"""Pieces with broken edges drawn in another library, their volume with plain edges in closed form."""

from math import pi

import pytest
from build123d import Align, Axis, Box, Cylinder, GeomType, Part, Pos, chamfer, fillet

from tractwright.kernel.edges_plain import plain_edges
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.solid import Solid

_UP = (Align.CENTER, Align.CENTER, Align.MIN)


def _plate() -> Part:
    """A plate with round corners and one hole."""
    plate = fillet(Box(120, 80, 14, align=_UP).edges().filter_by(Axis.Z), 12)
    return plate - Cylinder(9, 60)


def _plain_volume() -> float:
    return (120 * 80 - (4 - pi) * 12**2 - pi * 9**2) * 14


def test_chamfers_round_an_outline_and_a_hole_are_left_out():
    plate = _plate()
    broken = chamfer(plate.faces().sort_by(Axis.Z)[-1].edges(), 0.5)
    plain = plain_edges(Solid(broken.solid().wrapped))
    assert (plain.broken, plain.left) == (9, 0)
    assert is_valid(plain.solid)
    assert volume(plain.solid) == pytest.approx(_plain_volume(), rel=1e-7)


def test_small_rounds_are_left_out():
    plate = _plate()
    plain = plain_edges(Solid(fillet(plate.faces().sort_by(Axis.Z)[-1].edges(), 1.0).solid().wrapped))
    assert plain.left == 0
    assert volume(plain.solid) == pytest.approx(_plain_volume(), rel=1e-7)


def test_a_root_is_no_broken_edge():
    """A boss with a root of 1.5 on the plate: it is the cutter's, and stays."""
    part = _plate() + Pos(35, 0, 14) * Cylinder(10, 20, align=_UP)
    circles = part.edges().filter_by(GeomType.CIRCLE).filter_by(lambda e: abs(e.radius - 10) < 1e-6)
    foot = circles.sort_by(Axis.Z)[:1]
    rooted = fillet(foot, 1.5)
    plain = plain_edges(Solid(rooted.solid().wrapped))
    assert plain.broken == 0
    assert volume(plain.solid) == pytest.approx(rooted.volume, rel=1e-9)
