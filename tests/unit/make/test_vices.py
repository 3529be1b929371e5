"""Blocks in vices, against plane geometry and statics."""

from math import radians, tan

import numpy as np
import pytest

from tractwright.geometry.frames import vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.holding import clamp_n, slides_n, tips_n
from tractwright.make.records import Stock
from tractwright.make.setups import Hold
from tractwright.make.vices import across_jaws_mm, gripped_at, vices_on


def stock(x: float, y: float, z: float) -> Stock:
    axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return Stock(piece="p", size_mm=(x, y, z), axes=axes, plate_mm=z, mass_kg=1.0, buy_to_fly=1.0)


def box(x: float, y: float, z: float) -> np.ndarray:
    return np.array([(a, b, c) for a in (-x / 2, x / 2) for b in (-y / 2, y / 2) for c in (-z / 2, z / 2)])


def test_a_block_is_no_longer_than_three_times_the_jaws_that_hold_it():
    size = (420.0, 120.0, 80.0)
    one = Shop.model_validate({"vices": 1, "vice_jaw": 125.0, "vice_opening": 200.0})
    assert across_jaws_mm(one, size, 2) == 0.0
    assert across_jaws_mm(one.model_copy(update={"vices": 2}), size, 2) == 120.0


def test_as_many_vices_stand_in_line_as_the_block_spans():
    shop = Shop.model_validate({"vices": 3, "vice_jaw": 150.0})
    assert [vices_on(shop, along) for along in (100.0, 299.0, 301.0, 900.0)] == [1, 1, 2, 3]


@pytest.mark.parametrize("lean", [20.0, 45.0])
def test_a_leaning_block_is_held_by_the_corner_that_stands_in_the_jaws(lean: float):
    """A right-angled corner that reaches d into the jaws is d (tan a + 1/tan a) long where they end: a right triangle's
    hypotenuse from its height."""
    shop = Shop.model_validate({"vice_grip": 8.0, "saw_allowance": 0.0})
    up = vec3((0.0, np.sin(radians(lean)), np.cos(radians(lean))))
    block, piece = stock(140.0, 160.0, 160.0), box(140.0, 120.0, 120.0)
    found = gripped_at(shop, block, up, piece)
    assert found is not None
    block_low = (box(140.0, 160.0, 160.0) @ np.array(up)).min()
    deep = (piece @ np.array(up)).min() + 8.0 - block_low
    assert found.deep_mm == pytest.approx(deep)
    assert found.along_mm == pytest.approx(min(deep * (tan(radians(lean)) + 1 / tan(radians(lean))), 150.0))
    assert found.across_mm == 140.0


def test_a_block_on_its_mere_corner_is_not_held():
    shop = Shop.model_validate({"vice_grip": 8.0, "saw_allowance": 0.0})
    assert gripped_at(shop, stock(120, 160, 160), vec3((0.0, 0.70711, 0.70711)), box(120, 158, 158)) is None


def hold(**given: object) -> Hold:
    plain = {
        "name": "h", "direction": (0, 0, 1), "floor": (0, 0, 1), "holds_by": "h", "needs": frozenset(), "forbids": frozenset(),
        "makes": frozenset(), "cost_min": 1.0,
    }  # fmt: skip
    return Hold(**(plain | given))  # pyright: ignore[reportArgumentType]


def test_a_tall_block_tips_before_it_slides():
    """Statics: the push P at height h turns the block about one jaw; the other jaw's friction, 0.15 x 20 kN, holds it at the
    width b: P = 0.15 F b / h. Friction alone bears 2 x 0.15 F.
    """
    shop = Shop(vice_force_kn=20.0)
    tall, low = hold(vices=1, high_mm=240.0, arm_mm=120.0), hold(vices=1, high_mm=40.0, arm_mm=120.0)
    assert slides_n(shop, tall) == pytest.approx(6000.0)
    assert tips_n(shop, tall) == pytest.approx(0.15 * 20e3 * 120.0 / 240.0)
    assert clamp_n(shop, tall) == tips_n(shop, tall)
    assert clamp_n(shop, low) == slides_n(shop, low)


def test_screws_bear_tipping_over_half_of_how_wide_they_stand():
    """ISO 898-1: proof load of M8 class 8.8 is 21.2 kN; six at half of it over 30 mm against a push at 300 mm."""
    shop = Shop()
    screwed = hold(screws=6, screw="M8x1.25", high_mm=300.0, arm_mm=30.0)
    assert tips_n(shop, screwed) == pytest.approx(6 * 0.5 * 21200 * 30.0 / 300.0, rel=0.01)
