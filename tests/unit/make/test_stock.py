"""The least block: against a fine sweep, and what the stock list says."""

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from tractwright.job.shop_tables import Shop
from tractwright.make.stock import turned_block
from tractwright.reach.mills import mills_of, takes, turns_to

FINE = {"stock": [{"thickness": t, "width": 3000, "length": 3000} for t in range(10, 400)]}


def points(seed: int) -> np.ndarray:
    cloud = np.random.default_rng(seed).normal(size=(60, 3)) * np.array([120.0, 60.0, 25.0])
    turn = np.linalg.qr(np.random.default_rng(seed + 1).normal(size=(3, 3)))[0]
    found = cloud @ turn.T
    return found[ConvexHull(found).vertices]


@pytest.mark.parametrize("seed", range(8))
def test_within_one_per_cent_of_a_fine_sweep(seed: int):
    """A sweep in steps of 0.02 deg with every whole millimetre of plate: volume within 1 %."""
    corners, shop = points(seed), Shop.model_validate(FINE)
    found = float(np.prod(turned_block(shop, corners, np.eye(3), 0).size_mm))
    least = np.inf
    for angle in np.radians(np.arange(0.0, 90.0, 0.02)):
        c, s = np.cos(angle), np.sin(angle)
        size = np.ptp(corners @ np.array([[1, 0, 0], [0, c, s], [0, -s, c]]).T, axis=0) + 6.0
        blocks = [np.prod(size) / size[k] * np.ceil(size[k]) for k in range(3) if np.ceil(size[k]) < 400]
        least = min([least, *blocks])
    assert found == pytest.approx(least, rel=0.01)
    assert found >= least * (1 - 1e-3)


def test_a_block_holds_the_part_with_the_saw_s_allowance():
    corners, shop = points(3), Shop()
    block = turned_block(shop, corners, np.eye(3), 2)
    room = np.array(block.size_mm) - np.ptp(corners @ block.axes.T, axis=0)
    assert room.min() >= 2 * shop.saw_allowance_mm - 1e-9


def test_a_block_beyond_the_list_says_so_and_one_on_it_wins():
    corners = np.array([(x, y, z) for x in (0.0, 300.0) for y in (0.0, 200.0) for z in (0.0, 180.0)])
    small = Shop.model_validate({"stock": [{"thickness": 100, "width": 500, "length": 500}]})
    assert not turned_block(small, corners, np.eye(3), 0).listed
    large = Shop.model_validate({"stock": [{"thickness": 250, "width": 500, "length": 500}]})
    found = turned_block(large, corners, np.eye(3), 0)
    assert found.listed
    assert found.plate_mm == 250.0


def test_a_mill_takes_a_block_within_travels_and_table():
    mill = mills_of(Shop.model_validate({"travel": [500, 400, 300], "table": [450, 400]}))[0]
    assert takes(mill, (100.0, 450.0, 300.0))
    assert not takes(mill, (100.0, 451.0, 300.0))
    assert not takes(mill, (310.0, 400.0, 310.0))


@pytest.mark.parametrize(
    ("machine", "direction", "turns"),
    [
        ("3-axis", (0, 0, 1), True), ("3-axis", (0, 1, 0), False), ("rotary axis", (0, 1, 0), True),
        ("rotary axis", (1, 0, 0), False), ("tilting table", (1, 0, 0), True), ("tilting table", (0, 0.6, -0.8), False),
    ],
)  # fmt: skip
def test_where_a_mill_turns_to(machine: str, direction: tuple, turns: bool):
    mill = mills_of(Shop.model_validate({"machine": machine}))[0]
    assert turns_to(mill, (0.0, 0.0, 1.0), direction) == turns
