"""Rules on where bosses stand: each holds at its limit and breaks just over it."""

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest
from bossed_cases import FITTING, WALL, boss, ceiling, of, turned

from tractwright.check.boss_facts import MOST_LEAN_DEG, MOST_WIDE
from tractwright.check.rules.fit_boss_level import LEAST_DEG as LEVEL_DEG
from tractwright.check.rules.fit_boss_neighbours import TOUCHING_MM
from tractwright.job.boss_tables import BossFacts


def test_bosses_stand_where_the_sheet_says(bossed):
    """Straight runners along z from the head: station, clock angle and height of the wall by plain sums."""
    fitting = boss(bossed, FITTING)
    assert fitting.at_mm[2] == pytest.approx(0.4 * 260.0, abs=1e-6)
    assert fitting.at_mm[0] == pytest.approx(0.0, abs=1e-6)
    assert fitting.at_mm[1] == pytest.approx(
        18.0 + 0.4 * 1.0 + 4.0, abs=0.05
    )  # a bore from 36 to 38 mm, a wall of 4 mm
    assert fitting.axis == pytest.approx((0.0, 1.0, 0.0), abs=0.01)
    wall, plenum = boss(bossed, WALL), bossed.design.plena[0]
    assert wall.at_mm[1] == pytest.approx(plenum.height_mm / 2 + plenum.wall_mm)


def test_a_thread_of_a_boss_sets_its_sizes(bossed):
    """M10x1: drill 9 mm; thread 1.5 x 10 mm of metal, 4 mm of it the wall's; 10 + 2 x 3 mm across."""
    fitting = boss(bossed, FITTING)
    assert (fitting.hole_mm, fitting.thread_mm, fitting.top_mm) == (9.0, 15.0, 16.0)
    assert fitting.height_mm == pytest.approx(11.5, abs=0.5)


def test_fit_boss_placed_holds_at_its_limit(bossed, judged):
    assert all(finding.verdict == "ok" for finding in judged(bossed, "fit.boss_placed").values())


def test_fit_boss_placed_breaks_just_over(bossed, judged, having):
    lost = bossed.sheet.model_copy(update={"boss": (BossFacts(name="lost", runners=("r9",)),)})
    finding = judged(replace(bossed, sheet=lost), "fit.boss_placed")["boss.lost.r9"]
    assert finding.verdict == "stop"
    assert "r1, r2, r3" in finding.message
    outside = judged(having(bossed, {f"{FITTING}.station": 0.9999}), "fit.boss_placed")[FITTING]
    assert outside.verdict == "stop"


def _off_flange(case, having, left_mm):
    """The boss moved along its straight runner until so much is left beside the head flange."""
    item, flange = boss(case, FITTING), next(f for f in case.design.flanges if f.name == "head")
    low = flange.thickness_mm + left_mm + item.foot_mm / 2 + item.blend_mm
    return having(case, {f"{FITTING}.at_mm": (item.at_mm[0], item.at_mm[1], low), f"{FITTING}.axis": (0.0, 1.0, 0.0)})


def test_fit_boss_foot_holds_at_its_limit(bossed, judged, having):
    finding = of(judged(_off_flange(bossed, having, 6.0), "fit.boss_foot"), FITTING)
    assert finding.measured == pytest.approx(6.0, abs=1e-6)
    assert (finding.limit, finding.verdict) == (6.0, "ok")


@pytest.mark.parametrize(("left", "verdict"), [(5.99, "look"), (-0.01, "stop")])
def test_fit_boss_foot_breaks_just_over(bossed, judged, having, left, verdict):
    assert of(judged(_off_flange(bossed, having, left), "fit.boss_foot"), FITTING).verdict == verdict


def test_fit_boss_width_holds_at_its_limit(bossed, judged, having):
    finding = judged(having(bossed, {f"{FITTING}.foot_mm": _widest(bossed)}), "fit.boss_width")[FITTING]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(MOST_WIDE)


def test_fit_boss_width_breaks_just_over(bossed, judged, having):
    wide = {f"{FITTING}.foot_mm": _widest(bossed) + 0.01}
    assert judged(having(bossed, wide), "fit.boss_width")[FITTING].verdict == "stop"


def _widest(case):
    """The foot that fills the share of the runner: the half width of a round one is that of bore and wall."""
    model = case.tubes["r2"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    half = float(np.abs(model.outer_mm[station][:, 0]).max())
    return 2 * (MOST_WIDE * half - boss(case, FITTING).blend_mm)


def test_fit_boss_lean_holds_at_its_limit(bossed, judged, having):
    assert judged(_leaning(bossed, judged, having, MOST_LEAN_DEG), "fit.boss_lean")[FITTING].verdict == "ok"


def test_fit_boss_lean_breaks_just_over(bossed, judged, having):
    assert judged(_leaning(bossed, judged, having, MOST_LEAN_DEG + 0.01), "fit.boss_lean")[FITTING].verdict == "stop"


def _leaning(case, judged, having, degrees):
    """So far off the skin's normal: a skin that widens by 1 mm in 260 has its own normal a little off square."""

    def at(angle):
        return having(case, {f"{FITTING}.axis": (0.0, cos(radians(angle)), sin(radians(angle)))})

    off = judged(at(60.0), "fit.boss_lean")[FITTING].measured - 60.0
    assert abs(off) < 0.5
    return at(degrees - off)


def test_the_side_of_a_square_boss_meets_a_round_skin_as_sums_say(bossed, judged):
    """On a straight runner of outer radius r the normal has turned by asin(w / r) at the flanks of a foot w wide."""
    item, model = boss(bossed, FITTING), bossed.tubes["r2"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    radius = float(np.abs(model.outer_mm[station][:, 0]).max())
    wide = item.foot_mm / 2 + item.blend_mm
    finding = judged(bossed, "fit.boss_level")[FITTING]
    assert finding.measured == pytest.approx(90.0 - 3.0 - np.degrees(np.arcsin(wide / radius)), abs=4.0)  # 7.5 deg grid


def _level_at(case, judged, having, degrees):
    """A draft that takes the rest of the angle: a wider foot under the same ring, its root radius less by as much."""
    item = boss(case, FITTING)
    now = judged(case, "fit.boss_level")[FITTING].measured
    drafted = radians(3.0 + now - degrees)
    foot = item.top_mm + 2 * item.height_mm * np.tan(drafted)
    root = item.blend_mm - (foot - item.foot_mm) / 2
    return having(case, {f"{FITTING}.foot_mm": foot, f"{FITTING}.blend_mm": root})


def test_fit_boss_level_holds_at_its_limit(bossed, judged, having):
    finding = judged(_level_at(bossed, judged, having, LEVEL_DEG + 0.01), "fit.boss_level")[FITTING]
    assert (finding.measured, finding.verdict) == (pytest.approx(LEVEL_DEG, abs=0.05), "ok")


def test_fit_boss_level_breaks_just_over(bossed, judged, having):
    finding = judged(_level_at(bossed, judged, having, LEVEL_DEG - 0.05), "fit.boss_level")[FITTING]
    assert finding.verdict == "stop"
    wide = having(bossed, {f"{FITTING}.foot_mm": 60.0})
    assert judged(wide, "fit.boss_width")[FITTING].verdict == "stop"
    assert FITTING not in judged(wide, "fit.boss_level")  # told once


def _top(case, judged):
    """How high it reaches: at_mm and its height, and a hair more, for its flat top leans by a little with the skin."""
    top = 200.0 - judged(ceiling(case, 200.0), "fit.boss_room")[FITTING].measured
    assert top == pytest.approx(boss(case, FITTING).at_mm[1] + boss(case, FITTING).height_mm, abs=0.1)
    return top


def test_fit_boss_room_holds_at_its_limit(bossed, judged):
    finding = judged(ceiling(bossed, _top(bossed, judged) + 4.0), "fit.boss_room")[FITTING]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(4.0)


def test_fit_boss_room_breaks_just_over(bossed, judged):
    finding = judged(ceiling(bossed, _top(bossed, judged) + 3.99), "fit.boss_room")[FITTING]
    assert finding.verdict == "stop"
    assert "bonnet" in finding.message


def _tall(case, having, gap_mm):
    """The boss turned towards the next runner, 82 mm along the row, and as high as leaves that gap."""
    towards = having(case, turned(case, FITTING, 0.0))
    model = case.tubes["r3"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    skin = float(model.outer_mm[station][:, 0].min())
    return having(towards, {f"{FITTING}.height_mm": skin - boss(towards, FITTING).at_mm[0] - gap_mm})


def test_fit_boss_neighbours_holds_at_its_limit(bossed, judged, having):
    finding = of(judged(_tall(bossed, having, 6.0), "fit.boss_neighbours"), FITTING)
    assert finding.measured == pytest.approx(6.0, abs=0.3)
    assert of(judged(_tall(bossed, having, 6.05), "fit.boss_neighbours"), FITTING).verdict == "ok"


@pytest.mark.parametrize(("gap", "verdict"), [(5.0, "look"), (TOUCHING_MM - 0.5, "stop"), (-4.0, "stop")])
def test_fit_boss_neighbours_breaks_just_over(bossed, judged, having, gap, verdict):
    finding = of(judged(_tall(bossed, having, gap), "fit.boss_neighbours"), FITTING)
    assert finding.verdict == verdict
    assert "runner.r3" in finding.subject
    assert finding.measured == pytest.approx(gap, abs=0.6)  # points stand up to 2 mm apart


@pytest.mark.parametrize(("path", "never"), [(WALL, "clock angle"), (FITTING, "on its wall")])
def test_what_cures_a_boss_is_said_of_where_it_stands(bossed, judged, path, never):
    """A machinist cannot turn a boss on a flat wall round a runner that is not there."""
    low = ceiling(bossed, 20.0)
    for rule in ("fit.boss_room", "join.boss_way", "fit.boss_neighbours"):
        for name, finding in judged(low, rule).items():
            if path in name.split("+"):
                assert never not in finding.message
