"""The filleted outline round several shapes, against closed forms for circles and lines."""

from math import acos, atan2, hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractwright.geometry.contours import arc_of, contour_area
from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.offsets import is_smooth
from tractwright.geometry.placing import carried, from_behind
from tractwright.geometry.unions import holds_point, rounded_union


def disc(x: float, y: float, radius: float):
    return ((x + radius, y, 1.0), (x - radius, y, 1.0))


def rectangle(x0: float, y0: float, x1: float, y1: float):
    return ((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0))


@given(radius=st.floats(5, 20), apart=st.floats(0.3, 1.6), fillet=st.floats(3, 15))
def test_two_discs_and_their_fillets(radius, apart, fillet):
    """Discs, the kite between the four centres, less the sectors: elementary geometry."""
    a = apart * radius / 2
    outline = rounded_union([disc(-a, 0, radius), disc(a, 0, radius)], fillet)
    far = radius + fillet
    b = sqrt(far**2 - a**2)
    angle = acos(a / far)
    half_turn = 2 * pi - 2 * angle
    exact = 2 * a * b + radius**2 * half_turn - fillet**2 * (pi - 2 * angle)
    assert contour_area(outline) == pytest.approx(exact, rel=1e-9)
    assert is_smooth(outline)


@given(radius=st.floats(4, 10), sunk=st.floats(-0.4, 0.8), fillet=st.floats(3, 12))
def test_a_column_on_a_wall(radius, sunk, fillet):
    """A disc on a straight side: the area between side, disc and the two fillet arcs."""
    height = sunk * radius
    box = rectangle(-100, -50, 100, 0)
    outline = rounded_union([box, disc(0, height, radius)], fillet)
    assert contour_area(outline) == pytest.approx(200 * 50 + _over(height, radius, fillet), rel=1e-9)


def _over(height: float, radius: float, fillet: float) -> float:
    """Area that a disc and its two fillets add over a straight side: elementary geometry."""
    reach = sqrt((radius + fillet) ** 2 - (fillet - height) ** 2)
    lean = atan2(fillet - height, reach)
    return reach * (fillet + height) + (radius**2 - fillet**2) * (pi / 2 - lean)


def test_every_concave_arc_has_the_fillets_radius():
    shapes = [rectangle(-50, -30, 50, 30), *(disc(x, 32, 7) for x in (-40, 0, 40)), disc(50, 0, 9)]
    outline = rounded_union(shapes, 6.0)
    ends = [outline[(i + 1) % len(outline)] for i in range(len(outline))]
    radii = [arc_of(start, end)[2] for start, end in zip(outline, ends, strict=True) if start[2] < -1e-12]
    assert len(radii) == 8
    assert radii == pytest.approx([6.0] * 8)


def test_a_shape_inside_another_changes_nothing():
    box = rectangle(0, 0, 40, 20)
    assert contour_area(rounded_union([box, disc(20, 10, 5)], 4.0)) == pytest.approx(800.0)


@given(height=st.floats(-30, 30))
def test_a_disc_on_a_side(height):
    """Once the side's stretch under the disc stayed: its middle lay on the chord between the disc's two arcs."""
    outline = rounded_union([rectangle(-50, -50, 50, 50), disc(53, height, 9)], 2.0)
    assert contour_area(outline) == pytest.approx(100 * 100 + _over(3.0, 9.0, 2.0), rel=1e-9)


def test_inside_and_outside_of_arcs():
    outline = rounded_union([disc(-6, 0, 10), disc(6, 0, 10)], 5.0)
    random = np.random.default_rng(7)
    for x, y in random.uniform(-18, 18, (400, 2)):
        in_discs = hypot(x + 6, y) < 10 or hypot(x - 6, y) < 10
        if in_discs:
            assert holds_point(outline, (x, y))
        elif hypot(x + 6, y) > 10.01 and hypot(x - 6, y) > 10.01 and abs(x) > 6:
            assert not holds_point(outline, (x, y))


def test_a_contour_seen_from_behind_keeps_its_area_and_place():
    outline = rounded_union([rectangle(-20, -10, 20, 10), disc(20, 5, 6)], 4.0)
    front = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))
    behind = from_behind(front.moved((7.0, -2.0, 0.0)))
    seen = carried(outline, front, behind)
    assert contour_area(seen) == pytest.approx(contour_area(outline))
    assert np.array(carried(seen, behind, front)) == pytest.approx(np.array(outline))
