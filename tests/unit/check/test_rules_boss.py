"""Rules on holes of bosses, their threads and what is made of them: each holds at its limit and breaks just over it."""

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest
from bossed_cases import BOSSES, FITTING, SEAT, boss, ceiling, of, turned
from check_cases import SHEET, described_case, with_values

from tractwright.check.rules.wall_boss_beside import LEAST_MM as BESIDE_MM
from tractwright.check.rules.wall_boss_far import LEAST_MM as FAR_MM
from tractwright.check.rules.wall_boss_floor import LEAST_MM as FLOOR_MM
from tractwright.check.rules.wall_boss_hole import LEAST_MM as ROUND_MM
from tractwright.design.boss_space import first_met
from tractwright.shape.records import BuiltPiece


def _free(case, height_mm):
    item = boss(case, FITTING)
    return ceiling(case, item.at_mm[1] + item.height_mm + height_mm)


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
    assert judged(aside, "fit.boss_lean")[FITTING].verdict == "stop"
    assert FITTING not in judged(aside, "cut.boss_through")  # told once


def test_cut_boss_root_holds_at_its_limit(bossed, judged, having, saying):
    """As high as the shop's longest stick-out of the ball that leaves its root: 8 diameters of 6 mm."""
    case = having(
        saying(bossed, "shop", longest_stickout=8.0), {f"{FITTING}.height_mm": 48.0, f"{FITTING}.blend_mm": 3.0}
    )
    assert judged(case, "cut.boss_root")[FITTING].verdict == "ok"


def test_cut_boss_root_breaks_just_over(bossed, judged, having, saying):
    case = having(
        saying(bossed, "shop", longest_stickout=8.0), {f"{FITTING}.height_mm": 48.1, f"{FITTING}.blend_mm": 3.0}
    )
    finding = judged(case, "cut.boss_root")[FITTING]
    assert finding.verdict == "look"
    assert "a root of 3.1 mm" in finding.message


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


def test_a_ray_through_an_edge_meets_the_wall_there_once():
    """A boss at 90 degrees aims along a row of the model's corners: each ray met two triangles at one place, and the near
    wall was taken for the far one."""
    turn = np.linspace(0.0, 2 * pi, 96, endpoint=False)
    along = np.linspace(0.0, 40.0, 41)
    tube = np.stack([np.column_stack([20 * np.cos(turn), 20 * np.sin(turn), np.full(96, z)]) for z in along])
    starts = np.array([(0.0, 50.0, z) for z in (10.0, 10.5, 20.0)])
    assert first_met(starts, np.array([0.0, -1.0, 0.0]), tube) == pytest.approx(np.array([[30.0, 70.0]] * 3), abs=1e-6)
