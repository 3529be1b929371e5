"""Parallel contours against Steiner's formula: area + length x distance + pi x distance^2 for convex outlines."""

from math import pi, sqrt, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractwright.errors import KernelError
from tractwright.geometry.contours import contour_area, contour_length
from tractwright.geometry.offsets import is_smooth, merged, offset_contour
from tractwright.geometry.outlines import Outline, outline_contour

SQUARE = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0))


@given(width=st.floats(20, 200), height=st.floats(20, 200), corner=st.floats(6, 9), distance=st.floats(-5, 30))
def test_a_rounded_box_grows_by_steiners_formula(width, height, corner, distance):
    box = outline_contour(Outline(kind="rounded_rectangle", width_mm=width, height_mm=height, corner_radius_mm=corner))
    moved = offset_contour(box, distance)
    steiner = contour_area(box) + contour_length(box) * distance + pi * distance**2
    assert contour_area(moved) == pytest.approx(steiner, rel=1e-9)
    assert contour_length(moved) == pytest.approx(contour_length(box) + 2 * pi * distance, rel=1e-9)
    assert is_smooth(moved)


def test_a_square_grows_with_round_corners_and_shrinks_with_sharp_ones():
    assert contour_area(offset_contour(SQUARE, 2.0)) == pytest.approx(100 + 40 * 2 + pi * 4)
    assert contour_area(offset_contour(SQUARE, -2.0)) == pytest.approx(36.0)


def test_growing_and_shrinking_gives_the_square_back():
    assert np.array(offset_contour(offset_contour(SQUARE, 3.0), -3.0)) == pytest.approx(np.array(SQUARE))


def test_a_line_and_an_arc_that_meet_at_a_corner_are_cut_at_their_crossing():
    half_disc = ((10.0, 0.0, 1.0), (-10.0, 0.0, 0.0))
    shrunk = offset_contour(half_disc, -2.0)
    half_chord = sqrt(8.0**2 - 2.0**2)
    assert shrunk[0][:2] == pytest.approx((half_chord, 2.0))
    assert shrunk[1][:2] == pytest.approx((-half_chord, 2.0))


def test_an_arc_tighter_than_the_distance_is_refused():
    slot = ((5.0, 0.0, 0.0), (20.0, 0.0, tan(pi / 8)), (22.0, 2.0, 0.0), (22.0, 20.0, 0.0), (5.0, 20.0, 0.0))
    with pytest.raises(KernelError, match="cannot shrink"):
        offset_contour(slot, -3.0)


def test_segments_of_one_line_or_circle_become_one():
    box = outline_contour(Outline(kind="rounded_rectangle", width_mm=60, height_mm=40, corner_radius_mm=5))
    assert len(box) == 9
    assert len(merged(box)) == 8
    assert contour_area(merged(box)) == pytest.approx(contour_area(box))


def test_corners_are_seen():
    assert not is_smooth(SQUARE)
