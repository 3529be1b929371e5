"""Root blends: what a ball of the root radius leaves, square or leaning, and where neighbours take its ground."""

from dataclasses import replace
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
import shapely.affinity

from tractwright.errors import KernelError
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.kernel.skins import skin_surface
from tractwright.shape.head_forms import head_forms, rows
from tractwright.shape.roots import (
    Foot,
    Sampling,
    Sheet,
    base_outline,
    blend_radius,
    passage_rows,
    resampled,
    rows_of,
    sheet_of,
    whole_span,
)
from tractwright.shape.webs import webbed

WIDE = shapely.box(-500, -500, 500, 500)


def feet(design, radius, limits=()):
    return tuple(
        Foot(end=end, face=f.frame.moved((0, 0, f.thickness_mm)), radius_mm=radius, limits=tuple(limits), edge=WIDE)
        for end, f in enumerate(design.flanges)
    )


@pytest.mark.parametrize("rise", [0.0, 25.0, 45.0])
def test_the_blend_touches_the_face_all_round_and_never_goes_under_it(block, rise):
    design = block(rise_deg=rise)
    both = feet(design, 6.0)
    points = rows_of(sheet_of(design.runners[0], design, 64), both, Sampling())
    height = both[0].face.to_local(points)[..., 2]
    assert np.abs(height[0]).max() < 1e-9
    assert height[1:].min() > 0.0
    slope = (height[1] - height[0]) / np.linalg.norm(points[1] - points[0], axis=1)
    assert slope.max() < 0.2  # a chord of the last eighth of an arc that ends flat: sin(90 deg / 16) and a little


def test_a_square_blend_lies_on_the_circle_of_its_radius(block):
    """Closed form: the arc's points are one radius from a centre one radius over the face and off the wall."""
    design = block()
    sheet = sheet_of(design.runners[0], design, 64)
    foot = feet(design, 6.0)[0]
    points = foot.face.to_local(rows_of(sheet, feet(design, 6.0), Sampling())[:8])
    wall = points[7]
    away = points[0, :, :2] - wall[:, :2]
    centre = wall + np.concatenate([away, np.zeros((64, 1))], axis=1)
    assert np.linalg.norm(away, axis=1) == pytest.approx(np.full(64, 6.0), abs=0.05)
    assert np.linalg.norm(points - centre, axis=2) == pytest.approx(np.full((8, 64), 6.0), abs=0.05)


def test_a_neighbour_takes_half_the_ground_and_only_on_its_side(block):
    design = block(mouth_pitch_mm=58.0)  # skins 6 mm apart: not room for two blends of 6
    sheets = [sheet_of(runner, design, 64) for runner in design.runners[:2]]
    face = feet(design, 6.0)[1].face
    foot = feet(design, 6.0, [base_outline(sheets[1], face, 1)])[1]
    radius = blend_radius(sheets[0], foot)
    assert radius.min() == pytest.approx(6.0 / 2 - 0.3, abs=0.35)
    assert radius.max() == pytest.approx(6.0)
    assert (radius > 5.9).mean() > 0.5


@pytest.mark.parametrize("rise", [0.0, 25.0])
@pytest.mark.parametrize("kind", ["rounded_rectangle", "d", "oval"])
def test_a_passage_opens_in_the_head_face_exactly_as_the_port_does(block, rise, kind):
    """However much the port leans: the opening is the port's own outline, drawn without the builder's points."""
    port = Outline(kind=kind, width_mm=44.0, height_mm=32.0, corner_radius_mm=10.0, lower_corner_radius_mm=6.0)
    design = block(rise_deg=rise, port=port)
    (_, area), last = design.runners[0].area_mm2
    straight = replace(design.runners[0], area_mm2=((0.0, area), (0.1, area), last))
    design = replace(design, runners=(straight,))
    head = design.flanges[0].frame
    sheet = sheet_of(design.runners[0], design, 192, "inner")
    opening = base_outline(sheet, head, 0)
    x, y = design.ports[0].at_mm
    outline = shapely.affinity.translate(shapely.Polygon(polyline(outline_contour(port))), x, y)
    assert opening.symmetric_difference(outline).area < 1e-3 * outline.area
    assert opening.hausdorff_distance(outline) < 0.05


def test_skins_that_almost_touch_are_thickened_into_each_other(block):
    design = block(count=2, mouth_pitch_mm=52.5)  # 0.5 mm between the skins
    forms = head_forms(design.pieces[0], design)
    assert [course.merges for course in forms.courses] == [(1,), (0,)]
    skins = rows(forms, Sampling(angles=96))
    mouth = forms.face(1)
    right, left = (mouth.to_local(skin.outer_mm[-12:-9])[..., 0] for skin in skins)
    low, high = sorted((left, right), key=np.mean)
    assert high.min() - low.max() < -1.5


def test_a_skin_that_bends_into_itself_is_refused(block):
    design = block(turn_deg=170.0, reach_mm=90.0)
    with pytest.raises(KernelError, match="bends tighter"):
        sheet_of(design.runners[0], design, 48)


@pytest.mark.parametrize("gap", [-2.0, 0.0, 3.0])
def test_the_groove_beside_a_web_is_a_ball_wide(gap):
    """Closed form: a ball of radius R that rests on two cylinders of radius a with a gap g between them has its centre
    sqrt((a + R)^2 - (a + g/2)^2) off the line through their middles; the web is that less R high in the middle."""
    a, ball = 25.0, 8.0
    left, right = (_cylinder(side * (a + gap / 2), a) for side in (-1.0, 1.0))
    skin = webbed(left, [right], ball).points_mm[120, :, :2]
    off = np.sqrt((a + ball) ** 2 - (a + gap / 2) ** 2)
    away = np.linalg.norm(skin - [0.0, off], axis=1)
    foot = -(a + gap / 2) * ball / (a + ball)
    arc = (skin[:, 0] < 0.0) & (skin[:, 0] > foot) & (skin[:, 1] > off - ball - 0.1)
    assert arc.sum() >= 3
    assert away[arc] == pytest.approx(np.full(arc.sum(), ball), abs=0.05)
    assert np.delete(away, np.flatnonzero(skin[:, 0] > 0.0)).min() > ball - 0.05
    upper = skin[(skin[:, 1] > 0.5 * (off - ball)) & (np.abs(skin[:, 0]) < 4.0)]
    order = np.argsort(upper[:, 0])
    assert np.interp(0.0, upper[order, 0], upper[order, 1]) == pytest.approx(off - ball, abs=0.2)  # chords of 2 to 3 mm


def _cylinder(x, radius):
    s = np.linspace(-60.0, 180.0, 241)
    clock = np.arange(112) * (2 * pi / 112)
    ring = np.stack([x + radius * np.cos(clock), radius * np.sin(clock), 0.0 * clock], axis=1)
    points = ring[None] + s[:, None, None] * np.array([0.0, 0.0, 1.0])
    empty = np.zeros((4, len(s) - 1, 112, 6))
    return resampled(Sheet(s_mm=s, points_mm=points, normals=points, pieces=empty, span=whole_span(120.0)), points)


@pytest.fixture(scope="module")
def hooked():
    """A round runner of radius 20 that goes straight for 400 mm and turns by 230 degrees round a radius of 90, and the
    plane across its end: the runner has been through that plane 180 degrees before its end, well after its middle."""
    turned, bend, radius, angles = np.radians(230.0), 90.0, 20.0, 64
    s = np.linspace(-60.0, 400.0 + bend * turned + 60.0, 900)
    turn = np.clip((s - 400.0) / bend, 0.0, turned)
    beyond = np.maximum(s - 400.0 - bend * turned, 0.0)
    along = np.stack([0 * s, np.sin(turn), np.cos(turn)], axis=1)
    centre = np.stack([0 * s, bend * (1 - np.cos(turn)), np.minimum(s, 400.0) + bend * np.sin(turn)], axis=1)
    centre += along * beyond[:, None]
    clock = np.arange(angles) * (2 * pi / angles)
    across = np.cross(along, [1.0, 0.0, 0.0])
    points = centre[:, None] + radius * (
        np.cos(clock)[:, None] * np.array([1.0, 0.0, 0.0]) + np.sin(clock)[:, None] * across[:, None]
    )
    empty = np.zeros((4, len(s) - 1, angles, 6))
    plain = Sheet(s_mm=s, points_mm=points, normals=points, pieces=empty, span=whole_span(400.0 + bend * turned))
    end = centre[np.searchsorted(s, 400.0 + bend * turned)]
    mouth = frame_from_normal(end, (0.0, -sin(turned), -cos(turned)), (1.0, 0.0, 0.0))
    return resampled(plain, points), mouth


def test_a_runner_that_has_been_through_its_mouths_plane_before_ends_at_its_mouth(hooked):
    """An inline six whose runners hook back: the skins ended where they first came through the mouth flange's plane,
    beside that flange, and nothing of what followed was a solid."""
    sheet, mouth = hooked
    outline = base_outline(sheet, mouth, 1)
    assert outline.area == pytest.approx(pi * 400.0, rel=0.01)
    assert np.hypot(*outline.centroid.coords[0]) < 0.5
    head = frame_from_normal((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    feet = (
        Foot(end=0, face=head, radius_mm=5.0, limits=(), edge=WIDE),
        Foot(end=1, face=mouth, radius_mm=5.0, limits=(), edge=WIDE),
    )
    for skin in (rows_of(sheet, feet, Sampling()), passage_rows(sheet, (head, mouth), Sampling())):
        last = mouth.to_local(skin[-1])
        assert np.abs(last[:, 2]).max() < 1e-9
        assert np.linalg.norm(last[:, :2], axis=1).max() < 25.5


def test_a_skin_that_never_leaves_its_flange_is_refused(hooked):
    sheet, mouth = hooked
    with pytest.raises(KernelError, match="never comes out"):
        base_outline(sheet, mouth.moved((0.0, 0.0, 1000.0)), 1)


def test_rows_never_change_their_step_at_a_stroke_so_the_skin_does_not_fold():
    """An inline six with leaning mouths: on the steep side the rows of the blend stood five times as far apart as those of
    the wall beside it, the surface through them had a fold a twentieth of a millimetre wide, and four roots were found
    sharp. On a leaning cut of a straight tube the normal is known: it points away from the axis."""
    tube = _cylinder(0.0, 20.0)
    head = frame_from_normal((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    mouth = frame_from_normal((0.0, 0.0, 110.0), (0.0, -sin(0.9), -cos(0.9)), (1.0, 0.0, 0.0))
    feet = tuple(
        Foot(end=end, face=face, radius_mm=6.0, limits=(), edge=WIDE) for end, face in enumerate((head, mouth))
    )
    points = rows_of(tube, feet, Sampling())
    steps = np.linalg.norm(np.diff(points, axis=0), axis=2)
    change = np.maximum(steps[1:] / steps[:-1], steps[:-1] / steps[1:])
    assert change.max() < 1.8
    clock, along = np.meshgrid(np.linspace(0.0, 1.0, 181), np.linspace(0.0, 1.0, 1201))
    found = skin_surface(points)
    places = np.column_stack([clock.ravel(), along.ravel()])
    at, normal = found.at(places), found.normal(places)
    wall = (at[:, 2] > 8.0) & (mouth.to_local(at)[:, 2] > 17.0)
    away = at[wall] * (1.0, 1.0, 0.0) / 20.0
    assert np.abs(np.einsum("ij,ij->i", normal[wall], away)).min() > 0.9999
