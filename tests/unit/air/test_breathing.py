"""The air stage's result: equal cylinders, the drawn lengths, shared and split ports, what it says of itself."""

from dataclasses import replace
from time import process_time

import numpy as np
import pytest

from tractwright.air.breather import Breather, with_whole_plena
from tractwright.air.breathing import CURVE_CELL
from tractwright.air.intake import drawn_intake
from tractwright.air.questions import price_of_unequal, sensitivity
from tractwright.air.stage import quick, result
from tractwright.air.sweep import run_all, run_at
from tractwright.air.traces import watched

EACH = ((1,), (2,), (3,), (4,))


def breather(sheet, design, cell=CURVE_CELL):
    return Breather(engine=sheet.engine, air=sheet.air, intake=drawn_intake(design, sheet.engine, sheet.air), cell=cell)


def test_no_engine_no_curve(make_sheet, make_design):
    sheet = make_sheet().model_copy(update={"engine": None})
    assert result(sheet, make_design(EACH, (300.0,) * 4)) is None


def test_a_whole_result_is_sound(make_sheet, make_design):
    sheet = make_sheet(2)
    found = result(sheet, make_design(EACH[:2], (300.0,) * 2))
    assert len(found.rpm) == len(found.torque_nm) == 16
    assert found.rpm[-1] == pytest.approx(sheet.engine.highest_rpm)
    assert np.shape(found.length_chart_ve) == (len(found.length_chart_mm), len(found.length_chart_rpm))
    assert all(0.5 < filling < 1.4 for filling in found.trapped_ve)
    assert found.length_chart_ve[3][-1] == pytest.approx(found.trapped_ve[-1], rel=5e-3)
    power = np.array(found.torque_nm) * np.array(found.rpm) * 2 * np.pi / 60 / 1000
    np.testing.assert_allclose(found.power_kw, power, atol=1e-4)
    assert any("trend" in note for note in found.notes)
    assert all(rule.label for rule in found.rules_of_thumb)


@pytest.mark.parametrize("cylinders", [3, 4, 6])
def test_equal_cylinders_fill_equally(make_sheet, make_design, cylinders):
    sheet = make_sheet(cylinders)
    design = make_design(tuple((i + 1,) for i in range(cylinders)), (280.0,) * cylinders)
    drawn = breather(sheet, design, 0.015)
    whole = replace(drawn, intake=with_whole_plena(drawn.intake))  # a throttle at one end is not symmetric
    for run in run_all([(whole, rpm) for rpm in (2500.0, 5000.0, 7000.0)]):
        assert np.ptp(run.trapped) / run.trapped.mean() < 1e-3


def test_unequal_runners_fill_unequally(make_sheet, make_design):
    design = make_design(EACH, (200.0, 300.0, 300.0, 400.0))
    run = run_at(breather(make_sheet(), design, 0.015), 5000.0)
    assert np.ptp(run.trapped) / run.trapped.mean() > 0.02


def test_half_the_cells_change_little_and_a_sweep_is_quick(make_sheet, make_design):
    sheet, design = make_sheet(), make_design(EACH, (300.0,) * 4)
    revs = np.linspace(2000.0, 7000.0, 5)
    run_at(breather(sheet, design), 7000.0)
    start = process_time()
    coarse = run_all([(breather(sheet, design), rpm) for rpm in revs])
    assert process_time() - start < 2.0
    fine = run_all([(breather(sheet, design, CURVE_CELL / 2), rpm) for rpm in revs])
    for a, b in zip(coarse, fine, strict=True):
        assert a.trapped.mean() == pytest.approx(b.trapped.mean(), rel=0.01)


def test_two_ports_a_cylinder_breathe_like_one_of_both_areas(make_sheet, make_design):
    """Two ports of a cylinder on one runner are one passage to the air."""
    sheet = make_sheet(1)
    one = run_at(breather(sheet, make_design(((1,),), (300.0,)), 0.015), 4000.0)
    both = run_at(breather(sheet, make_design(((1,), (1,)), (300.0,), ((0, 1),)), 0.015), 4000.0)
    assert both.trapped.mean() == pytest.approx(one.trapped.mean(), rel=1e-9)


def test_a_shared_runner_runs_and_says_it_is_a_trend(make_sheet, make_design):
    sheet = make_sheet(4)
    design = make_design(((1, 2), (3, 4)), (300.0, 300.0))
    run = run_at(breather(sheet, design, 0.015), 3000.0)
    assert len(run.mach) == 2
    assert np.all((run.trapped > 0.4) & (run.trapped < 1.3))


def test_boost_fills_by_its_own_density(make_sheet, make_design):
    sheet = make_sheet(air={"boost": 0.8})
    run = run_at(breather(sheet, make_design(EACH, (300.0,) * 4), 0.015), 5000.0)
    still = run_at(breather(make_sheet(), make_design(EACH, (300.0,) * 4), 0.015), 5000.0)
    assert run.trapped.mean() == pytest.approx(still.trapped.mean(), abs=0.08)
    assert run.torque > 1.4 * still.torque


def test_the_quick_model_is_quick_and_says_how_far_it_is_off(make_sheet, make_design):
    sheet = make_sheet(3)
    design = make_design(EACH[:3], (300.0, 306.0, 300.0))
    quick(sheet, design)
    start = process_time()
    found = quick(sheet, design)
    assert process_time() - start < 1.5
    revs = found.rpm[::4]
    whole = [run_at(breather(sheet, design), rpm).trapped.mean() for rpm in revs]
    off = abs(np.array(found.trapped_ve[::4]) / whole - 1.0)
    assert off.max() < found.most_error
    assert off.mean() < found.mean_error
    assert quick(sheet.model_copy(update={"engine": None}), design) is None


def test_answers_to_what_if(make_sheet, make_design):
    """A longer runner moves torque from high revs; what is asked comes back in order; unequal runners spread filling."""
    sheet = make_sheet(2)
    design = make_design(EACH[:2], (260.0, 340.0))
    changes = {change.what: change for change in sensitivity(sheet.engine, sheet.air, design)}
    assert len(changes) == 5
    longer = changes["runners 10 mm longer"]
    assert longer.near_highest < 0.0
    assert changes["intake cam 5 deg later"].near_highest > 0.0 > changes["intake cam 5 deg earlier"].near_highest
    assert all(abs(change.about_wanted) < 0.05 for change in changes.values())
    unequal = price_of_unequal(sheet.engine, sheet.air, design)
    assert unequal.differ_mm == pytest.approx(80.0)
    assert unequal.spread > 10 * unequal.spread_if_equal


def test_a_cycle_looked_at(make_sheet, make_design):
    sheet = make_sheet(1)
    made = breather(sheet, make_design(EACH[:1], (300.0,)), 0.015)
    seen, run = watched(made, 5000.0), run_at(made, 5000.0)
    assert 30e5 < seen.cylinder.max() < 120e5
    top = seen.crank[np.argmax(seen.cylinder)]
    assert 365.0 < top < 395.0
    stroke = (seen.crank > 40) & (seen.crank < 180)
    assert seen.mouth_speed[stroke].mean() > 30.0
    assert seen.mouth_speed.max() == pytest.approx(run.speed_at_mouth[0], rel=0.03)
    assert max(mach.max() for mach in seen.mach) == pytest.approx(run.mach[0], rel=0.03)
    assert seen.plenum.mean() == pytest.approx(101300.0, rel=0.05)
