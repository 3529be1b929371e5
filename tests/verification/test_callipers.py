"""Fits of calliper readings against closed forms and a Monte Carlo of our own readings.

Sources: the closed forms are triangles and means written out beside each test; that a least-squares fit's covariance is
(A'PA)^-1 and its residuals over their own deviation are unit normal: Baarda (1968), Vanicek and Krakiwsky (1986).
"""

import numpy as np
import pytest

from tractwright.job.source_tables import Reading
from tractwright.scan.callipers import Feature, fit_readings


def hole(x: float, y: float, diameter: float = 9.0) -> Feature:
    return Feature(at_mm=(x, y), width_mm=diameter, height_mm=diameter, is_round=True)


def read(of: str, over: str, reads: float, along: str = "straight", within: float = 0.05) -> Reading:
    return Reading.model_validate({"of": of.split(), "over": over, "reads": reads, "along": along, "within": within})


def distance(fit, a: str, b: str) -> float:
    return float(np.hypot(*np.subtract(fit.features[a].at_mm, fit.features[b].at_mm)))


def test_a_triangle_of_centres_is_the_law_of_cosines():
    """Sides 90, 60, 80 mm: the height of the corner opposite the first is 2 area / 90, Heron's formula."""
    rough = {"a": hole(0, 0), "b": hole(92, 1), "c": hole(28, 50)}
    fit = fit_readings(rough, (read("a b", "centres", 90), read("a c", "centres", 60), read("b c", "centres", 80)))
    s = 115.0
    height = 2.0 * np.sqrt(s * (s - 90) * (s - 60) * (s - 80)) / 90.0
    a, b, c = (np.array(fit.features[name].at_mm) for name in "abc")
    along = (b - a) / np.linalg.norm(b - a)
    assert distance(fit, "a", "b") == pytest.approx(90.0, abs=1e-9)
    assert abs(along[0] * (c - a)[1] - along[1] * (c - a)[0]) == pytest.approx(height, abs=1e-9)
    assert fit.loose == ()
    assert all(item.redundancy == pytest.approx(0.0, abs=1e-6) for item in fit.judged)


def test_outside_and_inside_give_pitch_and_diameter():
    """Over two equal holes: outside 99.3, inside 80.9: pitch is their mean 90.1, mean diameter half their difference 9.2."""
    rough = {"a": hole(-45, 0), "b": hole(45, 0)}
    fit = fit_readings(rough, (read("a b", "outside", 99.3), read("a b", "inside", 80.9)))
    assert distance(fit, "a", "b") == pytest.approx(90.1, abs=1e-6)
    assert fit.features["a"].width_mm + fit.features["b"].width_mm == pytest.approx(18.4, abs=0.002)


def test_edge_to_edge_over_ports_uses_width_along_the_row_and_height_across():
    rough = {"p1": Feature(at_mm=(-47, 0), width_mm=48, height_mm=30, is_round=False), "s1": hole(0, 23)}
    fit = fit_readings(
        rough,
        (
            read("p1", "width", 50.2),
            read("p1", "height", 32.0),
            read("s1", "diameter", 9.0),
            read("p1 s1", "outside", 47.0 + 25.1 + 4.5, "x"),
            read("p1 s1", "outside", 23.4 + 16.0 + 4.5, "y"),
        ),
    )
    away = np.subtract(fit.features["s1"].at_mm, fit.features["p1"].at_mm)
    np.testing.assert_allclose(away, (47.0, 23.4), atol=1e-9)
    assert fit.features["p1"].width_mm == pytest.approx(50.2)
    assert fit.features["p1"].height_mm == pytest.approx(32.0)


def test_repeated_readings_give_their_mean_weighted():
    """Two readings of one distance, deviations 0.05 and 0.1: weights 4 to 1."""
    rough = {"a": hole(0, 0), "b": hole(90, 0)}
    fit = fit_readings(rough, (read("a b", "centres", 90.0), read("a b", "centres", 90.2, within=0.1)))
    assert distance(fit, "a", "b") == pytest.approx(90.04, abs=1e-9)
    assert sum(item.redundancy for item in fit.judged) == pytest.approx(1.0)


def test_what_no_reading_fixes_is_named():
    """A third hole read to one other may swing about it."""
    rough = {"a": hole(0, 0), "b": hole(90, 0), "c": hole(40, 40)}
    fit = fit_readings(rough, (read("a b", "centres", 90.0), read("a c", "centres", 56.0)))
    assert "c" in fit.loose


PLACES = {
    "s1": (-140.0, 22.0),
    "s2": (-140.0, -22.0),
    "s3": (0.0, 24.0),
    "s4": (0.0, -24.0),
    "s5": (140.0, 22.0),
    "s6": (140.0, -22.0),
}


def network(chance: np.random.Generator, noise: float) -> tuple[Reading, ...]:
    """Diameters of all, centres over every pair: 21 readings of 12 places and sizes."""
    names = list(PLACES)
    found = [read(name, "diameter", 9.0 + noise * chance.standard_normal()) for name in names]
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            true = float(np.hypot(*np.subtract(PLACES[a], PLACES[b]))) + 9.0
            found.append(read(f"{a} {b}", "outside", true + noise * chance.standard_normal()))
    return tuple(found)


@pytest.fixture(scope="module")
def trials():
    chance = np.random.default_rng(8)
    rough = {name: hole(x + chance.normal(0, 0.8), y + chance.normal(0, 0.8)) for name, (x, y) in PLACES.items()}
    return [fit_readings(rough, network(chance, 0.05)) for _ in range(150)]


def test_monte_carlo_scatter_is_the_stated_deviation(trials):
    """A distance's scatter over 150 trials is known to 6 % (1 / sqrt(300)); three times that is allowed."""
    lengths = np.array([distance(fit, "s1", "s5") for fit in trials])
    assert lengths.mean() == pytest.approx(280.0, abs=0.05 / np.sqrt(150) * 3)
    x = np.array([[fit.features[name].at_mm for name in PLACES] for fit in trials])
    stated = np.array([[fit.deviations_mm[name][:2] for name in PLACES] for fit in trials]).mean(axis=0)
    scatter = x.std(axis=0, ddof=1)
    np.testing.assert_allclose(scatter, stated, rtol=0.2)


def test_residuals_over_their_own_deviation_are_unit_normal(trials):
    values = np.array([item.in_deviations for fit in trials for item in fit.judged if item.in_deviations != 0.0])
    assert values.std() == pytest.approx(1.0, abs=0.05)
    assert values.mean() == pytest.approx(0.0, abs=0.05)


def test_sound_readings_are_seldom_to_be_repeated(trials):
    """Of 21 unit normals one is over 3 in 5.5 % of trials; twice that is allowed."""
    assert np.mean([fit.repeat is not None for fit in trials]) < 0.11


def test_the_slip_is_the_one_to_repeat():
    """A slip of 1 mm in any reading that the others check by a sixth or more: eight deviations at least."""
    chance = np.random.default_rng(3)
    rough = {name: hole(*at) for name, at in PLACES.items()}
    for _ in range(20):
        readings = list(network(chance, 0.05))
        checked = [i for i, item in enumerate(fit_readings(rough, tuple(readings)).judged) if item.redundancy > 1 / 6]
        which = int(chance.choice(checked))
        slipped = readings[which].model_copy(update={"reads_mm": readings[which].reads_mm + 1.0})
        readings[which] = slipped
        assert fit_readings(rough, tuple(readings)).repeat == which
