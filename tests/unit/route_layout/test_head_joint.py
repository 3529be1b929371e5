"""The head joint: seats clear of root blends, stock lengths, lands."""

from dataclasses import replace
from math import sqrt

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, HeadHole
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.head_joint import head_flange, head_gasket, head_screws, head_thickness, port_blends
from tractwright.route.layout.screws import head_radius
from tractwright.standards.engagement import engagement_needed_mm
from tractwright.standards.screws import washer


def only_screw(pattern, sheet, held=None):
    (screw,) = head_screws(pattern.banks[0], "", pattern, sheet, held or Held())
    return screw


@pytest.mark.parametrize("gap", [0.6, 1.5, 3.0, 4.5, 6.0, 7.0])
def test_a_seat_is_raised_until_the_head_clears_the_blend(pattern, sheet, gap):
    """Brute force: a blend of 6 mm rolled between skin and flange, its width at the head's lower edge."""
    made = sheet(runner={"wall": 4.0, "root_blend": 6.0}, head={"flange": 12.0})
    beside = 20.0 + 4.0 + gap + head_radius("M8")
    height = only_screw(pattern(beside, depth_mm=60.0), made).standoff_mm
    width = 6.0 - sqrt(36.0 - (6.0 - height) ** 2) if height < 6.0 else 0.0
    assert width <= gap - 0.5
    lower = max(height - 0.5, 0.0)
    if height > 3.0:  # lower posts are not worth cutting
        assert 6.0 - sqrt(36.0 - (6.0 - lower) ** 2) > gap - 0.56


def test_a_silent_sheet_lets_the_root_give_before_a_post_is_cut(pattern, sheet):
    """5.6 mm lie between washer and skin, 0.55 of it the head's own room: 5.0 mm of root to the half below, and no post."""
    here = pattern(20.0 + 4.0 + 5.6 + head_radius("M8"), depth_mm=60.0)
    silent = sheet(runner={"wall": 4.0}, head={"flange": 12.0})
    assert port_blends(here.banks[0], "", here, silent, Held())["p1"] == 5.0
    assert only_screw(here, silent).standoff_mm == 0.0
    told = sheet(runner={"wall": 4.0, "root_blend": 6.0}, head={"flange": 12.0})
    assert port_blends(here.banks[0], "", here, told, Held())["p1"] == 6.0
    assert only_screw(here, told).standoff_mm >= 3.0, "a lower post is not worth cutting"


def test_a_seat_far_from_every_skin_lies_on_the_flange(pattern, sheet):
    assert only_screw(pattern(45.0, depth_mm=60.0), sheet(head={"flange": 12.0})).standoff_mm == 0.0


@given(depth=st.floats(14.0, 40.0), flange=st.floats(8.0, 20.0), size=st.sampled_from(["M6", "M8", "M10"]))
@settings(deadline=None)
def test_a_stock_screw_is_made_to_fit_the_heads_own_thread(depth, flange, size):
    """Where the head's thread is deep enough for the screw to break first, the screw reaches that, a pitch off the bottom."""
    sheet, pattern = _sheet(flange), _pattern(size, depth)
    screw = only_screw(pattern, sheet)
    needed = engagement_needed_mm(size, "8.8", "cast aluminium")
    pitch = {"M6": 1.0, "M8": 1.25, "M10": 1.5}[size]
    tip = screw.length_mm - screw.grip_mm - washer(size).thickness_mm - sheet.head.gasket_mm
    assert tip <= depth - pitch + 1e-6
    if needed <= depth - pitch:
        assert screw.engagement_mm >= needed - 1e-6


def test_a_silent_sheet_lets_the_flange_grow_a_little(pattern, sheet):
    told, silent = sheet(head={"flange": 12.0}), sheet()
    here = pattern(45.0, thread="M8", depth_mm=15.5)
    bank = here.banks[0]
    assert head_thickness(bank, "", here, told, Held()) == 12.0
    assert 12.0 < head_thickness(bank, "", here, silent, Held()) <= 14.0
    assert only_screw(here, silent).standoff_mm == 0.0
    assert head_thickness(bank, "", here, silent, Held(values={"flange.head.thickness_mm": 16.0})) == 16.0


def test_what_is_held_of_a_screw_stays(pattern, sheet):
    values = {
        "screw.head.s1.standoff_mm": 9.0,
        "screw.head.s1.length_mm": 45.0,
        "screw.head.s1.torque_nm": 11.5,
        "screw.head.s1.post_mm": 21.0,
        "screw.head.s1.clearance_mm": 10.0,
        "screw.head.s1.property_class": "12.9",
    }
    screw = only_screw(pattern(), sheet(), Held(values=values))
    assert (screw.standoff_mm, screw.length_mm, screw.torque_nm, screw.post_mm, screw.clearance_mm) == (
        9,
        45,
        11.5,
        21,
        10,
    )
    assert (screw.property_class, screw.torque_from) == ("12.9", "held")
    assert screw.grip_mm == pytest.approx(9.0 + head_thickness(pattern().banks[0], "", pattern(), sheet(), Held()))


def test_torque_is_the_formula(pattern, sheet):
    """T = K d F: M8 8.8, proof 21.2 kN after ISO 898-1, 60 % of it at K = 0.2: 20.4 Nm."""
    assert only_screw(pattern(), sheet()).torque_nm == pytest.approx(0.2 * 8.0 * 0.6 * 21.2, rel=0.01)


def test_flange_and_gasket_are_simple_outlines(pattern, sheet):
    here = pattern()
    flange = shapely.Polygon(polyline(head_flange(here.banks[0], "", here, sheet(), Held()).contour, 0.005))
    gasket = shapely.Polygon(polyline(head_gasket(here.banks[0], "", here, sheet(), Held()).path, 0.005))
    assert flange.is_valid
    assert flange.contains(gasket)
    assert all(gasket.contains(shapely.Point(port.at_mm).buffer(20.0)) for port in here.ports)


def test_no_lift_where_no_length_helps(pattern, sheet):
    assert only_screw(pattern(45.0, depth_mm=8.0), sheet(head={"flange": 12.0})).standoff_mm == 0.0


def _sheet(flange: float) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "made up"}, "head": {"flange": flange}})


def _pattern(size: str, depth: float) -> Pattern:
    hole = HeadHole(name="h1", bank="a", at_mm=(0.0, 0.0), thread=size, depth_mm=depth, stud=False)
    return Pattern(banks=(Bank(name="a", frame=Frame()),), ports=(), head_holes=(hole,))


@pytest.mark.parametrize(("apart", "root"), [(5.9, 2.65), (10.0, 4.7), (40.0, 6.0), (4.0, 6.0)])
def test_roots_of_two_ports_of_a_cylinder_fit_between_them(pattern, sheet, apart, root):
    """Half the gap between two skins less 0.3 mm; two so near that 2.5 mm do not fit are joined, and 6 mm goes round both.
    Ports 40 mm wide with 4 mm of wall stood with roots of 6 mm in a gap of 5.9: 12 of 24 were left sharp.
    """
    made = sheet(runner={"wall": 4.0, "root_blend": 6.0}, head={"flange": 12.0})
    one = pattern(60.0, depth_mm=60.0)
    port = one.ports[0]
    two = replace(one, ports=(port, replace(port, name="p2", at_mm=(port.at_mm[0] + 48.0 + apart, port.at_mm[1]))))
    assert port_blends(two.banks[0], "", two, made, Held()) == pytest.approx({"p1": root, "p2": root})
