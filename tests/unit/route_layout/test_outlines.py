"""The outlines that flanges are drawn with, against shapely's hulls and offsets."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.errors import KernelError
from tractwright.geometry.contours import contour_area, polyline, segment_length
from tractwright.geometry.offsets import is_smooth
from tractwright.route.layout.outlines import arm, bar, box, disc, joined, round_box


def region(contour) -> shapely.Polygon:
    return shapely.Polygon(polyline(contour, 0.002))


@given(x=st.floats(-60, 60), y=st.floats(-60, 60), first=st.floats(3, 20), second=st.floats(3, 20))
@settings(deadline=None)
def test_an_arm_is_the_hull_of_its_two_discs(x, y, first, second):
    """shapely: the convex hull of two discs of 1024 corners."""
    discs = [shapely.Point(0, 0).buffer(first, 256), shapely.Point(x, y).buffer(second, 256)]
    assert contour_area(arm((0.0, 0.0), first, (x, y), second)) == pytest.approx(
        shapely.union_all(discs).convex_hull.area, rel=1e-4
    )


@given(apart=st.floats(28.0, 70.0), rise=st.floats(-6.0, 6.0), radius=st.floats(7.0, 12.0), corner=st.floats(5.0, 20.0))
@settings(max_examples=40, deadline=None)
def test_lugs_on_a_box_are_joined_as_a_rolling_disc_would(apart, rise, radius, corner):
    """shapely: the union grown and shrunk by one of the fillets; the fillet taken is the largest that leaves no sliver."""
    shapes = [
        box((0.0, 0.0), 240.0, 90.0, corner),
        *(disc((k * apart, side * (45.0 + rise)), radius) for k in (-1, 0, 1) for side in (-1, 1)),
    ]
    outline = joined(shapes)
    whole = shapely.union_all([region(shape) for shape in shapes])
    assert is_smooth(outline)
    assert region(outline).buffer(0.01).contains(whole)
    closings = [whole.buffer(r, 128).buffer(-r, 128) for r in (12.0, 9.0, 6.0, 4.0, 2.0)]
    areas = [shapely.Polygon(closing.exterior).area for closing in closings]
    grown_at_most = 0.45 * 1.5 * sum(region(shape).length for shape in shapes[1:])
    least = min(abs(contour_area(outline) - area) for area in areas)
    edges = [segment_length(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)]
    assert least < max(1e-3 * whole.area, grown_at_most if min(edges) < 0.4 else 0.0)


@given(st.lists(st.tuples(st.floats(-30, 30), st.floats(-20, 20)), min_size=4, max_size=20), st.floats(0.02, 0.2))
@settings(deadline=None)
def test_a_round_box_holds_its_points_and_could_not_be_rounder(inner, more):
    """shapely: all points inside or on it; with wider corners one is left out, unless they are as wide as may be."""
    points = [*inner, (-35.0, 1.0), (35.0, -2.0), (3.0, 25.0), (-4.0, -25.0)]
    found = round_box(points)
    assert all(region(found).distance(shapely.Point(point)) < 0.01 for point in points)
    straight = [
        abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in zip(found, found[1:] + found[:1], strict=True) if a[2] == 0
    ]
    radius = (70.0 + 50.0 - sum(straight) / 2) / 4
    if radius < 25.0 - more:
        rounder = region(box((0.0, 0.0), 70.0, 50.0, radius + more))
        assert any(rounder.distance(shapely.Point(point)) > 1e-6 for point in points)


def test_a_lug_that_stands_apart_is_not_dropped():
    with pytest.raises(KernelError, match="stands apart"):
        joined([box((0.0, 0.0), 100.0, 60.0, 5.0), disc((0.0, 80.0), 9.0)])


def test_shapes_that_all_but_touch_from_inside_leave_no_sliver():
    """A disc that reaches a hundredth over a straight edge: once an edge of 0.9 mm and two of next to nothing."""
    shapes = [bar((-50.0, 0.0), (50.0, 0.0), 12.0), disc((0.0, 3.01), 9.0)]
    outline = joined(shapes)
    assert min(segment_length(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)) >= 0.4
