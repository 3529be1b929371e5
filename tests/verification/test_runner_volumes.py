"""Runner solids against closed forms.

Sources: Pappus of Alexandria's second theorem; its extension to sections square to any smooth curve through their
centroids, volume = area x length: Goodman and Goodman (1969), American Mathematical Monthly 76(4), 355-366 (memory).
Steiner's formula for parallel bodies (any book of convex geometry).
The spandrel between a square corner and its quarter circle: area (1 - pi/4) R2, centroid (10 - 3 pi) / (12 - 3 pi) R off
the corner's sides; any handbook of plane areas.
"""

from math import cos, pi, sin, tan

import numpy as np
import pytest
import shapely

from tractwright.geometry.frames import Frame, frame_from_normal
from tractwright.kernel.measure import volume
from tractwright.kernel.skins import skin_solid
from tractwright.kernel.tubular import Plate, Post, Tube, tubular_body
from tractwright.kernel.twins import twin_of_tube
from tractwright.shape.roots import Foot, Sampling, Sheet, passage_rows, resampled, rows_of, whole_span

ANGLES = np.arange(64) * (2 * pi / 64)
WIDE = shapely.box(-200.0, -200.0, 200.0, 200.0)
SQUARE = ((-60.0, -60.0, 0.0), (60.0, -60.0, 0.0), (60.0, 60.0, 0.0), (-60.0, 60.0, 0.0))


def sheet(centre, tangent, u, radius, s):
    """Circles of radii (n,) about a curve in the y-z plane or along z."""
    v = np.cross(tangent, u)
    points = centre[:, None] + radius[:, None, None] * (
        np.cos(ANGLES)[:, None] * u[:, None] + np.sin(ANGLES)[:, None] * v[:, None]
    )
    empty = np.zeros((4, len(s) - 1, len(ANGLES), 6))
    plain = Sheet(s_mm=s, points_mm=points, normals=points, pieces=empty, span=whole_span(float(s[-1]) - 60.0))
    return resampled(plain, points)


def straight(radius, length):
    s = np.linspace(-60.0, length + 60.0, int(length) + 121)
    along = np.tile([0.0, 0.0, 1.0], (len(s), 1))
    return sheet(along * s[:, None], along, np.tile([1.0, 0.0, 0.0], (len(s), 1)), np.full(len(s), radius), s)


def test_a_bend_holds_area_times_length():
    """A taper round a quarter circle: the integral of area over the centreline's length, exactly."""
    bend, count = 90.0, 401
    turn = np.linspace(0.0, pi / 2, count)
    centre = np.stack([0 * turn, bend * (1 - np.cos(turn)), bend * np.sin(turn)], axis=1)
    tangent = np.stack([0 * turn, np.sin(turn), np.cos(turn)], axis=1)
    radius = 24.0 - 4.0 * turn / (pi / 2)
    bent = sheet(centre, tangent, np.tile([1.0, 0.0, 0.0], (count, 1)), radius, bend * turn)
    picked = np.linspace(0, count - 1, 33).astype(int)
    want = np.trapezoid(pi * radius**2, bend * turn)
    assert volume(skin_solid(bent.points_mm[picked])) == pytest.approx(want, rel=2e-5)


def test_a_root_blend_holds_the_spandrel_turned_about_the_axis():
    radius, blend, length = 25.0, 6.0, 100.0
    near = Foot(end=0, face=Frame(), radius_mm=blend, limits=(), edge=WIDE)
    far_face = frame_from_normal((0.0, 0.0, length), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0))
    far = Foot(end=1, face=far_face, radius_mm=blend, limits=(), edge=WIDE)
    rows = rows_of(straight(radius, length), (near, far), Sampling())
    spandrel = (1 - pi / 4) * blend**2
    off = (10 - 3 * pi) / (12 - 3 * pi) * blend
    ring = 2 * pi * (radius + off) * spandrel
    plain = pi * radius**2 * length
    added = volume(skin_solid(rows)) - plain
    assert added == pytest.approx(2 * ring, rel=0.01)
    assert volume(skin_solid(rows)) == pytest.approx(plain + 2 * ring, rel=1e-4)


def test_a_passage_between_slanting_planes_holds_area_times_the_axis_between_them():
    """A cylinder cut by planes at any slant: area x the axis's length between them."""
    slant = frame_from_normal((0.0, 0.0, 0.0), (0.0, sin(0.6), cos(0.6)), (1.0, 0.0, 0.0))
    end = frame_from_normal((0.0, 0.0, 120.0), (0.0, sin(0.3), -cos(0.3)), (1.0, 0.0, 0.0))
    rows = passage_rows(straight(20.0, 120.0), (slant, end), Sampling())
    assert volume(skin_solid(rows)) == pytest.approx(pi * 400.0 * 120.0, rel=1e-4)


def test_two_plates_a_tube_and_a_post_sewn_hold_the_sum_of_their_parts():
    radius, bore, blend = 25.0, 20.0, 5.0
    low, high = Frame(), frame_from_normal((0.0, 0.0, 124.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0))
    plates = [Plate(frame=frame, contour=SQUARE, thickness_mm=12.0) for frame in (low, high)]
    feet = tuple(
        Foot(end=end, face=frame.moved((0.0, 0.0, 12.0)), radius_mm=blend, limits=(), edge=WIDE)
        for end, frame in enumerate((low, high))
    )
    tube = Tube(
        first=0,
        last=1,
        outer_mm=rows_of(straight(radius, 124.0), feet, Sampling()),
        inner_mm=passage_rows(straight(bore, 124.0), (low, high), Sampling()),
    )
    post = Post(plate=0, at_mm=(45.0, 45.0), profile=((0.0, 20.0, 0.0), (6.0, 20.0, 0.0), (6.0, 12.0, 0.0)))
    ring = 2 * pi * (radius + (10 - 3 * pi) / (12 - 3 * pi) * blend) * (1 - pi / 4) * blend**2
    want = 2 * 120.0**2 * 12.0 + pi * radius**2 * 100.0 - pi * bore**2 * 124.0 + 2 * ring + pi * 36.0 * 8.0
    assert volume(tubular_body(plates, [tube], [post], "a pair of plates")) == pytest.approx(want, rel=1e-4)


def test_a_plates_broken_edge_takes_what_steiners_formula_says():
    """Steiner: the area inside a smooth outline at a depth t is A - P t + pi t2, so a chamfer b takes P b2/2 - pi b3/3."""
    h, half, high = 10.0, 60.0, 124.0
    contour = _rounded_square(half, h)
    low, far = Frame(), frame_from_normal((0.0, 0.0, high), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0))
    feet = tuple(
        Foot(end=end, face=frame.moved((0.0, 0.0, 12.0)), radius_mm=5.0, limits=(), edge=WIDE)
        for end, frame in enumerate((low, far))
    )
    tube = Tube(
        first=0,
        last=1,
        outer_mm=rows_of(straight(25.0, high), feet, Sampling()),
        inner_mm=passage_rows(straight(20.0, high), (low, far), Sampling()),
    )
    sharp, broken = (
        tubular_body(
            [Plate(frame=f, contour=contour, thickness_mm=12.0, break_mm=b) for f in (low, far)], [tube], [], "plates"
        )
        for b in (0.0, 0.5)
    )
    perimeter = 4 * (2 * half - 2 * h) + 2 * pi * h
    taken = perimeter * 0.5**2 / 2 - pi * 0.5**3 / 3
    assert volume(sharp) - volume(broken) == pytest.approx(2 * taken, rel=1e-3)


def _rounded_square(half, radius):
    bulge, flat = tan(pi / 8.0), half - radius
    return (
        (half, -flat, 0.0), (half, flat, bulge), (flat, half, 0.0), (-flat, half, bulge),
        (-half, flat, 0.0), (-half, -flat, bulge), (-flat, -half, 0.0), (flat, -half, bulge),
    )  # fmt: skip


def test_a_mesh_of_a_tube_holds_its_polygon():
    """Closed form of the regular polygon: n/2 r2 sin(2 pi / n)."""
    rows = straight(20.0, 120.0).points_mm[60:181]
    want = 64 / 2 * 400.0 * sin(2 * pi / 64) * 120.0
    assert twin_of_tube(rows).volume() == pytest.approx(want, rel=1e-9)
