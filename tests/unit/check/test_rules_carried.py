"""What the old part carried, built as bosses: posts and pads by the place of their top."""

from dataclasses import replace
from math import radians, sqrt

import numpy as np
import pytest
from bossed_cases import boss
from check_cases import SHEET, described_case

from tractwright.check.case import Case
from tractwright.check.rules.wall_boss_floor import LEAST_MM as FLOOR_MM

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
