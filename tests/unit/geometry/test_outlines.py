"""Areas and lengths against closed forms."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractwright.geometry.contours import contour_area, contour_length, polyline
from tractwright.geometry.outlines import Outline, circle, outline_area, outline_contour, outline_points


def polygon_area(points: np.ndarray) -> float:
    x, y = points.T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def test_circle():
    assert outline_area(circle(40.0)) == pytest.approx(pi * 400)
    assert contour_length(outline_contour(circle(40.0))) == pytest.approx(pi * 40)


def test_oval_is_a_rectangle_and_two_half_circles():
    oval = Outline(kind="oval", width_mm=50, height_mm=32)
    assert outline_area(oval) == pytest.approx(pi * 256 + 18 * 32)
    assert contour_length(outline_contour(oval)) == pytest.approx(pi * 32 + 2 * 18)


def test_rounded_rectangle_loses_four_corners():
    box = Outline(kind="rounded_rectangle", width_mm=46, height_mm=34, corner_radius_mm=12)
    assert outline_area(box) == pytest.approx(46 * 34 - (4 - pi) * 144)


def test_d_has_two_kinds_of_corner():
    port = Outline(kind="d", width_mm=46, height_mm=34, corner_radius_mm=20, lower_corner_radius_mm=4)
    assert outline_area(port) == pytest.approx(46 * 34 - (2 - pi / 2) * (400 + 16))


def test_points_of_two_offsets_face_each_other():
    box = Outline(kind="rounded_rectangle", width_mm=46, height_mm=34, corner_radius_mm=12)
    inner, outer = outline_points(box, 96), outline_points(box, 96, offset_mm=4.0)
    np.testing.assert_allclose(np.linalg.norm(outer - inner, axis=1), 4.0)
    # Steiner: area of the parallel outline = A + P d + pi d^2, less what chords lose.
    exact = outline_area(box) + 4.0 * contour_length(outline_contour(box)) + pi * 16
    assert polygon_area(outer) == pytest.approx(exact, rel=2e-3)


@given(
    kind=st.sampled_from(["circle", "oval", "rounded_rectangle", "d"]),
    width=st.floats(15, 80),
    share=st.floats(0.4, 1.5),
    corner=st.floats(0.0, 60.0),
    lower=st.floats(0.0, 60.0),
)
def test_polyline_agrees_with_the_exact_area(kind: str, width: float, share: float, corner: float, lower: float):
    height = width if kind == "circle" else width * share
    outline = Outline(
        kind=kind, width_mm=width, height_mm=height, corner_radius_mm=corner, lower_corner_radius_mm=lower
    )
    contour = outline_contour(outline)
    assert contour_area(contour) == pytest.approx(polygon_area(polyline(contour, 1e-4)), rel=1e-4)
    points = outline_points(outline, 64)
    assert np.abs(points).max(axis=0) == pytest.approx([width / 2, height / 2], rel=0.05)
