"""Rules on bosses: each holds at its limit and breaks just over it."""

from dataclasses import replace
from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from check_cases import SHEET, described_case, with_values

from tractwright.check.case import Case
from tractwright.check.rules.fit_boss_lean import MOST_DEG
from tractwright.check.rules.fit_boss_level import LEAST_DEG as LEVEL_DEG
from tractwright.check.rules.fit_boss_neighbours import TOUCHING_MM
from tractwright.check.rules.fit_boss_width import MOST
from tractwright.check.rules.wall_boss_beside import LEAST_MM as BESIDE_MM
from tractwright.check.rules.wall_boss_far import LEAST_MM as FAR_MM
from tractwright.check.rules.wall_boss_floor import LEAST_MM as FLOOR_MM
from tractwright.check.rules.wall_boss_hole import LEAST_MM as ROUND_MM
from tractwright.design.pattern import KeepOutPlane, Room
from tractwright.job.boss_tables import BossFacts
from tractwright.shape.records import BuiltPiece

BOSSES = """
[[boss]]
name = "fitting"
runners = ["r2"]
thread = "M10x1"
share = 0.4
clock = "90 deg"
[[boss]]
name = "seat"
runners = ["r1"]
share = 0.4
clock = "270 deg"
bore = "6 mm"
pocket = [[14, 8], [11, 10]]
[[boss]]
name = "wall"
wall = "side_2"
bore = "5 mm"
wall_at = [20, 0]
[[boss]]
name = "lid"
wall = "top"
bore = "5 mm"
"""
FITTING, SEAT, WALL = "boss.fitting.r2", "boss.seat.r1", "boss.wall.plenum"


@pytest.fixture(scope="module")
def bossed(tmp_path_factory: pytest.TempPathFactory) -> Case:
    """The sound manifold with four bosses: two on straight runners, one on the wall, one on the cover."""
    return described_case(tmp_path_factory.mktemp("bossed"), SHEET + BOSSES)


def boss(case, path):
    return next(item for item in case.design.bosses if f"boss.{item.name}" == path)


def of(findings, path):
    return next(finding for name, finding in findings.items() if path in name.split("+"))


def turned(case, path, clock_deg):
    """A boss of a straight runner of round section moved round it: plain sums."""
    item = boss(case, path)
    spokes = case.tubes[item.runner].outer_mm[0] - case.tubes[item.runner].centre_mm[0]
    turn, wide = radians(clock_deg), float(np.linalg.norm(spokes, axis=1).mean())
    way = np.array([cos(turn), sin(turn), 0.0])
    runner = next(runner for runner in case.design.runners if runner.name == item.runner)
    middle = np.array([runner.poles_mm[0][0], runner.poles_mm[0][1], item.at_mm[2]])
    return {f"{path}.at_mm": tuple(middle + wide * way), f"{path}.axis": tuple(way)}


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
    assert finding.measured == pytest.approx(MOST)


def test_fit_boss_width_breaks_just_over(bossed, judged, having):
    wide = {f"{FITTING}.foot_mm": _widest(bossed) + 0.01}
    assert judged(having(bossed, wide), "fit.boss_width")[FITTING].verdict == "stop"


def _widest(case):
    """The foot that fills the share of the runner: the half width of a round one is that of bore and wall."""
    model = case.tubes["r2"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    half = float(np.abs(model.outer_mm[station][:, 0]).max())
    return 2 * (MOST * half - boss(case, FITTING).blend_mm)


def test_fit_boss_lean_holds_at_its_limit(bossed, judged, having):
    assert judged(_leaning(bossed, judged, having, MOST_DEG), "fit.boss_lean")[FITTING].verdict == "ok"


def test_fit_boss_lean_breaks_just_over(bossed, judged, having):
    assert judged(_leaning(bossed, judged, having, MOST_DEG + 0.01), "fit.boss_lean")[FITTING].verdict == "stop"


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
    assert judged(having(bossed, {f"{FITTING}.foot_mm": 60.0}), "fit.boss_level")[FITTING].measured <= 0.0


def _ceiling(case, height_mm):
    return replace(case, room=Room(planes=(KeepOutPlane(name="bonnet", normal=(0, -1, 0), offset_mm=-height_mm),)))


def _top(case, judged):
    """How high it reaches: at_mm and its height, and a hair more, for its flat top leans by a little with the skin."""
    top = 200.0 - judged(_ceiling(case, 200.0), "fit.boss_room")[FITTING].measured
    assert top == pytest.approx(boss(case, FITTING).at_mm[1] + boss(case, FITTING).height_mm, abs=0.1)
    return top


def test_fit_boss_room_holds_at_its_limit(bossed, judged):
    finding = judged(_ceiling(bossed, _top(bossed, judged) + 4.0), "fit.boss_room")[FITTING]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(4.0)


def test_fit_boss_room_breaks_just_over(bossed, judged):
    finding = judged(_ceiling(bossed, _top(bossed, judged) + 3.99), "fit.boss_room")[FITTING]
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


def _free(case, height_mm):
    item = boss(case, FITTING)
    return _ceiling(case, item.at_mm[1] + item.height_mm + height_mm)


def test_join_boss_way_holds_at_its_limit(bossed, judged):
    """A bonnet just beyond the 40 mm that a fitting's spanner asks for; its way leans by a little with the skin."""
    finding = judged(_free(bossed, 40.1), "join.boss_way")[FITTING]
    assert (finding.measured, finding.verdict) == (40.0, "ok")


def test_join_boss_way_breaks_just_over(bossed, judged):
    finding = judged(_free(bossed, 39.8), "join.boss_way")[FITTING]
    assert finding.verdict == "stop"
    assert "bonnet" in finding.message.lower()


def test_a_boss_over_a_screw_is_in_its_key_s_way(bossed, judged, having):
    """A boss put straight over a head screw's line stands where the key comes from."""
    screw = next(s for s in bossed.design.screws if s.joint == "head")
    over = tuple(np.array(screw.seat_mm) + np.array([0.0, 0.0, 25.0]))
    case = having(bossed, {f"{FITTING}.at_mm": over})
    assert of(judged(case, "join.key_room"), f"screw.{screw.name}").subject.startswith(FITTING)


def _metal(case):
    """Metal along the thread's outside on its shortest side: height and wall, less the sag of the round bore."""
    item, model = boss(case, FITTING), case.tubes["r2"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    bore = float(model.inner_mm[station][:, 1].max())
    return item.height_mm + item.at_mm[1] - bore


def test_join_boss_thread_holds_at_its_limit(bossed, judged, having):
    finding = judged(bossed, "join.boss_thread")[FITTING]
    assert finding.measured == pytest.approx(_metal(bossed), abs=0.1)
    case = having(bossed, {f"{FITTING}.thread_mm": finding.measured})
    assert judged(case, "join.boss_thread")[FITTING].verdict == "ok"


def test_join_boss_thread_breaks_just_over(bossed, judged, having):
    measured = judged(bossed, "join.boss_thread")[FITTING].measured
    case = having(bossed, {f"{FITTING}.thread_mm": measured + 0.01})
    finding = judged(case, "join.boss_thread")[FITTING]
    assert finding.verdict == "stop"
    assert judged(having(case, {finding.fix.path: finding.fix.value}), "join.boss_thread")[FITTING].verdict == "ok"


def test_wall_boss_hole_holds_at_its_limit(bossed, judged, having):
    finding = judged(having(bossed, {f"{FITTING}.top_mm": 10.0 + 2 * ROUND_MM}), "wall.boss_hole")[FITTING]
    assert (finding.measured, finding.verdict) == (pytest.approx(ROUND_MM), "ok")


def test_wall_boss_hole_breaks_just_over(bossed, judged, having):
    case = having(bossed, {f"{FITTING}.top_mm": 10.0 + 2 * ROUND_MM - 0.02})
    assert judged(case, "wall.boss_hole")[FITTING].verdict == "stop"


def test_wall_boss_floor_holds_at_its_limit(bossed, judged, having):
    deep = _floor_at(bossed, judged, FLOOR_MM)
    assert judged(having(bossed, deep), "wall.boss_floor")[SEAT].verdict == "ok"


def test_wall_boss_floor_breaks_just_over(bossed, judged, having):
    deep = _floor_at(bossed, judged, FLOOR_MM - 0.01)
    finding = judged(having(bossed, deep), "wall.boss_floor")[SEAT]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(FLOOR_MM - 0.01)


def _floor_at(case, judged, left_mm):
    now = judged(case, "wall.boss_floor")[SEAT].measured
    (first, second) = boss(case, SEAT).pocket_mm
    return {f"{SEAT}.pocket_mm": (first, (second[0], second[1] + now - left_mm))}


def test_wall_boss_beside_holds_at_its_limit(bossed, judged, having):
    finding = of(judged(_drilled_towards(bossed, having, BESIDE_MM), "wall.boss_beside"), FITTING)
    assert finding.measured == pytest.approx(BESIDE_MM, abs=0.06)
    assert of(judged(_drilled_towards(bossed, having, BESIDE_MM + 0.06), "wall.boss_beside"), FITTING).verdict == "ok"


def test_wall_boss_beside_breaks_just_over(bossed, judged, having):
    finding = of(judged(_drilled_towards(bossed, having, BESIDE_MM - 0.1), "wall.boss_beside"), FITTING)
    assert finding.verdict == "stop"
    assert "runner.r1" in finding.subject


def _drilled_towards(case, having, left_mm):
    """The hole goes across its runner and on, its flat end so far from the next passage: plain sums along x."""
    across = having(case, turned(case, FITTING, 0.0))
    item, model = boss(across, FITTING), case.tubes["r1"]
    station = int(np.argmin(np.abs(model.s_mm - 0.4 * 260.0)))
    passage = float(model.inner_mm[station][:, 0].max())
    return having(across, {f"{FITTING}.hole_depth_mm": item.at_mm[0] + item.height_mm - passage - left_mm})


def test_wall_boss_far_holds_at_its_limit(bossed, judged, having):
    assert judged(having(bossed, _far_at(bossed, judged, FAR_MM)), "wall.boss_far")[FITTING].verdict == "ok"


def test_wall_boss_far_breaks_just_over(bossed, judged, having):
    finding = judged(having(bossed, _far_at(bossed, judged, FAR_MM - 0.02)), "wall.boss_far")[FITTING]
    assert finding.verdict == "stop"
    assert finding.fix.path == f"{FITTING}.hole_depth_mm"


def _far_at(case, judged, left_mm):
    now = judged(case, "wall.boss_far")[FITTING].measured
    return {f"{FITTING}.hole_depth_mm": boss(case, FITTING).hole_depth_mm + now - left_mm}


def test_the_far_wall_is_a_bore_away(bossed, judged):
    """Drill's point to the far side of a bore of 36.8 mm: bore, less what the drill went past its near side."""
    finding, item = judged(bossed, "wall.boss_far")[FITTING], boss(bossed, FITTING)
    near = _metal(bossed)
    point = 4.5 / np.tan(radians(59.0))
    sag = 18.4 - (18.4**2 - 4.5**2) ** 0.5  # the rim of the drill meets a round bore's sides before its middle
    assert finding.measured == pytest.approx(36.8 - sag - (item.hole_depth_mm + point - near), abs=0.3)


def test_cut_boss_through_holds_at_its_limit(bossed, judged, having):
    deep = boss(bossed, FITTING).hole_depth_mm - judged(bossed, "cut.boss_through")[FITTING].measured
    assert judged(having(bossed, {f"{FITTING}.hole_depth_mm": deep}), "cut.boss_through")[FITTING].verdict == "ok"


def test_cut_boss_through_breaks_just_over(bossed, judged, having):
    deep = boss(bossed, FITTING).hole_depth_mm - judged(bossed, "cut.boss_through")[FITTING].measured
    finding = judged(having(bossed, {f"{FITTING}.hole_depth_mm": deep - 0.01}), "cut.boss_through")[FITTING]
    assert finding.verdict == "stop"
    aside = having(bossed, {f"{FITTING}.axis": (1.0, 0.0, 0.0)})  # along the skin: it never opens
    assert judged(aside, "cut.boss_through")[FITTING].verdict == "stop"


def _built(left_out):
    return BuiltPiece(
        name="head", kind="head", solid=None, mesh=(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32)), valid=True,
        watertight=True, solids=1, volume_mm3=pi, twin_volume_mm3=pi, mass_kg=1.0, blends_wanted=1, blends_made=1, rung="",
        fallback="", notes=("boss fitting.r2 is not on the solid: it is too wide",) if left_out else (), left_out=left_out,
    )  # fmt: skip


def test_cut_boss_made_holds_at_its_limit(bossed, judged):
    assert judged(replace(bossed, pieces=(_built(()),)), "cut.boss_made") == {}


def test_cut_boss_made_breaks_just_over(bossed, judged):
    finding = judged(replace(bossed, pieces=(_built(("fitting.r2",)),)), "cut.boss_made")[FITTING]
    assert finding.verdict == "stop"
    assert "too wide" in finding.message


@pytest.mark.parametrize(("aside", "verdict"), [(0.0, "ok"), (0.02, "look")])
def test_a_boss_keeps_off_a_wall_s_rounded_corner(bossed, judged, having, aside, verdict):
    """Flat of the cover's edge less half the foot and its root: plain sums, on the cover where no column stands."""
    item, plenum = boss(bossed, "boss.lid.plenum"), bossed.design.plena[0]
    reach = plenum.height_mm / 2 - item.foot_mm / 2 - item.blend_mm
    local = plenum.frame.to_local(item.at_mm)
    place = tuple(plenum.frame.to_world((local[0], reach + aside, local[2])))
    case = having(bossed, {"boss.lid.plenum.at_mm": place})
    screwless = replace(case.design, screws=())
    described = replace(case.described, design=screwless)
    assert of(judged(replace(case, described=described), "fit.boss_foot"), "boss.lid.plenum").verdict == verdict


def test_numbers_of_a_boss_can_be_held(tmp_path):
    held = {"boss.fitting.r2.height_mm": 21.0, "boss.fitting.r2.clock_deg": 0.0}
    case = described_case(tmp_path, SHEET + BOSSES, held)
    item = boss(case, FITTING)
    assert item.height_mm == 21.0
    assert item.axis == pytest.approx((1.0, 0.0, 0.0), abs=0.01)
    assert with_values(case, {}).design.bosses == case.design.bosses


CARRIED = """
[room]
[[room.carried]]
name = "rail post 1"
fate = "kept"
[[boss]]
name = "rail post"
use = "post"
top_at = [-82, 70, 120]
thread = "M8x1.25"
blind = true
carries = "rail post 1"
"""
POST = "boss.rail_post.r1"


@pytest.fixture(scope="module")
def carrying(tmp_path_factory: pytest.TempPathFactory) -> Case:
    """The sound manifold with a post of the old part's, its top given in job axes."""
    return described_case(tmp_path_factory.mktemp("carrying"), SHEET + CARRIED)


def test_a_post_stands_under_its_top_on_the_nearest_runner(carrying):
    """Straight above the first runner: 18 mm of bore and a little, 4 mm of wall, the rest post."""
    post = boss(carrying, POST)
    assert np.array(post.at_mm) + post.height_mm * np.array(post.axis) == pytest.approx([-82.0, 70.0, 120.0], abs=1e-6)
    assert post.at_mm[1] == pytest.approx(22.0 + 120.0 / 260.0, abs=0.06)
    assert (post.station, post.clock_deg) == (pytest.approx(120.0 / 260.0, abs=0.01), pytest.approx(90.0, abs=1.0))


def test_a_top_may_say_which_way_it_points(tmp_path):
    """Along (1, 1, 0) from over the middle of the straight runner: the axis goes through the top and that way."""
    text = SHEET + '[[boss]]\nname = "pad"\ntop_at = [30, 40, 100]\ntowards = [1, 1, 0]\nthread = "M6"\nblind = true\n'
    pad = boss(described_case(tmp_path, text), "boss.pad.r2")
    assert pad.axis == pytest.approx((sqrt(0.5), sqrt(0.5), 0.0))
    assert np.array(pad.at_mm) + pad.height_mm * np.array(pad.axis) == pytest.approx([30.0, 40.0, 100.0])


def test_an_axis_that_misses_every_runner_is_a_finding(tmp_path, judged):
    text = SHEET + '[[boss]]\nname = "pad"\ntop_at = [500, 0, 100]\ntowards = [0, 1, 0]\nbore = "5 mm"\n'
    assert judged(described_case(tmp_path, text), "fit.boss_placed")["boss.pad.none"].verdict == "stop"


def test_fit_carried_built_holds_at_its_limit(carrying, judged):
    assert judged(carrying, "fit.carried_built")["carried.rail_post_1"].verdict == "ok"


def test_fit_carried_built_breaks_just_over(carrying, judged):
    bare = replace(carrying, described=replace(carrying.described, design=replace(carrying.design, bosses=())))
    assert judged(bare, "fit.carried_built")["carried.rail_post_1"].verdict == "look"


def test_a_blind_hole_keeps_off_the_passage(carrying, judged, having):
    """Post and wall less the drill with its point: 47.5 + 4 mm over 12 + 3 x 1.25 mm and 0.3 of a drill of 6.8 mm."""
    finding = judged(carrying, "wall.boss_floor")[POST]
    post = boss(carrying, POST)
    point = 3.4 / np.tan(radians(59.0))
    assert finding.measured == pytest.approx(post.height_mm + 4.0 - 15.75 - point, abs=0.4)
    low = having(carrying, {f"{POST}.height_mm": post.height_mm - finding.measured + FLOOR_MM - 0.05})
    assert judged(low, "wall.boss_floor")[POST].verdict == "stop"
    assert POST not in judged(carrying, "cut.boss_through")
