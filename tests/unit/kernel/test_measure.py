"""Measures against closed forms of a cylinder, a half ball and a wedge."""

from math import pi

import pytest

from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.measure import fineness, is_valid, volume
from tractwright.kernel.primitives import extrude, revolve

FRAME = frame_from_normal((3, 4, 5), (0, 0, 1), (1, 0, 0))


def test_a_cylinder():
    pin = extrude(outline_contour(circle(10.0)), FRAME, 20.0)
    assert volume(pin) == pytest.approx(500 * pi, rel=1e-6)
    assert is_valid(pin)


def test_a_half_ball():
    ball = revolve(((0.0, 0.0, 0.0), (8.0, 0.0, 0.41421356237309503), (0.0, 8.0, 0.0)), FRAME)
    assert volume(ball) == pytest.approx(2 / 3 * pi * 512, rel=1e-6)


def test_a_frustum():
    assert volume(
        revolve(((0.0, 0.0, 0.0), (6.0, 0.0, 0.0), (3.0, 9.0, 0.0), (0.0, 9.0, 0.0)), FRAME)
    ) == pytest.approx(pi * 9 / 3 * (36 + 18 + 9), rel=1e-6)


def test_fineness_names_the_shortest_edge_and_smallest_face():
    wedge = extrude(((0.0, 0.0, 0.0), (30.0, 0.0, 0.0), (0.0, 4.0, 0.0)), FRAME, 7.0)
    found = fineness(wedge)
    assert (found.solids, found.faces, found.edges) == (1, 5, 9)
    assert found.least_edge_mm == pytest.approx(4.0)
    assert found.least_face_mm2 == pytest.approx(28.0)
    assert found.edge_tolerance_mm <= 1e-6


def test_the_tip_of_a_cone_is_no_short_edge():
    assert fineness(revolve(((0.0, 0.0, 0.0), (6.0, 0.0, 0.0), (0.0, 9.0, 0.0)), FRAME)).least_edge_mm > 10.0
