"""Which cutters chatter is judged of, and what is said of the others."""

from dataclasses import replace

import pytest

from tractwright.job.shop_tables import Shop
from tractwright.make.chatter import chatter_of, not_judged
from tractwright.make.records import Setup

PLAIN = {"name": "flat 20", "kind": "flat", "diameter": 20, "neck": 20, "stickout": 60, "teeth": 2}
MEASURED = {"tip_frequency": 800, "tip_stiffness": 8, "tip_damping": 0.03}
SETUP = Setup(
    name="cover 1", piece="cover", machine="tilting table", direction=(0.0, 0.0, 1.0), holds_by="vice", needs=(), makes=(),
    reaches_fraction=1.0, tools=("flat 20", "drill 9"), minutes=(10.0, 20.0),
)  # fmt: skip


def shop(**told: object) -> Shop:
    return Shop.model_validate({"cutter": [PLAIN | told]})


def test_a_measured_tip_is_judged_at_the_shops_own_cut():
    """350 m/min at 20 mm, two teeth, 0.4 wide: 185.7 teeth a second, 0.436 in the cut; 12 mm deep, little of it borne."""
    (one,) = chatter_of(shop(**MEASURED), (SETUP,))
    assert (one.cutter, one.deep_mm) == ("flat 20", pytest.approx(12.0))
    assert one.rpm == pytest.approx(5570.4, abs=0.1)
    assert 0.618 / 0.436 < one.limit_mm < one.deep_mm
    assert one.bears_mm > one.limit_mm
    assert one.better_rpm * 2 / 60.0 == pytest.approx(800.0 / round(800.0 / (one.better_rpm * 2 / 60.0)))
    assert "judged for roughing only" in not_judged(shop(**MEASURED), (SETUP,))[0]


def test_a_depth_known_to_be_stable_wins():
    (one,) = chatter_of(shop(**MEASURED, stable_depth=14), (SETUP,))
    assert one.limit_mm == 14.0


@pytest.mark.parametrize("missing", MEASURED)
def test_with_a_figure_missing_it_is_not_judged_and_says_what_it_needs(missing: str):
    told = {key: value for key, value in MEASURED.items() if key != missing}
    assert chatter_of(shop(**told), (SETUP,)) == ()
    assert "not judged of flat 20: it needs tip_frequency" in not_judged(shop(**told), (SETUP,))[0]


def test_a_groove_cutter_is_no_roughing_cutter():
    """A flat of 3 mm cuts the groove in the same set-up: nothing is asked for it."""
    small = PLAIN | {"name": "flat 3", "diameter": 3, "neck": 3, "stickout": 15}
    both = Shop.model_validate({"cutter": [PLAIN, small]})
    grooved = replace(SETUP, tools=("flat 20", "flat 3"))
    assert "not judged of flat 20: it needs" in not_judged(both, (grooved,))[0]
