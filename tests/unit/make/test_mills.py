"""What a mill turns to and what its travels take, against plane geometry."""

import numpy as np
import pytest

from tractwright.job.shop_tables import Mill, Shop
from tractwright.reach.mills import cuts_along, travels_take
from tractwright.reach.placings import directions

UP = (0.0, 0.0, 1.0)


def mill(machine: str, travel: list[float], table: list[float], high: float = 110.0) -> Mill:
    return Mill.model_validate(
        {"name": "m", "machine": machine, "travel": travel, "table": table, "tilt_low": 0, "tilt_high": high}
    )


def box(x: float, y: float, z: float) -> np.ndarray:
    return np.array([(a, b, c) for a in (-x / 2, x / 2) for b in (-y / 2, y / 2) for c in (-z / 2, z / 2)])


def test_a_block_lies_along_the_travels_whichever_way_goes():
    work = box(300.0, 450.0, 100.0)
    assert travels_take(mill("3-axis", [500, 320, 200], [600, 320]), work, UP, UP)
    assert not travels_take(mill("3-axis", [500, 290, 200], [600, 320]), work, UP, UP)
    assert not travels_take(mill("3-axis", [500, 320, 90], [600, 320]), work, UP, UP)
    assert not travels_take(mill("3-axis", [500, 320, 200], [400, 320]), work, UP, UP)


@pytest.mark.parametrize(("tilt", "taken"), [(0.0, True), (30.0, True), (90.0, False)])
def test_a_tilted_block_needs_the_room_it_then_takes(tilt: float, taken: bool):
    """300 wide and 100 high, tilted about x by t: it is 300 sin t + 100 cos t high, of 270 mm at 30 and 300 at 90 deg."""
    way = (0.0, float(np.sin(np.radians(tilt))), float(np.cos(np.radians(tilt))))
    work = box(200.0, 300.0, 100.0)
    high = 300.0 * abs(way[1]) + 100.0 * abs(way[2])
    tilting = mill("tilting table", [500, 400, 270], [500, 400])
    assert cuts_along(tilting, work, UP, way) == taken == (high <= 270.0)


def test_a_rotary_axis_turns_the_work_about_the_row():
    """Turned a quarter about x the work is as high as it was wide."""
    work = box(400.0, 260.0, 100.0)
    assert travels_take(mill("rotary axis", [500, 300, 280], [500, 300]), work, UP, (0.0, 1.0, 0.0))
    assert not travels_take(mill("rotary axis", [500, 300, 240], [500, 300]), work, UP, (0.0, 1.0, 0.0))


@pytest.mark.parametrize(("limit", "most"), [(20.0, 16.0), (110.0, 40.0)])
def test_tools_lean_into_a_passage_no_more_than_the_table_tilts(limit: float, most: float):
    shop = Shop.model_validate({"machine": "tilting table", "tilt_low": 0, "tilt_high": limit})
    out = np.array([0.0, 0.0, 1.0])
    leans = np.degrees(np.arccos(np.clip(directions(shop, out) @ out, -1.0, 1.0)))
    assert leans.max() <= min(limit, 42.5)
    assert leans.max() >= most


def test_a_rotary_axis_leans_tools_in_one_plane_and_a_second_mill_counts():
    out = np.array([0.0, 0.0, 1.0])
    rotary = directions(Shop.model_validate({"machine": "rotary axis"}), out)
    assert np.abs(rotary[:, 0]).max() < 1e-9
    assert len(directions(Shop.model_validate({"machine": "3-axis"}), out)) <= 2
    second = {"name": "large", "machine": "tilting table", "travel": [800, 500, 500], "table": [900, 500]}
    both = directions(Shop.model_validate({"machine": "3-axis", "mill": [second]}), out)
    assert len(both) > len(rotary)
