"""The sizes of a plenum before and after its courses are known."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.chamber import at_pitch, first_chamber, neck_reach, throttle_height


@pytest.mark.parametrize("volume", [3.0, 4.5, 6.0])
def test_the_volume_is_the_wanted_one(sheet, wanted, volume):
    """Closed form: a box with rounded upright edges, (w h - (4 - pi) r^2) d."""
    chamber = first_chamber("plenum", 4, sheet(), wanted(volume_l=volume), Held())
    area = chamber.width_mm * chamber.height_mm - 0.858407346 * chamber.corner_mm**2
    assert area * chamber.depth_mm / 1e6 == pytest.approx(volume, rel=1e-8)
    assert chamber.inside_mm3 / 1e6 == pytest.approx(volume, rel=1e-8)


def test_a_wider_pitch_makes_a_wider_and_shallower_box(sheet, wanted):
    first = first_chamber("plenum", 4, sheet(), wanted(), Held())
    wider = at_pitch(first, first.pitch_mm + 20.0, sheet(), wanted(), Held())
    assert wider.width_mm == pytest.approx(first.width_mm + 60.0)
    assert wider.depth_mm <= first.depth_mm
    assert wider.inside_mm3 == pytest.approx(first.inside_mm3)


def test_two_rows_are_as_wide_as_half_the_mouths_and_as_high_as_two(sheet, wanted):
    one = first_chamber("plenum", 8, sheet(), wanted(volume_l=2.0), Held())
    two = first_chamber("plenum", 8, sheet(), wanted(volume_l=2.0), Held(), rows=2)
    assert one.row_mm == pytest.approx(7 * one.pitch_mm)
    assert two.row_mm == pytest.approx(3 * two.pitch_mm)
    assert (one.rows_mm, two.rows_mm) == (0.0, pytest.approx(two.pitch_mm))
    assert two.width_mm == pytest.approx(one.width_mm - 4 * one.pitch_mm)
    assert two.height_mm >= two.rows_mm + two.bore_mm + 2 * two.lip_mm
    wider = at_pitch(two, two.pitch_mm + 20.0, sheet(), wanted(volume_l=2.0), Held())
    assert wider.rows_mm == pytest.approx(two.rows_mm)
    assert wider.nearest_mm == pytest.approx(two.pitch_mm)


@given(bore=st.floats(40, 95), place=st.sampled_from(["end_1", "end_2", "side_1", "side_2", "top"]))
@settings(deadline=None)
def test_there_is_room_for_the_throttle(bore, place):
    made = _sheet(place)
    chamber = first_chamber("plenum", 4, made, _wanted(bore), Held())
    if place == "top":
        assert 2 * neck_reach(chamber) + 2 * 4.0 <= chamber.height_mm + 2 * chamber.wall_mm
        return
    axis = throttle_height(chamber)
    assert axis - bore / 2 >= chamber.floor_mm + 3.0
    assert axis + bore / 2 <= chamber.floor_mm + chamber.depth_mm - 2.0
    assert axis - neck_reach(chamber) >= chamber.floor_mm + 4.0
    if place.startswith("end"):
        assert bore <= chamber.height_mm - 8.0


def test_held_numbers_are_honoured(sheet, wanted):
    values = {
        "plenum.plenum.depth_mm": 77.0,
        "plenum.plenum.height_mm": 111.0,
        "plenum.plenum.width_mm": 401.0,
        "plenum.plenum.wall_mm": 9.5,
        "plenum.plenum.floor_mm": 17.0,
        "plenum.plenum.corner_radius_mm": 21.0,
        "flange.cover.thickness_mm": 13.0,
        "flange.mouth.thickness_mm": 14.0,
        "throttle.plenum.bore_mm": 61.0,
    }
    chamber = first_chamber("plenum", 4, sheet(), wanted(), Held(values=values))
    sizes = (
        chamber.depth_mm, chamber.height_mm, chamber.width_mm, chamber.wall_mm, chamber.floor_mm, chamber.corner_mm,
        chamber.cover_mm, chamber.mouth_flange_mm, chamber.throttle_mm,
    )  # fmt: skip
    assert sizes == tuple(values.values())


def test_the_cords_corner_fits_over_the_walls(sheet, wanted):
    """Three sections at the groove's middle (common practice), whatever corner the sheet asks for."""
    chamber = first_chamber("plenum", 4, sheet(plenum={"corner_radius": 3.0}, joint={"cord": 3.53}), wanted(), Held())
    assert chamber.corner_mm + chamber.wall_mm / 2 >= 3 * 3.53 - 1e-9


def test_a_deep_box_gets_corners_a_cutter_can_reach(sheet, wanted):
    chamber = first_chamber("plenum", 3, sheet(shop={"longest_stickout": 4.0}), wanted(volume_l=5.0), Held())
    assert chamber.depth_mm / (2 * chamber.corner_mm) <= 4.0
    assert chamber.inside_mm3 == pytest.approx(5e6)


def _sheet(place: str) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "made up"}, "throttle": {"place": place}})


def _wanted(throttle_mm: float) -> Wanted:
    return Wanted(
        length_mm=300, bore_mm=42, port_area_mm2=1385, mouth_area_mm2=1385, plenum_volume_l=2.0,
        throttle_bore_mm=throttle_mm, lip_radius_mm=8, why=(),
    )  # fmt: skip
