"""A flat milled on an outline: areas against closed forms and against shapely's polygons."""

from math import cos, pi, radians, sin

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tractwright.geometry.clipping import flattened
from tractwright.geometry.contours import contour_area, polyline

STADIUM = ((-30.0, -9.0, 0.0), (20.0, -9.0, 1.0), (20.0, 9.0, 0.0), (-30.0, 9.0, 1.0))
"""Two half circles of 9 mm, 50 mm apart."""


def test_a_round_end_becomes_flat():
    flat = flattened(STADIUM, (20.0, 0.0), (1.0, 0.0), 17.0)
    assert contour_area(flat) == pytest.approx(50.0 * 18.0 + pi * 81.0 / 2.0, abs=1e-9)
    assert max(x for x, _, _ in flat) == pytest.approx(20.0)


def test_what_stands_out_beside_the_flat_stays():
    beside = flattened(STADIUM, (20.0, 40.0), (1.0, 0.0), 17.0)
    assert contour_area(beside) == pytest.approx(contour_area(STADIUM))


@given(st.floats(-25.0, 28.0), st.floats(-180.0, 180.0))
def test_areas_are_those_of_shapely(place: float, turn: float):
    """shapely's difference of the polygon and a half plane, at any turn of both."""
    c, s = cos(radians(turn)), sin(radians(turn))
    turned = tuple((x * c - y * s, x * s + y * c, bulge) for x, y, bulge in STADIUM)
    flat = flattened(turned, (place * c, place * s), (c, s), 100.0)
    past = shapely.box(place, -100.0, 200.0, 100.0)
    whole = shapely.Polygon(polyline(STADIUM, 1e-4))
    assert contour_area(flat) == pytest.approx(whole.difference(past).area, abs=0.02)
