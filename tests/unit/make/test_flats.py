"""Flat, parallel faces between jaws, on outlines whose sides are known."""

import pytest

from tractwright.design.records import Flange
from tractwright.geometry.frames import Frame
from tractwright.make.flats import flanges_below, flats_in_jaws

UP = (0.0, 0.0, 1.0)
SIDEWAYS = (0.0, 1.0, 0.0)


def flange(contour):
    return Flange(name="f", piece="cover", joint="cover", frame=Frame(), contour=contour, thickness_mm=12.0)


def box(x, y):
    return ((0.0, 0.0, 0.0), (x, 0.0, 0.0), (x, y, 0.0), (0.0, y, 0.0))


def test_a_rectangle_is_flat_all_along():
    assert flats_in_jaws([flange(box(100.0, 60.0))], UP) == pytest.approx(100.0)


def test_a_disc_has_none_and_stands_on_its_two_faces():
    disc = ((40.0, 0.0, 1.0), (-40.0, 0.0, 1.0))
    assert flats_in_jaws([flange(disc)], UP) == 0.0
    assert flats_in_jaws([flange(disc)], SIDEWAYS) == pytest.approx(80.0, rel=1e-3)


def test_only_what_faces_its_like_counts():
    """A slot's sides are flat for 60 of 100 mm: two half circles of 20 mm close it. A right triangle has no two."""
    slot = ((20.0, 0.0, 0.0), (80.0, 0.0, 1.0), (80.0, 40.0, 0.0), (20.0, 40.0, 1.0))
    assert flats_in_jaws([flange(slot)], UP) == pytest.approx(60.0)
    triangle = ((0.0, 0.0, 0.0), (60.0, 0.0, 0.0), (0.0, 60.0, 0.0))
    assert flats_in_jaws([flange(triangle)], UP) == 0.0


def test_a_round_lug_takes_its_width_away():
    """The same slot with a half round lug 40 mm wide on one side: 20 of its 60 mm are left on both."""
    lugged = (
        (20.0, 0.0, 0.0),
        (30.0, 0.0, 1.0),
        (70.0, 0.0, 0.0),
        (80.0, 0.0, 1.0),
        (80.0, 40.0, 0.0),
        (20.0, 40.0, 1.0),
    )
    assert flats_in_jaws([flange(lugged)], UP) == pytest.approx(20.0)


def test_a_face_set_at_an_angle_is_none():
    assert flats_in_jaws([flange(box(100.0, 60.0))], (0.0, 0.6, 0.8)) == 0.0


@pytest.mark.parametrize(
    ("up", "level", "held"), [(UP, -1.0, False), (UP, 1.0, True), (SIDEWAYS, -1.0, False), (SIDEWAYS, 5.0, True)]
)
def test_jaws_hold_only_the_flanges_that_reach_down_into_them(up, level, held):
    """A flange from 0 to 12 mm along its z, its outline from 0 to 60 mm along its y."""
    plate = flange(box(100.0, 60.0))
    assert flanges_below([plate], up, level) == ([plate] if held else [])
