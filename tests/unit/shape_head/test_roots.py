"""Root blends: what a ball of the root radius leaves, square or leaning, and where neighbours take its ground."""

import numpy as np
import pytest
import shapely

from tractwright.errors import KernelError
from tractwright.shape.head_forms import head_forms, rows
from tractwright.shape.roots import Foot, Sampling, base_outline, blend_radius, rows_of, sheet_of

WIDE = shapely.box(-500, -500, 500, 500)


def feet(design, radius, limits=()):
    return tuple(
        Foot(face=f.frame.moved((0, 0, f.thickness_mm)), radius_mm=radius, limits=tuple(limits), edge=WIDE)
        for f in design.flanges
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
    foot = feet(design, 6.0, [base_outline(sheets[1], face)])[1]
    radius = blend_radius(sheets[0], foot)
    assert radius.min() == pytest.approx(6.0 / 2 - 0.3, abs=0.35)
    assert radius.max() == pytest.approx(6.0)
    assert (radius > 5.9).mean() > 0.5


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
