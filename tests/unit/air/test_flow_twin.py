"""The compiled cell loops against a plain numpy twin written from the same equations."""

import numpy as np
import pytest

from tractwright.air.flow.kernels import (
    COLD,
    Lane,
    cells_moved_on,
    edges_half_step_on,
    fluxes_between_cells,
    states_from_conserved,
)

GAMMA, R, RECOVERY = 1.4, 287.05, 0.89
CP = GAMMA * R / (GAMMA - 1)
STEP = 1e-5
ALL = Lane(0, 40, COLD)


@pytest.fixture
def gas():
    """Random gas in 40 cells of a rough pipe with heat: conserved (4, n), shape (7, n)."""
    draw = np.random.default_rng(5)
    n = 40
    density, speed, pressure = draw.uniform(0.5, 2, n), draw.normal(0, 200, n), draw.uniform(0.5e5, 2e5, n)
    conserved = np.stack(
        [density, density * speed, pressure / 0.4 + 0.5 * density * speed**2, density * draw.uniform(0, 1, n)]
    )
    area = draw.uniform(0.9e-3, 1.1e-3, n)
    shape = np.stack(
        [
            np.full(n, 100.0), draw.normal(0, 0.05, n), draw.uniform(0.9e5, 1.1e5, n), draw.uniform(0, 1, n),
            draw.uniform(0, 1, n), draw.uniform(250, 400, n), area,
        ]
    )  # fmt: skip
    return conserved, shape


def twin_states(conserved):
    density, momentum, energy, burnt = conserved
    return np.stack([density, momentum / density, 0.4 * (energy - 0.5 * momentum**2 / density), burnt / density])


def twin_edges(state, shape):
    """Monotonised central slopes, half a step of rho_t + u rho_x + rho (u_x + u (ln A)_x) = 0 and its fellows."""
    q = state[:3]
    below, above = q[:, 1:-1] - q[:, :-2], q[:, 2:] - q[:, 1:-1]
    limit = np.minimum(np.minimum(2 * abs(below), 2 * abs(above)), 0.5 * abs(below + above))
    slope = np.where(below * above > 0, np.sign(below) * limit, 0.0)
    (r, u, p), (dr, du, dp) = q[:, 1:-1], slope
    k = 0.5 * STEP * shape[0, 1:-1]
    spread = du + u * shape[1, 1:-1]
    moved = np.stack([r - k * (u * dr + r * spread), u - k * (u * du + dp / r), p - k * (u * dp + GAMMA * p * spread)])
    least = np.stack([0.05 * r, np.full_like(r, -np.inf), 0.05 * p])
    return np.maximum(moved - slope / 2, least), np.maximum(moved + slope / 2, least)


def twin_flux(a, b):
    """HLLC between states a and b (3, m), in its textbook form: four cases."""
    out = np.empty_like(a)
    for j, ((ra, ua, pa), (rb, ub, pb)) in enumerate(zip(a.T, b.T, strict=True)):
        ca, cb = np.sqrt(GAMMA * pa / ra), np.sqrt(GAMMA * pb / rb)
        sa, sb = min(ua - ca, ub - cb), max(ua + ca, ub + cb)
        s = (pb - pa + ra * ua * (sa - ua) - rb * ub * (sb - ub)) / (ra * (sa - ua) - rb * (sb - ub))
        if sa >= 0 or (s >= 0 and sa < 0):
            r, u, p, wave, outside = ra, ua, pa, sa, sa >= 0
        else:
            r, u, p, wave, outside = rb, ub, pb, sb, sb <= 0
        energy = p / 0.4 + 0.5 * r * u * u
        plain = np.array([r * u, r * u * u + p, u * (energy + p)])
        held = np.array([r, r * u, energy])
        star = r * (wave - u) / (wave - s) * np.array([1, s, energy / r + (s - u) * (s + p / (r * (wave - u)))])
        out[:, j] = plain if outside else plain + wave * (star - held)
    return out


def test_states(gas):
    conserved, shape = gas
    state = np.zeros((5, 40))
    quickest = states_from_conserved(conserved, shape, state, ALL)
    expected = twin_states(conserved)
    np.testing.assert_allclose(state[:4], expected, rtol=1e-12)
    sound = np.sqrt(GAMMA * expected[2] / expected[0])
    assert quickest == pytest.approx((100.0 * (abs(expected[1]) + sound)).max(), rel=1e-12)


def test_edges_fluxes_and_the_step(gas):
    conserved, shape = gas
    state = np.zeros((5, 40))
    states_from_conserved(conserved, shape, state, ALL)
    low, high, flux = np.ones((3, 40)), np.ones((3, 40)), np.zeros((4, 40))
    edges_half_step_on(STEP, state, shape, low, high, ALL)
    expected_low, expected_high = twin_edges(state[:4], shape)
    np.testing.assert_allclose(low[:, 1:-1], expected_low, rtol=1e-11, atol=1e-9)
    np.testing.assert_allclose(high[:, 1:-1], expected_high, rtol=1e-11, atol=1e-9)

    fluxes_between_cells(low, high, state, flux, ALL)
    expected = twin_flux(high[:, 1:-2], low[:, 2:-1])
    np.testing.assert_allclose(flux[:3, 2:-1], expected, rtol=1e-9, atol=1e-6)
    from_left = flux[0, 2:-1] >= 0
    np.testing.assert_allclose(flux[3, 2:-1], flux[0, 2:-1] * np.where(from_left, state[3, 1:-2], state[3, 2:-1]))

    before = conserved.copy()
    heat = cells_moved_on(STEP, conserved, state, flux, shape, ALL)
    k, a, b = STEP * shape[2, 1:-1], shape[6, 1:-1], shape[6, 2:]
    r, u, p = state[:3, 1:-1]
    felt = p / (R * r) + RECOVERY * u**2 / (2 * CP)
    warmed = STEP * abs(u) * shape[4, 1:-1] * CP * r * (shape[5, 1:-1] - felt)
    gone = flux[:, 2:] * b - flux[:, 1:-1] * a
    gone[1] -= p * (b - a)
    after = before[:, 1:-1] - k * gone
    after[1] /= 1 + STEP * abs(u) * shape[3, 1:-1]
    after[2] += warmed
    np.testing.assert_allclose(conserved[:, 1:-1], after, rtol=1e-10, atol=1e-9)
    assert heat == pytest.approx((warmed / shape[2, 1:-1]).sum(), rel=1e-9)
