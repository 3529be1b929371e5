"""Rules that bite at the walls: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.check.screw_distances import hole_to_passage

SUBJECT = "runner.r1+screw.head.s3"


def _hole(judged, having, sound, metal):
    """A head screw moved beside the first passage until so much metal is left between: 18 + 4.5 mm and the metal."""
    x = sound.tubes["r1"].centre_mm[0, 0] + 18.0 + 4.5
    near = having(sound, {"screw.head.s3.seat_mm": (x + 2.0, 0.0, 12.0)})
    now = judged(near, "wall.hole_to_passage")[SUBJECT].measured
    assert now == pytest.approx(2.0, abs=0.05)
    return having(sound, {"screw.head.s3.seat_mm": (x + 2.0 + metal - now, 0.0, 12.0)})


def test_wall_hole_to_passage_holds_at_its_limit(sound, judged, verdict, having):
    case = _hole(judged, having, sound, 2.0)
    assert verdict(case, "wall.hole_to_passage", SUBJECT) == "ok"


def test_wall_hole_to_passage_breaks_just_over(sound, judged, verdict, having):
    case = _hole(judged, having, sound, 1.99)
    assert verdict(case, "wall.hole_to_passage", SUBJECT) == "stop"


def test_metal_between_a_hole_and_a_passage(sound):
    """A hole of 8 mm parallel to a bore of 36, 30 mm from axis to axis: 30 - 18 - 4 (plain sums); across it, broken."""
    tubes = {"r2": sound.tubes["r2"]}
    beside = hole_to_passage(np.array([30.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), [(0.0, 20.0, 4.0)], tubes)
    assert beside.mm == pytest.approx(8.0, abs=0.05)
    through = hole_to_passage(np.array([-25.0, 0.0, 20.0]), np.array([1.0, 0.0, 0.0]), [(0.0, 50.0, 4.0)], tubes)
    assert through.mm < -2.0
    past = hole_to_passage(np.array([0.0, 30.0, 50.0]), np.array([0.0, 1.0, 0.0]), [(0.0, 20.0, 4.0)], tubes)
    assert past.mm == pytest.approx(30.0 - 18.0, abs=0.5)


@pytest.mark.parametrize(("wall", "expected"), [(2.5, "ok"), (2.49, "stop")])
def test_wall_least_of_plenum_and_runner(sound, verdict, having, wall, expected):
    case = having(sound, {"runner.r1.wall_mm": ((0.0, 4.0), (0.5, wall), (1.0, 4.0)), "plenum.plenum.wall_mm": wall})
    assert verdict(case, "wall.least", "runner.r1") == expected
    assert verdict(case, "wall.least", "plenum.plenum") == expected


def test_wall_least_holds_at_its_limit(sound, judged, having):
    assert judged(having(sound, {"plenum.plenum.wall_mm": 2.5}), "wall.least")["plenum.plenum"].verdict == "ok"


def test_wall_least_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {"plenum.plenum.wall_mm": 2.49}), "wall.least")["plenum.plenum"]
    assert finding.verdict == "stop"
    assert finding.fix.value == 2.5


def _stressed(case, share, backfire_share=0.1):
    plates = tuple(
        replace(
            plate,
            stress_mpa=share * plate.allowed_mpa,
            backfire_mpa=backfire_share * plate.yield_mpa,
            least_mm=9.2,
        )
        if plate.part == "cover"
        else plate
        for plate in case.loads.plates
    )
    runners = tuple(replace(load, stress_mpa=share * load.allowed_mpa, least_mm=5.1) for load in case.loads.runners)
    return replace(case, loads=replace(case.loads, plates=plates, runners=runners))


def test_wall_strength_holds_at_its_limit(sound, judged):
    found = judged(_stressed(sound, 1.0, backfire_share=1.0), "wall.strength")
    assert found["flange.cover.cover"].verdict == found["runner.r1"].verdict == found["job.backfire"].verdict == "ok"


def test_wall_strength_breaks_just_over(sound, judged):
    found = judged(_stressed(sound, 1.001, backfire_share=1.001), "wall.strength")
    assert found["flange.cover.cover"].verdict == found["runner.r1"].verdict == "stop"
    assert found["job.backfire"].verdict == "look"
    assert (found["flange.cover.cover"].fix.path, found["flange.cover.cover"].fix.value) == (
        "flange.cover.thickness_mm",
        9.5,
    )
    assert (found["runner.r1"].fix.path, found["runner.r1"].fix.value) == ("runner.r1.wall_mm", 5.5)
