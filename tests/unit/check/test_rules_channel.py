"""Channels of other fluids through the head flange: laid out from the sheet, each rule at its limit and just over it."""

from dataclasses import replace
from math import hypot, pi, sqrt

import numpy as np
import pytest
from check_cases import SHEET, described_case, with_value

from tractwright.check.channel_facts import least_metal, to_air
from tractwright.design.channel_space import FLAT_BEYOND_MM, drillings, flange_of, half_mm
from tractwright.geometry.contours import polyline
from tractwright.geometry.outlines import circle
from tractwright.standards.npt import taper_pipe_thread

CARRIED = '[[room.carried]]\nname = "coolant"\nfate = "moved"\n'
STRAIGHT = """
[[channel]]
name = "coolant"
at = [41, -60]
width = "12 mm"
thread = "1/4 NPT"
carries = "coolant"
"""
BENT = """
[[channel]]
name = "coolant"
at = [0, -33]
width = "10 mm"
port_at = [0, -64]
thread = "1/4 NPT"
[head]
flange = "17 mm"
"""
EDGE = """
[[channel]]
name = "breather"
fluid = "crankcase gas"
at = [28, 16]
width = "7 mm"
leaves = "edge"
thread = "M8x1"
swing = "12 mm"
[head]
flange = "16 mm"
"""


@pytest.fixture(scope="module")
def straight(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("straight"), SHEET + CARRIED + STRAIGHT)


@pytest.fixture(scope="module")
def bent(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("bent"), SHEET + BENT)


@pytest.fixture(scope="module")
def edge(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("edge"), SHEET + EDGE)


def test_a_straight_one_stands_on_a_post_as_high_as_its_thread(straight):
    """12 mm of flange less the recess, and the post: the full thread of 1/4 NPT (ASME B1.20.1)."""
    (channel,) = straight.design.channels
    under = flange_of(channel, straight.design).thickness_mm - channel.recess_mm
    full = taper_pipe_thread("1/4 NPT").full_internal_mm
    assert full <= under + channel.height_mm < full + 0.5 + 1e-9 or channel.height_mm == 3.0
    assert channel.bore_mm == pytest.approx(taper_pipe_thread("1/4 NPT").drill_reamed_mm)
    (hole,) = drillings(channel, straight.design)
    assert hole.start_mm == pytest.approx((41.0, -60.0, under + channel.recess_mm + channel.height_mm))


def test_a_bent_one_is_drilled_twice_and_plugged(bent):
    (channel,) = bent.design.channels
    out, along = drillings(channel, bent.design)
    assert channel.plug == "1/8 NPT"
    assert along.thread == channel.plug
    assert channel.way_deg == pytest.approx(-90.0)
    assert along.start_mm[1] == pytest.approx(-33.0 - channel.edge_mm)
    assert along.start_mm[2] == pytest.approx(8.5)
    assert out.start_mm[2] - out.hole_depth_mm == pytest.approx(channel.level_mm)


def test_the_flange_goes_round_it_and_the_gasket_too(straight, sound):
    (plain,), (wider,) = ([f for f in case.design.flanges if f.joint == "head"] for case in (sound, straight))
    assert min(y for _, y, _ in wider.contour) < min(y for _, y, _ in plain.contour) - 20.0
    (seal,) = (seal for seal in straight.design.seals if seal.joint == "head")
    assert min(polyline(seal.path)[:, 1]) == pytest.approx(-60.0 - 6.0 - 4.0, abs=0.1)


def test_nothing_of_the_flange_is_met_by_the_flat_in_its_edge(edge):
    """The drilling comes out past every other metal of the flange that a cutter as wide as its flat would meet."""
    (channel,) = edge.design.channels
    contour = np.array(flange_of(channel, edge.design).contour)[:, :2]
    beside = np.abs(contour[:, 0] - 28.0) < half_mm("M8x1") + FLAT_BEYOND_MM
    reach = contour[beside, 1].max() - 16.0
    assert reach <= channel.edge_mm + half_mm("M8x1") + 0.3


def test_what_it_carries_is_built(straight, verdict):
    assert verdict(straight, "fit.carried_built", "carried.coolant") == "ok"


def test_the_courses_leave_its_way_free(straight):
    from tractwright.route.layout.channels import ways_to

    (channel,) = straight.design.channels
    flange = flange_of(channel, straight.design)
    post, free = ways_to(channel, flange.frame, flange.thickness_mm)
    assert post.length_mm == channel.height_mm
    assert (free.length_mm, free.radius_mm) == (channel.reach_mm, channel.swing_mm / 2.0 + 1.0)


def _moved(case, **values):
    (channel,) = case.design.channels
    design = replace(case.design, channels=(replace(channel, **values),))
    return replace(case, described=replace(case.described, design=design))


def _by(case, judged, rule):
    return {tuple(name.split("+")): finding for name, finding in judged(case, rule).items()}


def test_wall_channel_holds_at_its_limit(edge, judged):
    """Beside port p2's round passage of 36 mm: an opening of 7 mm whose rim is 3 mm off it."""
    case = _moved(edge, at_mm=(18.0 + 3.0 + 3.5, 0.0), level_mm=8.0, way_deg=90.0)
    (air,) = (f for names, f in _by(case, judged, "wall.channel").items() if "runner.r2" in names)
    assert air.measured == pytest.approx(3.0, abs=0.02)
    case = _moved(edge, at_mm=(18.0 + 3.03 + 3.5, 0.0), level_mm=8.0, way_deg=90.0)
    (air,) = (f for names, f in _by(case, judged, "wall.channel").items() if "runner.r2" in names)
    assert air.verdict == "ok"


def test_wall_channel_breaks_just_over(edge, judged):
    case = _moved(edge, at_mm=(18.0 + 2.9 + 3.5, 0.0), level_mm=8.0, way_deg=90.0)
    (air,) = (f for names, f in _by(case, judged, "wall.channel").items() if "runner.r2" in names)
    assert (air.verdict, air.measured) == ("stop", pytest.approx(2.9, abs=0.02))


@pytest.mark.parametrize(("bore", "expected"), [(6.0, "ok"), (11.1, "stop")])
def test_metal_over_and_under_a_drilling(edge, judged, bore, expected):
    """16 mm of flange: M8 leaves 4 mm over and under; a bore of 11.1 mm 2.45 mm."""
    (_, rest), *_ = (
        (names, f) for names, f in _by(_moved(edge, bore_mm=bore), judged, "wall.channel").items() if len(names) == 1
    )
    assert rest.verdict == expected


def test_metal_to_a_screws_hole(edge):
    """A screw's hole of 9 mm stands at (41, 34); the drilling runs up at x = 33, its bore of 6 mm past it and the M8 thread
    from its mouth down to some depth: to the thread's end as corner of a rectangle 4 mm to the side.
    """
    (channel,) = edge.design.channels
    near = _moved(edge, at_mm=(33.0, 16.0), way_deg=90.0)
    found = least_metal(near, near.design.channels[0])
    mouth = drillings(near.design.channels[0], near.design)[0]
    ends = mouth.start_mm[1] - mouth.thread_mm
    to_thread = hypot(41.0 - 33.0 - 4.0, max(ends - 34.0, 0.0)) - 4.5
    assert found.to.startswith("screw.head.")
    assert found.mm == pytest.approx(min(to_thread, 41.0 - 33.0 - 4.5 - 3.0), abs=0.02)
    assert to_air(edge, channel).mm > 3.0


def test_metal_to_another_channel(edge, judged):
    (channel,) = edge.design.channels
    other = replace(channel, name="other", at_mm=(28.0 - 7.0 - 1.0, 60.0), edge_mm=30.0)
    case = replace(edge, described=replace(edge.described, design=replace(edge.design, channels=(channel, other))))
    found = [f for names, f in _by(case, judged, "wall.channel").items() if "channel.other" in names]
    assert found
    assert found[0].verdict == "stop"


def test_seal_channel_land_holds_at_its_limit(edge, judged):
    """An opening of 7 mm beside a port of 36 mm: 4 mm of gasket between."""
    (found,) = judged(_moved(edge, at_mm=(18.0 + 4.0 + 3.5, 0.0)), "seal.channel_land").values()
    assert found.measured == pytest.approx(4.0, abs=0.01)
    (found,) = judged(_moved(edge, at_mm=(18.0 + 4.01 + 3.5, 0.0)), "seal.channel_land").values()
    assert found.verdict == "ok"


def test_seal_channel_land_breaks_just_over(edge, judged):
    (found,) = judged(_moved(edge, at_mm=(18.0 + 3.95 + 3.5, 0.0)), "seal.channel_land").values()
    assert found.verdict == "stop"
    (found,) = judged(_moved(edge, at_mm=(18.0, 0.0)), "seal.channel_land").values()
    assert found.measured < 0.0


def test_cut_channel_drill_holds_at_its_limit(edge, verdict):
    assert verdict(_moved(edge, bore_mm=4.0, edge_mm=40.0), "cut.channel_drill", "channel.breather") == "ok"


def test_cut_channel_drill_breaks_just_over(edge, verdict):
    assert verdict(_moved(edge, bore_mm=4.0, edge_mm=40.1), "cut.channel_drill", "channel.breather") == "look"


def _half(diameter):
    """The bore of half the area of a circle."""
    return diameter / sqrt(2.0)


def test_fit_channel_narrow_holds_at_its_limit(edge, judged):
    case = _moved(edge, outline=circle(12.0), bore_mm=_half(12.0))
    (found,) = judged(case, "fit.channel_narrow").values()
    assert (found.measured, found.verdict) == (pytest.approx(0.5), "ok")


def test_fit_channel_narrow_breaks_just_over(edge, judged):
    case = _moved(edge, outline=circle(12.0), bore_mm=_half(12.0) - 0.01)
    (found,) = judged(case, "fit.channel_narrow").values()
    assert found.verdict == "look"
    assert found.measured == pytest.approx(pi / 4 * case.design.channels[0].bore_mm ** 2 / (pi / 4 * 144.0))


def _warm(case, degc):
    facts = tuple(item.model_copy(update={"warm_degc": degc}) for item in case.sheet.channel)
    return replace(case, sheet=case.sheet.model_copy(update={"channel": facts}))


def test_join_channel_hot_holds_at_its_limit(straight, verdict):
    assert verdict(_warm(straight, 150.0), "join.channel_hot", "channel.coolant") == "ok"
    assert verdict(straight, "join.channel_hot", "channel.coolant") == "ok"


def test_join_channel_hot_breaks_just_over(straight, verdict):
    assert verdict(_warm(straight, 150.1), "join.channel_hot", "channel.coolant") == "look"


def test_exhaust_gas_is_hot_where_the_sheet_says_nothing(straight, verdict):
    assert verdict(_moved(straight, fluid="exhaust gas"), "join.channel_hot", "channel.coolant") == "look"


def test_fit_channel_way_holds_at_its_limit(straight, judged):
    """Straight runners at y = 0 are 18 + 4 mm wide with a root of 6: a way of 20 mm round (41, -60) is free."""
    (found,) = judged(_moved(straight, reach_mm=60.0, swing_mm=20.0), "fit.channel_way").values()
    assert (found.measured, found.verdict) == (pytest.approx(60.0), "ok")


def test_fit_channel_way_breaks_just_over(straight, judged):
    """Screw s3 stands 26 mm off: a way of 42 mm meets its head or washer of 16 mm at 26 - 8 = 18 < 21."""
    (found,) = judged(_moved(straight, height_mm=0.0, swing_mm=42.0), "fit.channel_way").values()
    assert found.verdict == "stop"
    assert found.measured < 50.0


def test_a_way_ends_at_the_head_itself(edge, judged):
    """8 mm over the head's face: a way 12 mm wide passes, one of 18 mm does not."""
    (fine,) = judged(_moved(edge, swing_mm=12.0), "fit.channel_way").values()
    (met,) = judged(_moved(edge, swing_mm=18.0), "fit.channel_way").values()
    assert (fine.verdict, met.verdict) == ("ok", "stop")


def test_screws_on_both_sides_press_its_gasket_too(straight, judged):
    (found,) = judged(straight, "seal.port_screws").values()
    assert found.subject == "channel.coolant+seal.head"
    assert found.verdict == "look"


def test_a_channels_numbers_are_paths(straight):
    changed = with_value(straight.design, "channel.coolant.bore_mm", 9.0)
    assert changed.channels[0].bore_mm == 9.0


def test_a_fitting_in_the_edge_beside_the_head_is_told_what_helps(edge, judged, having):
    """Half a spanner of 40 mm is more than half of a flange of 16 mm: no other place in that edge helps."""
    wide = having(edge, {"channel.breather.swing_mm": 40.0})
    message = judged(wide, "fit.channel_way")["channel.breather"].message
    assert "ends at the head face: a thicker flange, or a fitting that stands out" in message


def test_a_fitting_in_the_edge_turns_beside_the_head(tmp_path, judged):
    """An open spanner of an M8x1 fitting turns within 16 mm of flange: the sheet needs to say nothing of it."""
    case = described_case(tmp_path, SHEET + EDGE.replace('swing = "12 mm"\n', ""))
    assert judged(case, "fit.channel_way")["channel.breather"].verdict == "ok"


def test_a_silent_flange_grows_for_a_channel_in_it(edge, judged, having):
    """A flange of 12 mm, as assumed, leaves an M8x1 drilling 2 mm to either face: 13 mm give 2.5; a spanner of 14 mm beside
    the head wants half a millimetre more than 14.
    """
    breather = {"level_mm": 6.0, "recess_mm": 9.5, "swing_mm": 14.0}
    thin = having(
        edge, {"flange.head.thickness_mm": 12.0} | {f"channel.breather.{key}": value for key, value in breather.items()}
    )
    fixes = [f.fix for rule in ("wall.channel", "fit.channel_way") for f in judged(thin, rule).values() if f.fix]
    assert {(fix.path, fix.value) for fix in fixes} == {
        ("flange.head.thickness_mm", 13.0),
        ("flange.head.thickness_mm", 14.5),
    }
