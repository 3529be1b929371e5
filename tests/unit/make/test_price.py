"""The price follows the rates; what it hangs on and what alternatives cost is computed from the same lines."""

from dataclasses import replace

import pytest

from tractwright.job.shop_tables import ONLY_PRICED, Shop
from tractwright.make.price import middle, price_lines, priced_alternative, sensitivity
from tractwright.make.records import Alternative, Effort, SheetCut

EFFORT = Effort(stock_kg=50.0, pieces=4, mill_h=(10.0, 20.0))


def test_lines_are_mass_and_hours_times_rates():
    lines = {line.what: line for line in price_lines(Shop(), EFFORT)}
    assert lines["plate, sawn"].low == pytest.approx(50 * 9.0)
    assert lines["plate, sawn"].high == pytest.approx(1.2 * 50 * 9.0)
    assert (lines["set-ups and cutting"].low, lines["set-ups and cutting"].high) == (750.0, 1500.0)
    assert all(line.low <= line.high for line in lines.values())


def test_a_free_shop_costs_nothing():
    free = Shop().model_copy(update=dict.fromkeys(ONLY_PRICED, 0.0))
    assert middle(free, EFFORT) == 0.0
    assert sensitivity(free, EFFORT) == ()


def test_sensitivity_is_the_price_worked_out_again():
    shop = Shop()
    found = dict(sensitivity(shop, EFFORT))
    dearer = shop.model_copy(update={"stock_price_kg": 1.2 * shop.stock_price_kg})
    expected = middle(dearer, EFFORT) / middle(shop, EFFORT) - 1.0
    assert found["plate a kg 20 % higher"] == pytest.approx(expected)
    assert list(found.values()) == sorted(found.values(), reverse=True)


def test_an_alternative_is_priced_by_the_same_lines():
    lighter = Alternative(what="lighter", effort=Effort(stock_kg=40.0, pieces=4, mill_h=(10.0, 20.0)), how="")
    found = priced_alternative(Shop(), lighter)
    assert found.low == pytest.approx(sum(line.low for line in price_lines(Shop(), EFFORT)) - 10 * 9.0)
    assert found.high == pytest.approx(sum(line.high for line in price_lines(Shop(), EFFORT)) - 1.2 * 10 * 9.0)


SPACER = SheetCut(name="spacer", area_dm2=3.0, minutes=(20.0, 40.0))


def test_a_spacer_is_cut_from_sheet_or_bought():
    """3 dm2 at 4 and a third to two thirds of an hour at 75; or what it costs, 62 to 138 % of it."""
    effort = replace(EFFORT, sheets=(SPACER,))
    cut = price_lines(Shop(), effort)[-1]
    assert (cut.low, cut.high) == (pytest.approx(12.0 + 25.0), pytest.approx(12.0 + 50.0))
    bought = price_lines(Shop().model_copy(update={"spacer_price": 60.0}), effort)[-1]
    assert (bought.low, bought.high) == (pytest.approx(0.62 * 60.0), pytest.approx(1.38 * 60.0))
    assert len(price_lines(Shop(), effort)) == len(price_lines(Shop(), EFFORT)) + 1
