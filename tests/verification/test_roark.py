"""Rectangular plates: Roark's table 11.4 as printed, Navier's series, a finite-difference plate, closed forms of strips."""

from functools import cache
from math import pi, sqrt

import numpy as np
import pytest
from scipy import sparse
from scipy.sparse.linalg import eigsh, splu

from tractwright.standards.materials import material
from tractwright.strength.plates import (
    plate_bow_mm,
    plate_factors,
    plate_frequency_hz,
    plate_stress_mpa,
    plate_thickness_mm,
)

NU = 0.3  # the tables' Poisson's ratio
PLATE = material("6061-T651")

PRINTED_1A = {  # Roark's Formulas, 7th ed., p. 502, case 1a: a/b, beta, alpha
    1.0: (0.2874, 0.0444), 1.2: (0.3762, 0.0616), 1.4: (0.4530, 0.0770), 1.6: (0.5172, 0.0906), 1.8: (0.5688, 0.1017),
    2.0: (0.6102, 0.1110), 3.0: (0.7134, 0.1335), 4.0: (0.7410, 0.1400), 5.0: (0.7476, 0.1417), 1e9: (0.7500, 0.1421),
}  # fmt: skip


def navier(ratio: float) -> tuple[float, float]:
    """Stress and bow factors of a supported plate from Navier's double sine series (Timoshenko, Theory of Plates)."""
    m = np.arange(1, 200, 2)[:, None].astype(float)
    n = np.arange(1, 200, 2)[None, :].astype(float)
    sign = np.sin(m * pi / 2) * np.sin(n * pi / 2)
    series = 16.0 / pi**6 * sign / (m * n * ((m / ratio) ** 2 + n**2) ** 2)
    bow = series.sum() * 12.0 * (1 - NU**2)
    bending = (series * pi**2 * (n**2 + NU * (m / ratio) ** 2)).sum()
    return 6.0 * bending, bow


@cache
def clamped_by_differences(ratio: float) -> tuple[float, float, float, float]:
    """Edge stress, centre stress, bow and frequency factors of a clamped plate, two grids, error taken to be h^2."""
    coarse, fine = (np.array(_clamped_grid(ratio, cells)) for cells in (40, 80))
    edge, centre, bow, frequency = fine + (fine - coarse) / 3.0
    return float(edge), float(centre), float(bow), float(frequency)


def _clamped_grid(ratio: float, cells: int) -> tuple[float, float, float, float]:
    nx, ny = cells, cells
    hx, hy = ratio / nx, 1.0 / ny

    def ones(count: int) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
        second = sparse.diags([1.0, -2.0, 1.0], [-1, 0, 1], shape=(count, count))
        fourth = sparse.diags([1.0, -4.0, 6.0, -4.0, 1.0], [-2, -1, 0, 1, 2], shape=(count, count)).tolil()
        fourth[0, 0] = fourth[-1, -1] = 7.0  # slope 0: the point beyond the edge mirrors the first inside
        return second.tocsc(), fourth.tocsc()

    (dx, fx), (dy, fy) = ones(nx - 1), ones(ny - 1)
    ix, iy = sparse.identity(nx - 1), sparse.identity(ny - 1)
    plate = (
        sparse.kron(fx, iy) / hx**4 + 2.0 * sparse.kron(dx, dy) / (hx * hy) ** 2 + sparse.kron(ix, fy) / hy**4
    ).tocsc()
    w = splu(plate).solve(np.ones(plate.shape[0])).reshape(nx - 1, ny - 1)
    i, j = nx // 2 - 1, ny // 2 - 1
    wyy = (w[i, j - 1] - 2 * w[i, j] + w[i, j + 1]) / hy**2
    wxx = (w[i - 1, j] - 2 * w[i, j] + w[i + 1, j]) / hx**2
    edge = 2.0 * w[i, 0] / hy**2
    square = eigsh(plate, k=1, sigma=0.0, return_eigenvectors=False)[0]
    return 6 * edge, -6 * (wyy + NU * wxx), 12 * (1 - NU**2) * w[i, j], sqrt(square)


@pytest.mark.parametrize(("ratio", "printed"), PRINTED_1A.items(), ids=str)
def test_supported_plate_as_printed(ratio, printed):
    found = plate_factors("supported", ratio, 1.0)
    assert (found.stress, found.bow) == pytest.approx(printed, abs=1e-6)


@pytest.mark.parametrize("ratio", [1.0, 1.1, 1.3, 1.5, 1.7, 2.0, 2.5, 3.5, 4.5, 7.0, 20.0])
def test_supported_plate_against_naviers_series(ratio):
    """Between the printed rows too: within 1 %."""
    stress, bow = navier(ratio)
    found = plate_factors("supported", ratio, 1.0)
    assert found.stress == pytest.approx(stress, rel=0.01)
    assert found.bow == pytest.approx(bow, rel=0.01)


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.3, 1.5, 1.8, 2.0, 2.25, 2.5, 3.0, 4.0])
def test_clamped_plate_against_finite_differences(ratio):
    """Case 8a. An independent numerical plate; 1 % covers its grid and the table's rounding."""
    edge, centre, bow, frequency = clamped_by_differences(ratio)
    found = plate_factors("clamped", ratio, 1.0)
    assert found.stress == pytest.approx(edge, rel=0.01)
    assert found.centre_stress == pytest.approx(centre, rel=0.01)
    assert found.bow == pytest.approx(bow, rel=0.01)
    assert found.frequency == pytest.approx(frequency, rel=0.005)


def test_long_plates_are_strips():
    """Beams of width 1 and stiffness E t^3/(12 (1 - nu^2)): p b^2/8, 5 p b^4/384 EI; p b^2/12, p b^4/384 EI."""
    plane = 12.0 * (1 - NU**2)
    supported, clamped = plate_factors("supported", 1e9, 1.0), plate_factors("clamped", 1e9, 1.0)
    assert supported.stress == pytest.approx(6 / 8, rel=1e-3)
    assert supported.bow == pytest.approx(5 / 384 * plane, rel=1e-3)
    assert clamped.stress == pytest.approx(6 / 12, rel=1e-3)
    assert clamped.centre_stress == pytest.approx(6 / 24, rel=1e-3)
    assert clamped.bow == pytest.approx(1 / 384 * plane, rel=2e-3)
    assert supported.frequency == pytest.approx(pi**2, rel=1e-3)
    assert clamped.frequency == pytest.approx(4.730041**2, rel=1e-3)  # clamped-clamped beam


@pytest.mark.parametrize("ratio", [1.0, 1.15, 1.5, 2.4, 4.2, 8.0])
def test_supported_frequency_in_closed_form(ratio):
    """Leissa, NASA SP-160: pi^2 (1 + (b/a)^2) on the short side."""
    assert plate_factors("supported", ratio, 1.0).frequency == pytest.approx(pi**2 * (1 + 1 / ratio**2), rel=0.004)


def test_clamped_square_frequency():
    """Leissa (1973) prints 35.992, an upper bound; a converged series gives 35.985."""
    assert plate_factors("clamped", 1.0, 1.0).frequency == pytest.approx(35.99, rel=1e-3)


def test_figures_with_units():
    """300 x 90 x 10 mm cover at 2 bar, worked by hand from the printed factors (a/b = 3.333, between 3 and 4)."""
    sides, thick, pressure = (300.0, 90.0), 10.0, 0.2
    stress = plate_stress_mpa("supported", sides, thick, pressure)
    assert 0.7134 * 0.2 * 90**2 / 100 < stress < 0.7410 * 0.2 * 90**2 / 100
    bow = plate_bow_mm("supported", sides, thick, pressure, PLATE)
    assert bow == pytest.approx(plate_factors("supported", *sides).bow * 0.2 * 90**4 / (68900 * 1000))
    least = plate_thickness_mm("supported", sides, pressure, 100.0)
    assert plate_stress_mpa("supported", sides, least, pressure) == pytest.approx(100.0)
    assert plate_stress_mpa("supported", sides[::-1], thick, -pressure) == stress


def test_frequency_with_units():
    """By hand: 10 x 10 m, 0.05 m steel-like plate, simply supported: pi/ (a^2) sqrt(D/(rho t))."""
    steel = material("steel")
    stiffness = 206e9 * 0.05**3 / (12 * (1 - 0.3**2))
    by_hand = pi * sqrt(stiffness / (7850 * 0.05)) / 100.0
    assert plate_frequency_hz("supported", (1e4, 1e4), 50.0, steel) == pytest.approx(by_hand, rel=1e-3)
