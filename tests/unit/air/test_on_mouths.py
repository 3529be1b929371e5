"""The air of runners that end in throttle bodies: what is wanted of them, and the drawn ones as the plan had them."""

import numpy as np
import pytest
from on_mouths import case_on_mouths

from tractwright.air.breather import Breather
from tractwright.air.intake import drawn_intake
from tractwright.air.questions import sensitivity
from tractwright.air.records import Allowed
from tractwright.air.sizing import allowed_freely
from tractwright.air.stage import quick, wanted
from tractwright.air.sweep import run_all
from tractwright.job.sheet import JobSheet


@pytest.fixture(scope="module")
def case(tmp_path_factory):
    return case_on_mouths(tmp_path_factory.mktemp("air"))


def _with(sheet: JobSheet, table: str, **values) -> JobSheet:
    part = getattr(sheet, table).model_copy(update=values)
    return sheet.model_copy(update={table: part})


def test_a_body_tells_its_mouth(case):
    """Bodies of 42 mm: mouths as wide, no plenum, no lip; the sentences say so."""
    aim = wanted(case.sheet, case.pattern)
    assert (aim.bore_mm, aim.throttle_bore_mm) == pytest.approx((42.0, 42.0))
    assert (aim.plenum_volume_l, aim.lip_radius_mm) == (0.0, 0.0)
    assert len(aim.why) == 6
    assert any("no" in why and "throttle body on every mouth" in why for why in aim.why)


def test_lengths_to_choose_from_count_body_and_trumpet(case):
    """Plain sums: 450 mm less 40 of body, 50 of trumpet, 12 of bell."""
    low, high = allowed_freely(case.sheet).length_mm
    assert high == pytest.approx(450.0 - 102.0)
    assert low >= 70.0
    assert allowed_freely(_with(case.sheet, "throttle", place="end_1")) == Allowed()


def test_the_drawn_pipe_is_runner_body_trumpet_and_the_ends_own(case):
    intake = drawn_intake(case.design, case.sheet.engine, case.sheet.air)
    assert [plenum.size for plenum in intake.plena] == [None]
    for runner, drawn in zip(intake.runners, case.design.runners, strict=True):
        before = 1e3 * runner.places[-1] - drawn.length_mm
        assert 40.0 + 50.0 < before < 40.0 + 50.0 + 12.0 + 0.6127 * 21.0
        assert runner.area[:2] == pytest.approx(np.pi / 4 * 0.042**2, rel=1e-9)


def test_cylinders_fed_from_still_air_are_alike(case):
    """Nothing joins them upstream: three like runners fill three cylinders the same, 240 degrees apart."""
    engine, air = case.sheet.engine, case.sheet.air
    breather = Breather(engine=engine, air=air, intake=drawn_intake(case.design, engine, air), cell=0.02)
    (run,) = run_all([(breather, 5000.0)])
    assert float(np.ptp(run.trapped)) < 2e-3 * float(run.trapped.mean())


def test_a_shut_plate_starves_and_a_box_is_felt(case):
    engine = case.sheet.engine

    def filling(**values):
        air = _with(case.sheet, "air", **values).air
        breather = Breather(engine=engine, air=air, intake=drawn_intake(case.design, engine, air), cell=0.02)
        (run,) = run_all([(breather, 5000.0)])
        return float(run.trapped.mean())

    wide = filling()
    assert filling(throttle_open_deg=15.0) < 0.75 * wide
    assert abs(filling(box_l=6.0, duct_length_mm=400.0, duct_bore_mm=60.0) - wide) > 1e-3 * wide


def test_no_plenum_is_made_larger(case):
    changes = sensitivity(case.sheet.engine, case.sheet.air, case.design)
    assert len(changes) == 4
    assert not [change for change in changes if "plenum" in change.what]


def test_a_quick_look_is_had(case):
    look = quick(case.sheet, case.design)
    assert look is not None
    assert min(look.torque_nm) > 0.0
