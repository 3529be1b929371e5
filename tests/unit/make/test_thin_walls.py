"""Thin walls and long tools under the cut."""

from dataclasses import replace

import pytest
from plenum_pieces import Box, plenum_pieces

from tractwright.design.records import Design
from tractwright.job.shop_tables import Shop
from tractwright.make.cutting import wall_bend_mm, wall_hz
from tractwright.make.operations import largest
from tractwright.make.sway import DAMPING, magnified
from tractwright.make.thin_walls import thin_wall_notes
from tractwright.reach.cutters import shop_cutters
from tractwright.standards.materials import material
from tractwright.strength.side_held import side_held

METAL = material("6061-T651")


def test_a_long_wall_held_at_its_ends_too_rings_as_one_held_at_its_foot():
    """Far from its ends a wall does not feel them: the cantilever plate strip in closed form, within 3 %."""
    far = side_held(1200.0, 60.0, 4.0, METAL)
    assert far.frequency_hz == pytest.approx(wall_hz(60.0, 4.0), rel=0.03)


def test_ends_stiffen_a_short_wall():
    short, middling = side_held(60.0, 60.0, 4.0, METAL), side_held(200.0, 60.0, 4.0, METAL)
    assert short.give_mm_n < 0.7 * middling.give_mm_n
    assert short.frequency_hz > 1.5 * middling.frequency_hz
    assert middling.give_mm_n < 1.3 * wall_bend_mm(1.0, 60.0, 4.0, 200.0)


def test_give_of_a_square_wall_by_the_cube_of_its_thickness():
    one, two = side_held(100.0, 100.0, 2.0, METAL), side_held(100.0, 100.0, 4.0, METAL)
    assert one.give_mm_n / two.give_mm_n == pytest.approx(8.0, rel=0.06)
    assert two.frequency_hz / one.frequency_hz == pytest.approx(2.0, rel=0.03)


def test_a_push_to_and_fro_is_magnified_as_one_mode_is():
    """Closed form: steady at 0 Hz, 1/(2 z) in step, next to nothing far above."""
    assert magnified(0.0, 500.0) == pytest.approx(1.0)
    assert magnified(500.0, 500.0) == pytest.approx(0.5 / DAMPING)
    assert magnified(5000.0, 500.0) == pytest.approx(1.0 / 99.0, rel=1e-3)


def with_walls(thick: float, deep: float) -> Design:
    design = plenum_pieces(Box())
    return replace(design, plena=tuple(replace(one, wall_mm=thick, depth_mm=deep) for one in design.plena))


def test_a_tall_thin_wall_is_told_and_a_low_thick_one_is_not():
    assert any(
        "long wall" in note and "free corner" in note for note in thin_wall_notes(Shop(), with_walls(2.0, 100.0))
    )
    assert not any("gives way" in note for note in thin_wall_notes(Shop(), with_walls(20.0, 30.0)))


def test_teeth_near_a_wall_s_own_frequency_are_told_with_what_they_make_of_it():
    """The shop's speed set so that teeth come round at the wall's own frequency, and far below."""
    design = with_walls(4.0, 90.0)
    plenum = design.plena[0]
    own = side_held(max(plenum.width_mm, plenum.height_mm), 90.0, 4.0, METAL).frequency_hz
    cutter = largest(Shop(), ("flat", "ball", "bull"), 16.0, 90.0) or shop_cutters(Shop())[0]
    for times, told in ((1.0, True), (0.4, False)):
        shop = Shop.model_validate(
            {"spindle": f"{times * own * 60.0 / cutter.teeth:.3f} rpm", "cutting_speed_m_min": 3000}
        )
        assert any("three sides rings" in note for note in thin_wall_notes(shop, design)) == told
