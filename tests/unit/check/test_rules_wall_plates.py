"""Rules on plates, grooves, blind holes and roots, and on what a cutter makes of holes and roots: limit and just over."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.route.layout.outlines import box

PLENUM = "plenum.plenum"


def _neck_skin(case, having, left_mm):
    """A neck screw drilled until so much is left before its point comes into the plenum: tap drill 5.0, point 1.5 mm."""
    screw = next(screw for screw in case.design.screws if screw.joint == "neck")
    plenum = case.design.plena[0]
    start = np.array(screw.seat_mm) + np.array(screw.direction) * screw.grip_mm
    metal = abs(float(plenum.frame.to_local(start)[0])) - plenum.width_mm / 2
    return having(case, {f"screw.{screw.name}.drill_depth_mm": metal - 1.5 - left_mm}), f"screw.{screw.name}"


def test_wall_drill_skin_holds_at_its_limit(sound, judged, having):
    case, subject = _neck_skin(sound, having, 1.5)
    finding = judged(case, "wall.drill_skin")[subject]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(1.5, abs=1e-6)


def test_wall_drill_skin_breaks_just_over(sound, verdict, having):
    case, subject = _neck_skin(sound, having, 1.49)
    assert verdict(case, "wall.drill_skin", subject) == "stop"


def test_a_column_is_as_tall_as_the_plenum(sound, judged, having):
    """Floor and depth, less the drill and its point of 1.5 mm."""
    plenum = sound.design.plena[0]
    deep = plenum.floor_mm + plenum.depth_mm - 1.5 - 1.4
    finding = judged(having(sound, {"screw.cover.s1.drill_depth_mm": deep}), "wall.drill_skin")["screw.cover.s1"]
    assert finding.measured == pytest.approx(1.4, abs=1e-6)
    assert finding.verdict == "stop"


def test_wall_flange_holds_at_its_limit(sound, verdict, having):
    """0.75 of M8."""
    assert verdict(having(sound, {"flange.head.thickness_mm": 6.0}), "wall.flange", "flange.head") == "ok"


@pytest.mark.parametrize(
    ("flange", "thickness", "words", "cure"),
    [
        ("head", 5.99, "screws", 6.0),
        ("cover", 4.49, "screws", 4.5),
        ("mouth", 7.5, "threads strip", 8.0),
        ("floor", 7.49, "pin", 7.5),
    ],
)
def test_wall_flange_breaks_just_over(sound, judged, having, flange, thickness, words, cure):
    """M8 x 0.75; M6 x 0.75; 7.6 mm of thread for M6 8.8 in plate (an open package); a pin of 6 mm and 1.5 mm."""
    finding = judged(having(sound, {f"flange.{flange}.thickness_mm": thickness}), "wall.flange")[f"flange.{flange}"]
    assert finding.verdict == "stop"
    assert words in finding.message
    assert finding.fix.value == cure


def test_a_flange_under_a_thick_cord_holds_its_groove(sound, judged, having):
    """A cord of 5.33 has a groove of 4.065 mm in the middle of its limits, and 2 mm under it."""
    case = having(sound, {"seal.cover.section_mm": 5.33, "seal.cover.groove_depth_mm": 4.065})
    assert judged(case, "wall.flange")["flange.cover"].limit == pytest.approx(6.065)


def test_what_a_thin_flange_cannot_hold_is_said_once(sound, judged, having):
    thin = having(sound, {"flange.mouth.thickness_mm": 5.0})
    assert judged(thin, "wall.flange")["flange.mouth"].verdict == "stop"
    for rule in ("join.engagement", "join.dowel_size", "seal.bow"):
        assert not [f for f in judged(thin, rule).values() if f.verdict == "stop"], rule


def _opening(case, judged, having, left_mm):
    """The plenum made shallower until so much wall is left over the throttle's opening."""
    plenum, throttle = case.design.plena[0], case.design.throttles[0]
    height = float(plenum.frame.to_local(np.array(throttle.frame.origin_mm))[2])
    depth = height + throttle.bore_mm / 2 - plenum.floor_mm + left_mm
    return having(case, {"plenum.plenum.depth_mm": depth})


def test_wall_throttle_opening_holds_at_its_limit(sound, judged, verdict, having):
    case = _opening(sound, judged, having, 1.5)
    assert verdict(case, "wall.throttle_opening", "throttle.plenum") == "ok"


def test_wall_throttle_opening_breaks_just_over(sound, judged, having):
    case = _opening(sound, judged, having, 1.49)
    finding = judged(case, "wall.throttle_opening")["throttle.plenum"]
    assert finding.verdict == "stop"
    assert "cover" in finding.message
    mended = having(case, {finding.fix.path: finding.fix.value})
    assert judged(mended, "wall.throttle_opening")["throttle.plenum"].verdict == "ok"


def _mouth_edge(case, having, left_mm):
    """A mouth flange whose edges pass the skins (bore 38, wall 4) with the root of 6 mm and so much more."""
    half = 19.0 + 4.0 + 6.0 + left_mm
    return having(
        case,
        {"flange.mouth.contour": box((0.0, 0.0), 164.0 + 2 * half, 2 * half, 5.0), "runner.r1.mouth_blend_mm": 6.0},
    )


def test_wall_root_land_holds_at_its_limit(sound, judged, having):
    finding = judged(_mouth_edge(sound, having, 0.02), "wall.root_land")["flange.mouth+runner.r1"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.02, abs=0.02)


def test_wall_root_land_breaks_just_over(sound, judged, having):
    finding = judged(_mouth_edge(sound, having, -0.05), "wall.root_land")["flange.mouth+runner.r1"]
    assert finding.verdict == "stop"
    assert (finding.fix.path, finding.fix.value) == ("runner.r1.mouth_blend_mm", 5.5)


def test_cut_drill_holds_at_its_limit(sound, verdict, having):
    """Eight times the tap drill of M6, 5.0 mm."""
    case = having(sound, {"screw.cover.s1.drill_depth_mm": 40.0})
    assert verdict(case, "cut.drill", "screw.cover.s1") == "ok"


@pytest.mark.parametrize(
    ("name", "field", "value"), [("cover.s1", "drill_depth_mm", 40.1), ("head.s1", "grip_mm", 72.1)]
)
def test_cut_drill_breaks_just_over(sound, verdict, having, name, field, value):
    assert verdict(having(sound, {f"screw.{name}.{field}": value}), "cut.drill", f"screw.{name}") == "look"


def test_cut_root_holds_at_its_limit(sound, verdict, having):
    assert verdict(having(sound, {"runner.r1.port_blend_mm": 2.0}), "cut.root", "runner.r1") == "ok"


def test_cut_root_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {"runner.r1.mouth_blend_mm": 1.99}), "cut.root")["runner.r1"]
    assert finding.verdict == "look"
    assert finding.fix.path == "runner.r1.mouth_blend_mm"


def test_a_part_without_plena_asks_nothing_of_blind_holes(sound, judged):
    design = replace(sound.design, plena=())
    assert not judged(replace(sound, described=replace(sound.described, design=design)), "wall.drill_skin")


def _cornered(case, having, bend_mm):
    """A corner whose cutter bends so far: d = (64 F L^3/(3 pi E b))^(1/4) / 0.8, half of it the radius (a cantilever)."""
    deep = case.design.plena[0].depth_mm
    core = (64.0 * 20.0 * deep**3 / (3.0 * np.pi * 600_000.0 * bend_mm)) ** 0.25
    return having(case, {"plenum.plenum.corner_radius_mm": core / 0.8 / 2.0})


def test_cut_stiff_holds_at_its_limit(sound, verdict, having):
    assert verdict(_cornered(sound, having, 0.05), "cut.stiff", PLENUM) == "ok"


def test_cut_stiff_breaks_just_over(sound, judged, having):
    case = _cornered(sound, having, 0.0501)
    finding = judged(case, "cut.stiff")[PLENUM]
    assert finding.verdict == "look"
    mended = having(case, {finding.fix.path: finding.fix.value})
    assert judged(mended, "cut.stiff")[PLENUM].verdict == "ok"
