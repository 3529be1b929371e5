"""What the jaws held is cut in a later set-up, and a hold that bears little is dear; against plain counts and closed forms."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from tractwright.geometry.frames import unit
from tractwright.job.shop_tables import Shop
from tractwright.make.cutting import roughing
from tractwright.make.holding import borne_n, with_time_lost
from tractwright.make.in_order import Asked, in_order
from tractwright.make.operations import largest
from tractwright.make.records import Stock
from tractwright.make.samples import Samples
from tractwright.make.setups import Hold
from tractwright.make.solid_reach import SolidReach
from tractwright.reach.mills import mills_of

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
CUTTER = {"name": "ball 10", "kind": "ball", "diameter": 10, "neck": 9, "stickout": 80}
SHOP = Shop.model_validate({"machine": "3-axis", "cutter": [CUTTER]})
BLOCK = tuple((x, y, z) for x in (-30.0, 30.0) for y in (-30.0, 30.0) for z in (0.0, 60.0))


def nearly_a_cone() -> Samples:
    """A cone's side looks up but for 5 of 1000 samples, on the small flat it stands on."""
    rng = np.random.default_rng(2)
    turn, high = rng.uniform(0.0, 6.28, 1000), rng.uniform(10.0, 60.0, 1000)
    points = np.column_stack([np.cos(turn) * 20.0, np.sin(turn) * 20.0, high])
    normals = unit(np.column_stack([np.cos(turn), np.sin(turn), np.full(1000, 0.9)]))
    points[:5, 2], normals[:5] = 0.0, DOWN
    return Samples(points_mm=points, normals=normals, area_mm2=10.0)


def held(name: str, up: tuple[float, float, float], level: float, **given: object) -> Hold:
    plain = {"needs": frozenset(), "forbids": frozenset(), "makes": frozenset(), "cost_min": 30.0}
    return Hold(
        name=name, direction=up, floor=up, holds_by=name, level_mm=level, mill="3-axis", machine="3-axis",
        corners_mm=BLOCK, **(plain | given),
    )  # fmt: skip  # pyright: ignore[reportArgumentType]


VICE = held("block in vice, upper side up", UP, 5.0, forbids=frozenset({"outside"}), jaws_way=(1.0, 0.0, 0.0))
PLATE = held("on the upper face", DOWN, -70.0)


def asked(*holds: Hold) -> Asked:
    samples = nearly_a_cone()
    cutters = SHOP.cutter
    seen = np.array([[np.where(samples.normals @ np.array(way) > 0.3, 20.0, np.inf)] for way in (UP, DOWN)])
    reach = SolidReach(
        samples=samples, directions=np.array([UP, DOWN]), cutters=cutters, stickout_mm=seen, fits=np.ones((1, 1000), dtype=bool)
    )  # fmt: skip
    stock = Stock(piece="cone", size_mm=(60.0, 60.0, 60.0), axes=(UP, UP, UP), plate_mm=60, mass_kg=0.6, buy_to_fly=1.0)
    return Asked(
        shop=SHOP, stock=stock, reach=reach, mine=np.ones(1000, dtype=bool), holds=holds, over={}, features=(), volume_mm3=1e5
    )  # fmt: skip


def test_a_foot_too_small_to_be_a_part_is_still_cut_off():
    """5 samples of 1000 are below the hundredth that makes a part of the outside: the plan once ended with the part still
    on the slab that the vice had held.
    """
    found = in_order(asked(VICE, PLATE))
    assert [hold.name for hold in found.sequence.holds] == [VICE.name, PLATE.name]
    assert "outside that the jaws held, upper side up" in found.sequence.made[1]
    assert not found.sequence.missing


def test_where_no_hold_shows_the_foot_nothing_else_is_lost():
    found = in_order(asked(VICE))
    assert [hold.name for hold in found.sequence.holds] == [VICE.name]


def test_a_hold_that_bears_half_the_push_costs_what_its_cut_takes_longer():
    """Rate goes as force: half the force, twice the time (the rate is power over specific energy)."""
    shop = Shop()
    mill, cutter = mills_of(shop)[0], largest(shop, ("flat", "bull"), 200.0, 0.0)
    assert cutter is not None
    usual = roughing(shop, mill, cutter, inf)
    tall = replace(VICE, vices=1, high_mm=300.0, arm_mm=60.0, mill=mill.name)
    share = borne_n(shop, mill, tall) / usual.force_n
    assert share < 0.9
    (dearer,) = with_time_lost(shop, (tall,), 2e6)
    assert dearer.cost_min - tall.cost_min == pytest.approx(2e6 / usual.removal_mm3_min * (1.0 / share - 1.0))
    (same,) = with_time_lost(shop, (replace(PLATE, mill=mill.name),), 2e6)
    assert same.cost_min == PLATE.cost_min
