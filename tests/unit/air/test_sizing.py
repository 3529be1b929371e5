"""What is asked of a manifold: held figures win, the length puts a torque peak where it is wanted, bores follow speed."""

import numpy as np
import pytest

from tractwright.air.breather import Breather
from tractwright.air.intake import cylinders_fed, drawn_intake
from tractwright.air.peaks import BAND, choose_length, peak_nearest, torque_peaks
from tractwright.air.stage import wanted
from tractwright.air.sweep import run_all
from tractwright.geometry.outlines import outline_area

EACH = ((1,), (2,), (3,), (4,))


def bumps(rpm, *peaks):
    return sum(height / (1.0 + ((rpm - place) / 400.0) ** 2) for place, height in peaks)


def test_peaks_are_found_between_the_points():
    rpm = np.linspace(3000, 7000, 17)
    found = torque_peaks(rpm, bumps(rpm, (4110, 90.0), (5870, 100.0)))
    assert [peak.rpm for peak in found] == pytest.approx([4110, 5870], abs=40)


def test_the_strong_peak_nearest_the_wanted_is_told_not_the_highest():
    rpm = np.linspace(3000, 7000, 17)
    torque = bumps(rpm, (3900, 100.0), (5500, 97.0), (6600, 60.0))
    assert peak_nearest(rpm, torque, 5400.0) == pytest.approx(5500, abs=60)
    assert peak_nearest(rpm, torque, 6600.0) == pytest.approx(5500, abs=60)


def made_up(lengths, rpm, strengths):
    """Torque whose peaks stand at 1 500 m/min over length and at twice that, with given heights."""
    return np.array([bumps(rpm, (1.5e6 / L, strengths[0]), (3.0e6 / L, strengths[1])) for L in lengths])


@pytest.mark.parametrize(
    ("strengths", "expected"), [((100.0, 80.0), 300.0), ((80.0, 100.0), 600.0), ((100.0, 99.0), 300.0)]
)
def test_the_shortest_strong_peak_is_chosen(strengths, expected):
    lengths, rpm = [float(x) for x in np.linspace(200, 700, 21)], np.linspace(3500, 6500, 31)
    choice = choose_length(lengths, rpm, made_up(lengths, rpm, strengths), 5000.0)
    assert choice.length == pytest.approx(expected, rel=0.02)
    assert len(choice.candidates) == 2


def test_no_peak_to_be_had_gives_the_most_torque():
    lengths, rpm = [200.0, 300.0], np.linspace(3500, 6500, 11)
    torque = np.outer([1.0, 1.1], 200.0 - rpm / 100.0)
    choice = choose_length(lengths, rpm, torque, 5000.0)
    assert choice.length == 300.0
    assert "no length" in choice.how


def test_held_figures_win(make_sheet, make_pattern):
    sheet = make_sheet(
        runner={"length": 333.0, "bore": 41.0, "lip_radius": 7.0}, plenum={"volume": 2.2}, throttle={"bore": 61.0}
    )
    found = wanted(sheet, make_pattern(EACH))
    assert (found.length_mm, found.plenum_volume_l, found.throttle_bore_mm) == (333.0, 2.2, 61.0)
    assert (found.lip_radius_mm, found.bore_mm) == (7.0, pytest.approx(41.0))
    assert found.mouth_area_mm2 == pytest.approx(np.pi / 4 * 41.0**2)
    assert len(found.why) == 6


def test_no_engine_works_with_length_and_bore_held(make_sheet, make_pattern):
    sheet = make_sheet(runner={"length": 280.0, "bore": 44.0}).model_copy(update={"engine": None})
    pattern = make_pattern(((), (), ()))
    found = wanted(sheet, pattern)
    assert found.length_mm == 280.0
    assert found.port_area_mm2 == pytest.approx(outline_area(pattern.ports[0].outline))
    assert 0.5 < found.plenum_volume_l < 6.0
    assert any("rule of thumb" in why for why in found.why)


def test_the_wanted_length_puts_a_torque_peak_at_the_wanted_revs(make_sheet, make_pattern, make_design):
    """By the whole simulation of a drawn manifold, at fine cells and revs."""
    sheet = make_sheet(throttle={"bore": 65.0}, plenum={"volume": 3.0})
    found = wanted(sheet, make_pattern(EACH))
    assert 150.0 <= found.length_mm <= 450.0
    design = make_design(EACH, (found.length_mm,) * 4)
    intake = drawn_intake(design, sheet.engine, sheet.air)
    breather = Breather(engine=sheet.engine, air=sheet.air, intake=intake, cell=0.0125)
    revs = np.linspace(0.85, 1.15, 13) * sheet.engine.wanted_peak_rpm
    torque = np.array([run.torque for run in run_all([(breather, float(rpm)) for rpm in revs])])
    near = [peak.rpm for peak in torque_peaks(revs, torque)]
    assert min(abs(rpm / sheet.engine.wanted_peak_rpm - 1.0) for rpm in near) < BAND


@pytest.mark.parametrize(
    ("ports", "cylinders", "fed"),
    [
        (4, 4, ((1,), (2,), (3,), (4,))),
        (2, 4, ((1, 2), (3, 4))),
        (6, 3, ((1,), (1,), (2,), (2,), (3,), (3,))),
        (1, 1, ((1,),)),
    ],
)
def test_silent_ports_feed_cylinders_in_order(make_sheet, make_pattern, ports, cylinders, fed):
    pattern = make_pattern(((),) * ports)
    assert cylinders_fed(pattern.ports, make_sheet(cylinders).engine) == fed
