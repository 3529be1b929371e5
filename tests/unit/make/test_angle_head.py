"""The end of a piece too long to stand up. It was once a `stop` of every long plenum with its throttle at the end: no travel
of a middling mill takes 590 mm stood up, and a shop then puts a right-angle head into the spindle (common practice, no source).
"""

import numpy as np
import pytest

from tractwright.job.shop_tables import Shop
from tractwright.make.angle_head import HALF_HIGH_MM, LONG_MM, with_angle_head
from tractwright.make.feature import Feature
from tractwright.make.outside import reached_in
from tractwright.make.samples import Samples
from tractwright.make.setups import Hold, least_sequence
from tractwright.make.solid_reach import SolidReach
from tractwright.reach.mills import mills_of

UP, ALONG = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def mill(long_mm: float):
    return mills_of(Shop.model_validate({"travel": [long_mm, 500, 300], "table": [900, 500]}))[0]


def lying(long_mm: float = 600.0) -> Hold:
    corners = tuple((x, y, z) for x in (0.0, long_mm) for y in (0.0, 150.0) for z in (0.0, 120.0))
    return Hold(
        name="on the floor face", direction=UP, floor=UP, holds_by="fixture plate", needs=frozenset(),
        forbids=frozenset(), makes=frozenset({"cover face"}), cost_min=30.0, mill=Shop().machine, corners_mm=corners,
    )  # fmt: skip


def end(high_mm: float) -> Feature:
    return Feature(name="end", work="bore", directions=(ALONG,), at_mm=(600.0, 75.0, high_mm))


@pytest.mark.parametrize(("high_mm", "goes"), [(HALF_HIGH_MM, True), (HALF_HIGH_MM - 0.1, False)])
def test_the_head_clears_the_plate(high_mm: float, goes: bool):
    assert bool(tuple(with_angle_head(mill(800.0), [end(high_mm)], (lying(),)))) == goes


@pytest.mark.parametrize(("short_mm", "goes"), [(0.0, True), (0.1, False)])
def test_the_head_stands_beside_the_work_within_the_travels(short_mm: float, goes: bool):
    assert bool(tuple(with_angle_head(mill(600.0 + LONG_MM - short_mm), [end(60.0)], (lying(),)))) == goes


def test_it_cuts_what_it_is_fitted_for_and_nothing_else():
    (hold,) = with_angle_head(mill(800.0), [end(60.0)], (lying(),))
    assert hold.makes == {"end"}
    samples = Samples(points_mm=np.array([[300.0, 75.0, 120.0]]), normals=np.array([UP]), area_mm2=1.0)
    seen = SolidReach(
        samples=samples, directions=np.array([UP]), cutters=(), stickout_mm=np.zeros((1, 0, 1)),
        fits=np.zeros((0, 1), dtype=bool),
    )  # fmt: skip
    assert not reached_in(Shop(), seen, mill(800.0), hold).any()


def test_a_sequence_ends_with_it_only_where_nothing_else_goes():
    cover = Feature(name="cover face", work="rough face", directions=(UP,), at_mm=(300.0, 75.0, 120.0))
    holds = (lying(), *with_angle_head(mill(800.0), [end(60.0)], (lying(),)))
    sequence = least_sequence(holds, (cover, end(60.0)))
    assert not sequence.missing
    assert [hold.level_way for hold in sequence.holds] in ([None, ALONG], [ALONG, None])
    assert least_sequence((lying(),), (cover, end(60.0))).missing == {"end"}
