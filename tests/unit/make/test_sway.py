"""Cutters that stand out: beam formulas."""

from math import pi, sqrt

import pytest

from tractwright.job.shop_tables import Cutter, Shop
from tractwright.make.cutting import FINISHING_N
from tractwright.make.feature import Feature
from tractwright.make.operations import Bench, operation
from tractwright.make.sway import DAMPING, magnified, sway_of
from tractwright.reach.mills import mills_of

UP = (0.0, 0.0, 1.0)


def cutter(diameter: float, neck: float) -> Cutter:
    return Cutter.model_validate(
        {"name": "c", "kind": "undercutting", "diameter": diameter, "neck": neck, "stickout": 200}
    )


@pytest.mark.parametrize(("diameter", "neck", "thick"), [(20.0, 12.0, 12.0), (12.0, 11.0, 9.6)])
def test_a_cutter_bends_as_a_cantilever_of_its_thinner_part(diameter: float, neck: float, thick: float):
    """F L^3 / 3EI (handbook beam), E 600 GPa; the core is 0.8 of the cutter (Kops and Vo 1990)."""
    shop = Shop()
    found = sway_of(shop, mills_of(shop)[0], cutter(diameter, neck), 90.0)
    assert found.bends_mm == pytest.approx(FINISHING_N * 90.0**3 / (3 * 600e3 * pi / 64 * thick**4))
    assert found.shakes_mm == pytest.approx(found.bends_mm * magnified(found.tooth_hz, found.own_hz))


def test_a_cutter_rings_as_a_cantilever_does():
    """1.8751^2 / (2 pi L^2) sqrt(EI / rho A), carbide 14.5 g/cm3: the first frequency of a clamped rod (handbooks)."""
    shop = Shop()
    found = sway_of(shop, mills_of(shop)[0], cutter(20.0, 12.0), 120.0)
    own = 1.87510407**2 / (2 * pi * 0.12**2) * sqrt(600e9 / 14500.0) * 0.012 / 4
    assert found.own_hz == pytest.approx(own, rel=1e-3)
    assert DAMPING > 0.0


def test_each_deep_cut_tells_of_the_cutter_that_shakes_most():
    shop = Shop()
    bench = Bench(
        shop=shop, mill=mills_of(shop)[0], passage_cutters={"undercutting 20/12": 90.0, "undercutting 25/16": 60.0},
        outside_cutters={"ball 12": 60.0}, borne_n=1e6,
    )  # fmt: skip
    deep = Feature(name="passages", work="passages", directions=(UP,), at_mm=(0, 0, 0), volume_mm3=1e5, area_mm2=1e4)
    told = operation(bench, deep).sway
    assert told is not None
    assert (told.cutter, told.out_mm) == ("undercutting 20/12", 90.0)
    flat = Feature(name="face", work="finish face", directions=(UP,), at_mm=(0, 0, 0), area_mm2=1e4)
    assert operation(bench, flat).sway is None


def test_a_cut_whose_cutter_is_missing_takes_no_less_time_than_with_it():
    """A shop with one short ball: its passages and its chamber, which that ball does not reach into, still take time."""
    short = {"name": "ball 6", "kind": "ball", "diameter": 6, "neck": 5.5, "stickout": 20}
    known = {"name": "ball 12", "kind": "ball", "diameter": 12, "neck": 11, "stickout": 100}
    for work, depth in (("passages", 0.0), ("inside", 70.0)):
        cut = Feature(
            name="c", work=work, directions=(UP,), at_mm=(0, 0, 0), volume_mm3=2e5, area_mm2=3e4, depth_mm=depth,
            diameter_mm=24.0,
        )  # fmt: skip
        minutes = []
        for listed in ([short], [short, known]):
            shop = Shop.model_validate({"cutter": listed})
            bench = Bench(shop=shop, mill=mills_of(shop)[0], passage_cutters={}, outside_cutters={}, borne_n=1e6)
            minutes.append(operation(bench, cut).minutes[0])
        assert minutes[0] >= 0.95 * minutes[1] > 5.0
