"""What is asked of a manifold: held figures win, the length puts a torque peak where it is wanted, bores follow speed."""

import numpy as np
import pytest

from tractwright.air.band import Band, band_of
from tractwright.air.breather import Breather
from tractwright.air.choosing import enough
from tractwright.air.intake import cylinders_fed, drawn_intake
from tractwright.air.peaks import band_torque, choose_length, peak_nearest, torque_peaks
from tractwright.air.records import Allowed
from tractwright.air.stage import wanted, wanted_within
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


@pytest.mark.parametrize(("strengths", "expected"), [((100.0, 80.0), 300.0), ((80.0, 100.0), 600.0)])
def test_the_length_with_most_torque_about_the_wanted_revs(strengths, expected):
    lengths, rpm = [float(x) for x in np.linspace(200, 700, 21)], np.linspace(3500, 6500, 31)
    choice = choose_length(lengths, rpm, made_up(lengths, rpm, strengths), Band(wanted=5000.0))
    assert choice.length == pytest.approx(expected, rel=0.05)
    assert choice.peak_rpm == pytest.approx(5000.0, rel=0.08)


def test_of_lengths_that_are_alike_the_shorter():
    lengths, rpm = [float(x) for x in np.linspace(200, 700, 21)], np.linspace(3500, 6500, 31)
    wave = np.array([bumps(rpm, (1.5e6 / L, 20.0), (3.0e6 / L, 20.0)) for L in lengths])
    assert choose_length(lengths, rpm, 180.0 + wave, Band(wanted=5000.0)).length == pytest.approx(300.0, rel=0.08)


def test_a_ripple_of_the_curves_moves_the_choice_little():
    """One part in 200 of noise, as a coarse simulation might have: within 20 mm."""
    lengths, rpm = [float(x) for x in np.linspace(150, 450, 11)], np.linspace(3600, 6400, 11)
    torque = 150.0 + made_up(lengths, rpm, (30.0, 10.0))
    sound = choose_length(lengths, rpm, torque, Band(wanted=5000.0)).length
    draw = np.random.default_rng(4)
    for _ in range(20):
        noisy = torque * (1.0 + 0.005 * draw.uniform(-1, 1, torque.shape))
        assert choose_length(lengths, rpm, noisy, Band(wanted=5000.0)).length == pytest.approx(sound, abs=20.0)


def test_no_peak_to_be_had_gives_the_most_torque():
    lengths, rpm = [200.0, 250.0, 300.0], np.linspace(3500, 6500, 11)
    torque = np.outer([1.0, 1.05, 1.1], 200.0 - rpm / 100.0)
    choice = choose_length(lengths, rpm, torque, Band(wanted=5000.0))
    assert choice.length == pytest.approx(300.0, abs=8.0)
    assert choice.peak_rpm is None
    assert "does not peak" in choice.how
    assert dict(choice.price)[200.0] == pytest.approx(1 - 1.0 / 1.1, abs=0.02)


def test_enough_runs_on_without_a_jump():
    """Just past the tried value that is good enough, the answer moves on from it."""
    at = [
        enough([1.0, 1.3, 1.65, 2.0], np.array([90.0, 99.0 + shift, 100.0, 100.0]), 0.01) for shift in (-0.1, 0.0, 0.1)
    ]
    assert at[1] == pytest.approx(1.3)
    assert max(at) - min(at) < 0.05
    assert enough([1.0, 2.0], np.array([100.0, 99.0])) == 1.0


def test_revs_that_an_engine_does_not_pull_still_find_a_size():
    """Friction eats all torque at them: what spares most of it is best, and a little less than it will do."""
    assert enough([50.0, 60.0, 70.0, 80.0], np.array([-40.0, -30.0, -20.1, -20.0]), 0.01) == pytest.approx(
        70.0, abs=0.2
    )
    assert enough([50.0, 60.0], np.array([-20.0, -30.0])) == 50.0
    lengths, rpm = np.linspace(200.0, 400.0, 11), np.linspace(6000.0, 9000.0, 9)
    sinking = -1.0 - 1e-3 * (rpm - 5000.0) - 1e-5 * (lengths[:, None] - 300.0) ** 2
    choice = choose_length(list(lengths), rpm, sinking, Band(wanted=7500.0))
    assert choice.length == pytest.approx(300.0, abs=40.0)
    assert all(share >= -0.01 for _, share in choice.price)


def test_held_figures_win(make_sheet, make_pattern):
    sheet = make_sheet(
        runner={"length": 333.0, "bore": 41.0, "lip_radius": 7.0}, plenum={"volume": 2.2}, throttle={"bore": 61.0}
    )
    found = wanted(sheet, make_pattern(EACH))
    assert (found.length_mm, found.plenum_volume_l, found.throttle_bore_mm) == (333.0, 2.2, 61.0)
    assert (found.lip_radius_mm, found.bore_mm) == (7.0, pytest.approx(41.0))
    assert found.mouth_area_mm2 == pytest.approx(np.pi / 4 * 41.0**2)
    assert len(found.why) == 6


def test_rules_of_thumb_stand_beside_length_and_plenum(make_sheet, make_pattern):
    """L = theta c / (12 N): 85 x 346.13 / (12 x 5000) = 490.3 mm from valve to plenum, less the port in the head."""
    sheet = make_sheet(1, engine={"port_length": 100.0}, runner={"bore": 42.0}, throttle={"bore": 50.0})
    found = wanted(sheet, make_pattern(EACH[:1]))
    assert "rule of thumb: 85 degrees for a wave out and back ask 390 mm" in found.why[0]
    half_a_metre = 0.5 * np.pi / 4 * 0.042**2 * 1e3
    plenum = next(why for why in found.why if why.startswith("plenum"))
    assert f"rule of thumb: half a metre of the mouths' area (judgement) asks {half_a_metre:.1f} l" in plenum


def test_no_engine_works_with_length_and_bore_held(make_sheet, make_pattern):
    sheet = make_sheet(runner={"length": 280.0, "bore": 44.0}).model_copy(update={"engine": None})
    pattern = make_pattern(((), (), ()))
    found = wanted(sheet, pattern)
    assert found.length_mm == 280.0
    assert found.port_area_mm2 == pytest.approx(outline_area(pattern.ports[0].outline))
    assert 0.5 < found.plenum_volume_l < 6.0
    assert any("rule of thumb" in why for why in found.why)


def test_no_other_length_is_much_better_in_the_whole_simulation(make_sheet, make_pattern, make_design):
    """The choice, made with coarse cells and a plenum of one volume, held against drawn manifolds at finer cells."""
    sheet = make_sheet(throttle={"bore": 65.0}, plenum={"volume": 3.0}, runner={"bore": 42.0})
    found = wanted(sheet, make_pattern(EACH))
    revs = np.linspace(0.78, 1.22, 9) * sheet.engine.wanted_peak_rpm
    lengths = [found.length_mm, 160.0, 240.0, 320.0, 400.0]
    breathers = [
        Breather(
            engine=sheet.engine, air=sheet.air, cell=0.0125,
            intake=drawn_intake(make_design(EACH, (length,) * 4), sheet.engine, sheet.air),
        )
        for length in lengths
    ]  # fmt: skip
    runs = run_all([(breather, float(rpm)) for breather in breathers for rpm in revs])
    torque = np.array([run.torque for run in runs]).reshape(len(lengths), -1)
    about = band_torque(revs, torque, Band(wanted=sheet.engine.wanted_peak_rpm))
    assert about[0] > 0.985 * about.max()
    assert about[0] > 1.02 * about[1]  # and the choice matters


@pytest.mark.parametrize("change", [{"intake_closes_abdc": 52.0}, {"bore": 85.0}, {"wanted_peak": 5050.0}])
def test_a_little_other_engine_wants_much_the_same_length(make_sheet, make_pattern, change):
    """A degree or two of closing, a millimetre of bore, 1 % of revs: less than 25 mm."""
    given = {"throttle": {"bore": 65.0}, "plenum": {"volume": 3.0}, "runner": {"bore": 42.0}}
    found = [wanted(make_sheet(2, engine=one, **given), make_pattern(EACH[:2])) for one in ({}, change)]
    assert found[0].length_mm == pytest.approx(found[1].length_mm, abs=25.0)


def test_the_room_bounds_what_is_wanted(make_sheet, make_pattern):
    allowed = Allowed(length_mm=(180.0, 260.0), volume_l=(0.6, 0.8))
    found = wanted_within(make_sheet(1), make_pattern(EACH[:1]), allowed)
    assert 180.0 <= found.length_mm <= 260.0
    assert 0.6 <= found.plenum_volume_l <= 0.8
    assert [length for length, _ in found.length_price][:: len(found.length_price) - 1] == [180.0, 260.0]


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


def test_a_twin_may_want_a_wide_throttle_and_the_end_of_what_was_tried_is_told(make_sheet, make_pattern):
    """Once 1.3 x the rule of gas speed was the widest tried: a twin that draws in gulps lost a tenth of its torque by it."""
    engine = {
        "cylinders": 2,
        "bore": 70.0,
        "stroke": 60.0,
        "intake_valve": 26.0,
        "intake_lift": 7.3,
        "port_length": 80.0,
    }
    sheet = make_sheet(2, engine=engine, runner={"length": 300.0, "bore": 31.0}, plenum={"volume": 0.65})
    found = wanted(sheet, make_pattern(EACH[:2]))
    rule = 30.0
    assert found.throttle_bore_mm > 1.45 * rule
    why = next(why for why in found.why if why.startswith("throttle"))
    assert "the end of what was tried" in why
    four = wanted(make_sheet(4, runner={"length": 300.0, "bore": 41.0}, plenum={"volume": 2.8}), make_pattern(EACH))
    assert not any("end of what was tried" in why for why in four.why)


def test_sizes_are_those_of_the_open_throttle(make_sheet, make_pattern):
    """Once a sheet that looked at a plate 25 degrees open was told to have the widest throttle that was tried."""
    given = {"runner": {"length": 300.0, "bore": 41.0}, "plenum": {"volume": 1.4}}
    shut, wide = (
        wanted(make_sheet(2, air=air, **given), make_pattern(EACH[:2])) for air in ({"throttle_open": 25.0}, {})
    )
    assert shut == wide


def test_a_band_counts_alike_between_its_ends():
    """A bell weighs the wanted revs most; a band weighs all its speeds the same, and nothing outside."""
    rpm = np.linspace(3000.0, 7000.0, 401)
    bell, band = Band(wanted=5000.0).weights(rpm), Band(wanted=5000.0, between=(4000.0, 6000.0)).weights(rpm)
    assert bell.sum() == pytest.approx(1.0)
    assert np.average(rpm, weights=bell) == pytest.approx(5000.0, abs=1.0)
    assert np.average((rpm - 5000.0) ** 2, weights=bell) ** 0.5 == pytest.approx(400.0, rel=0.01)  # 8 %
    inside = (rpm >= 4000.0) & (rpm <= 6000.0)
    np.testing.assert_allclose(band[inside], 1.0 / inside.sum())
    assert not band[~inside].any()
    assert band_torque(rpm, rpm, Band(wanted=5000.0, between=(4000.0, 6000.0))) == pytest.approx(5000.0)


def test_a_wide_band_prefers_the_length_that_serves_all_of_it():
    """One length makes 140 at 5 000 and 100 elsewhere, another 115 all over: about 5 000 the first wins, over the band not."""
    lengths, rpm = [float(x) for x in np.linspace(200, 700, 21)], np.linspace(3000, 7000, 33)
    one, other = (np.exp(-(((np.array(lengths) - at) / 70.0) ** 2)) for at in (300.0, 600.0))
    torque = 80.0 + np.outer(one, 20.0 + bumps(rpm, (5000.0, 40.0))) + np.outer(other, np.full(len(rpm), 35.0))
    about = choose_length(lengths, rpm, torque, Band(wanted=5000.0))
    over = choose_length(lengths, rpm, torque, Band(wanted=5000.0, between=(3000.0, 7000.0)))
    assert about.length == pytest.approx(300.0, abs=20.0)
    assert over.length == pytest.approx(600.0, abs=20.0)
    assert "about 5000 revs" in about.how
    assert "from 3000 to 7000 revs" in over.how


def test_what_a_sheet_s_band_asks_is_simulated_over_it(make_sheet, make_pattern):
    given = {"throttle": {"bore": 65.0}, "plenum": {"volume": 1.4}, "runner": {"bore": 42.0}}
    engine = {"band": [2500.0, 4000.0], "wanted_peak": 3000.0}
    low = wanted(make_sheet(2, engine=engine, **given), make_pattern(EACH[:2]))
    high = wanted(make_sheet(2, engine={"band": [4500.0, 7000.0]}, **given), make_pattern(EACH[:2]))
    assert low.length_mm > high.length_mm + 50.0
    assert "from 2500 to 4000 revs" in low.why[0]
    speeds = band_of(make_sheet(2, engine=engine).engine).speeds(0.26, 9)
    assert (speeds[0], speeds[-1]) == (2500.0, 4000.0)
