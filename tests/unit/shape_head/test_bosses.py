"""Bosses: their volumes against closed forms and plain integrals, at random places, and what happens where none fits."""

from dataclasses import replace
from math import cos, pi, sqrt

import numpy as np
import pytest
from scipy.integrate import dblquad

from tractwright.design.boss import Boss
from tractwright.design.boss_hole import bores_of, hole_profile, tip_mm
from tractwright.design.boss_space import boss_model, spot_on_runner, way_in
from tractwright.design.file import Held
from tractwright.geometry.frames import Frame
from tractwright.job.boss_tables import BossFacts
from tractwright.job.sheet import Job, JobSheet
from tractwright.kernel.checked import checked
from tractwright.kernel.measure import volume
from tractwright.kernel.skins import skin_solid, skin_surface
from tractwright.route.layout.bosses import bosses, foot_height
from tractwright.shape.bosses import holed, on_skin, on_wall, with_bosses
from tractwright.shape.parts.bodies import prism, turned
from tractwright.shape.stage import build_one

FLAT = Boss(
    name="b", use="plain", runner="", plenum="plenum", station=0.0, clock_deg=0.0, place="top", at_mm=(0.0, 0.0, 10.0),
    axis=(0.0, 0.0, 1.0), height_mm=12.0, foot_mm=20.0, top_mm=20.0, blend_mm=3.0, hole_mm=6.0, hole_depth_mm=14.0,
    thread="", thread_mm=0.0, pocket_mm=(), swing_mm=20.0, reach_mm=40.0,
)  # fmt: skip
PLATE = ((-40.0, -40.0, 0.0), (40.0, -40.0, 0.0), (40.0, 40.0, 0.0), (-40.0, 40.0, 0.0))
EDGE_MM = 0.5


def facts(name: str, **said) -> BossFacts:
    return BossFacts(**{"name": name, **said})


def bossed(design, *wanted: BossFacts):
    sheet = JobSheet(job=Job(name="made up"), boss=wanted)
    return replace(design, bosses=bosses(design, sheet, Held()))


def frustum(wide: float, narrow: float, high: float) -> float:
    return pi / 3 * high * (wide**2 + wide * narrow + narrow**2)


def test_a_boss_on_a_plate_adds_cylinder_and_root_less_its_chamfer():
    """Cylinder pi a2 h; root by Pappus: area (1 - pi/4) R2 with its middle R (10 - 3 pi) / (3 (4 - pi)) off the side."""
    plate = prism(PLATE, Frame(), 10.0)
    found = with_bosses(plate, [on_wall(FLAT, 10.0)])
    middle = 3.0 * (10 - 3 * pi) / (3 * (4 - pi))
    root = 2 * pi * (10.0 + middle) * (1 - pi / 4) * 3.0**2
    edge = pi * 10.0**2 * EDGE_MM - frustum(10.0, 10.0 - EDGE_MM, EDGE_MM)
    added = volume(found.body.solid) - 80.0 * 80.0 * 10.0
    assert added == pytest.approx(pi * 10.0**2 * 12.0 + root - edge, rel=2e-3)
    assert (found.left_out, found.notes) == ((), ())


def test_draft_makes_a_frustum_of_it():
    drafted = replace(FLAT, foot_mm=23.0, blend_mm=0.8)
    found = with_bosses(prism(PLATE, Frame(), 10.0), [on_wall(drafted, 10.0)])
    added = volume(found.body.solid) - 80.0 * 80.0 * 10.0
    assert added == pytest.approx(frustum(11.5, 10.0, 12.0), rel=8e-3)  # less the chamfer, more the small root


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        ({}, pi * 3.0**2 * 14.0),
        ({"pocket_mm": ((14.0, 8.0), (11.0, 10.0))}, pi * (7.0**2 * 8.0 + 5.5**2 * 2.0 + 3.0**2 * 4.0)),
        # M10x1: drill 9 mm to the thread's end and three pitches on, then the hole
        ({"thread": "M10x1", "thread_mm": 7.0}, pi * (4.5**2 * 10.0 + 3.0**2 * 4.0)),
        # 1/8 NPT: reamed 1 in 16 on the diameter from 8.433 mm at the thread's end (ASME B1.20.1)
        (
            {"thread": "1/8 NPT", "thread_mm": 7.0, "hole_mm": 8.4328},
            frustum(8.4328 / 2 + 7.0 / 32, 8.4328 / 2, 7.0) + pi * (8.4328 / 2) ** 2 * 7.0,
        ),
    ],
)  # fmt: skip
def test_holes_have_the_volume_of_their_parts(change, wanted):
    """Below the top: sections by plain sums, the drill's point of 118 degrees, the mouth's small chamfer let be."""
    boss = replace(FLAT, **change)
    tool = turned(hole_profile(boss), Frame())
    last = bores_of(boss)[-1].end_mm
    point = pi / 3 * last**2 * (tip_mm(boss) - boss.hole_depth_mm)
    over = turned(hole_profile(boss), Frame()).twin.trim_by_plane((0.0, 0.0, -1.0), 0.0).volume()
    assert volume(tool.solid) - over == pytest.approx(wanted + point, rel=0.03)


def test_metal_on_a_round_skin_is_what_the_integral_says():
    """Over a cylinder of radius 26 the boss fills from the skin up: height plus sag, over its disc, and a small root."""
    turn = np.linspace(0.0, 2 * pi, 64, endpoint=False)
    along = np.linspace(0.0, 120.0, 30)
    rows = np.stack([np.column_stack([26 * np.cos(turn), 26 * np.sin(turn), np.full(64, z)]) for z in along])
    upright = replace(
        FLAT,
        runner="r",
        plenum="",
        place="",
        at_mm=(0.0, 26.0, 60.0),
        axis=(0.0, 1.0, 0.0),
        height_mm=10.0,
        blend_mm=0.8,
    )
    body = checked(skin_solid(rows))
    found = with_bosses(
        body, [on_skin(upright, skin_surface(rows), 4.0, np.column_stack([0 * along, 0 * along, along]))]
    )
    exact, _ = dblquad(
        lambda r, a: r * (10.0 + 26.0 - sqrt(26.0**2 - (r * cos(a)) ** 2)), 0.0, 2 * pi, lambda _: 0.0, lambda _: 10.0
    )
    edge = pi * 10.0**2 * EDGE_MM - frustum(10.0, 10.0 - EDGE_MM, EDGE_MM)
    root = 2 * pi * 10.0 * (1 - pi / 4) * 0.8**2
    assert volume(found.body.solid) - volume(body.solid) == pytest.approx(exact - edge + root, rel=2e-3)


@pytest.mark.parametrize("seed", [3, 8])
def test_bosses_at_random_places_come_out_whole(block, seed):
    """A boss a quarter on a runner, at any clock angle and lean: one valid closed solid, volume as on meshes."""
    rng = np.random.default_rng(seed)
    design = block(count=1, reach_mm=220.0)
    design = bossed(
        design,
        *(
            facts(
                f"b{k}", share=0.28 + 0.19 * k, clock=f"{rng.uniform(0, 360)} deg", lean=f"{rng.uniform(-35, 35)} deg",
                bore=f"{rng.uniform(3, 6)} mm", root=f"{rng.choice([2, 3])} mm",
            )
            for k in range(3)
        ),
    )  # fmt: skip
    built = build_one(design.pieces[0], design)
    assert (built.valid, built.watertight, built.solids, built.left_out) == (True, True, 1, ())
    assert built.volume_mm3 == pytest.approx(built.twin_volume_mm3, rel=3e-4)
    assert (built.blends_made, built.blends_wanted) == (5, 5)  # the runner's two roots, three bosses


def test_a_boss_wider_than_its_runner_is_left_out_and_said(block):
    design = bossed(block(count=1, reach_mm=150.0), facts("wide", top="70 mm", bore="8 mm"))
    built = build_one(design.pieces[0], design)
    assert built.solid is not None
    assert built.left_out == ("wide.r1",)
    assert built.notes[-1].startswith("boss wide.r1 is not on the solid: ")
    assert built.blends_made < built.blends_wanted


def test_a_hole_takes_its_cylinder_and_its_point():
    plate = prism(PLATE, Frame(), 10.0)
    found = with_bosses(plate, [on_wall(FLAT, 10.0)])
    cut = holed(found.body, [FLAT])
    point = pi * 3.0**2 / 3 * (tip_mm(FLAT) - 14.0)
    mouth = frustum(3.3, 3.0, 0.3) - pi * 3.0**2 * 0.3
    assert volume(found.body.solid) - volume(cut.solid) == pytest.approx(pi * 3.0**2 * 14.0 + point + mouth, rel=1e-3)


def test_a_boss_aimed_at_the_port_goes_through_its_middle(block):
    design = bossed(block(count=2), facts("aimed", aim="port", station="60 mm", bore="8 mm"))
    for boss, port in zip(design.bosses, design.ports, strict=True):
        off = np.array([*port.at_mm, 0.0]) - np.array(boss.at_mm)
        across = off - (off @ np.array(boss.axis)) * np.array(boss.axis)
        assert np.linalg.norm(across) == pytest.approx(0.0, abs=1e-9)
        assert off @ np.array(boss.axis) < 0.0


def test_lean_turns_the_hole_towards_the_port(block):
    design = bossed(block(count=1), facts("leaning", lean="30 deg", bore="4 mm", clock="0 deg"))
    boss, runner = design.bosses[0], design.runners[0]
    spot = spot_on_runner(boss_model(runner, design), boss.station, 0.0)
    assert np.dot(boss.axis, spot.normal) == pytest.approx(cos(pi / 6))
    assert np.dot(boss.axis, spot.along) > 0.0  # outwards is away from the port, so inwards is towards it


def test_a_foot_on_leaning_ground_stands_high_enough():
    """Plain trigonometry: upright the root's radius, at 45 degrees the radius of the boss and R (1 + sqrt 2)."""
    assert foot_height(8.0, 0.0, 3.0) == pytest.approx(3.0 + 1.5)
    assert foot_height(8.0, pi / 4, 3.0) == pytest.approx(8.0 + 3.0 * (1 + sqrt(2)) + 1.5)


def test_the_way_into_a_straight_runner(block):
    """A wall of 4 mm, then the last of the rim where a round bore has sagged by r - sqrt(r2 - a2), then right across."""
    design = bossed(block(count=1, turn_deg=1.0, reach_mm=240.0), facts("in", share=0.75, bore="8 mm", clock="90 deg"))
    boss = design.bosses[0]
    way = way_in(boss, design, 4.0, boss_model(design.runners[0], design))
    bore = sqrt(np.interp(0.75, *zip(*design.runners[0].area_mm2, strict=True)) / pi)
    sag = bore - sqrt(bore**2 - 4.0**2)
    assert way.first_mm == pytest.approx(4.0, abs=0.3)
    assert way.all_mm - way.first_mm == pytest.approx(sag, abs=0.2)
    assert way.far_mm - way.first_mm == pytest.approx(2 * bore - sag, abs=0.8)
