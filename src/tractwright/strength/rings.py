"""Closed sections under inside pressure, any shape: a slice of the wall as a thin ring. mm, N, MPa.

A ring's bending moment under even pressure is p/2 |r|^2 less its best fit by 1, x and y round the ring: statics make it
that up to a constant and a linear part, and a closed ring does not gape, turn or shift at a cut (unit loads). The pull
along the wall follows from balance of the half ring. A circle bends nowhere; a long flat side is a clamped strip.
Source: Timoshenko and Woinowsky-Krieger (plates), Castigliano's theorem; derived here. A slice knows no help from along
the runner, so bent runners are a little stronger than this says.
"""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class RingState:
    """One ring at one pressure; all (m,) at the points given.

    moment_n : bending moment for 1 mm of length [Nmm/mm]; pull_n_mm : along the wall [N/mm]; bow_mm : outwards.
    """

    moment_n: Array
    pull_n_mm: Array
    bow_mm: Array

    def stress_mpa(self, wall_mm: float) -> Array:
        """Largest stress over the wall's thickness [MPa]."""
        return 6.0 * np.abs(self.moment_n) / wall_mm**2 + np.abs(self.pull_n_mm) / wall_mm


def ring_state(middle_mm: Array, pressure_mpa: float, wall_mm: float, modulus_mpa: float, poisson: float) -> RingState:
    """A closed ring of even wall. middle_mm : (m, 2) points of the wall's middle, counter-clockwise, the first
    not repeated.
    """
    points, weights, tangents = _measured(middle_mm)
    shape = 0.5 * np.sum(points**2, axis=1)
    basis = np.column_stack([np.ones(len(points)), points])
    fit = _weighted_fit(basis, shape, weights)
    moment = pressure_mpa * (shape - basis @ fit)
    away = points - fit[1:]
    pull = pressure_mpa * (away[:, 0] * tangents[:, 1] - away[:, 1] * tangents[:, 0])
    stiffness = modulus_mpa * wall_mm**3 / (12.0 * (1.0 - poisson**2))
    return RingState(moment_n=moment, pull_n_mm=pull, bow_mm=_bow(points, weights, tangents, -moment / stiffness))


def ring_wall_mm(state: RingState, allowed_mpa: float) -> float:
    """Least wall that keeps the stress to `allowed_mpa` [mm]: the larger root of 6 M/t^2 + N/t = allowed."""
    pull, bending = np.abs(state.pull_n_mm), np.abs(state.moment_n)
    return float(np.max((pull + np.sqrt(pull**2 + 24.0 * bending * allowed_mpa)) / (2.0 * allowed_mpa)))


def _measured(middle_mm: Array) -> tuple[Array, Array, Array]:
    """Points about their middle, length belonging to each, unit tangents that go round counter-clockwise."""
    lengths = np.linalg.norm(np.roll(middle_mm, -1, axis=0) - middle_mm, axis=1)
    weights = 0.5 * (lengths + np.roll(lengths, 1))
    across = np.roll(middle_mm, -1, axis=0) - np.roll(middle_mm, 1, axis=0)
    tangents = across / np.linalg.norm(across, axis=1, keepdims=True)
    return middle_mm - np.average(middle_mm, axis=0, weights=weights), weights, tangents


def _weighted_fit(basis: Array, values: Array, weights: Array) -> Array:
    """Coefficients of the fit with the least weighted squares."""
    root = np.sqrt(weights)
    fit, *_ = np.linalg.lstsq(basis * root[:, None], values * root, rcond=None)
    return np.asarray(fit, dtype=np.float64)


def _bow(points: Array, weights: Array, tangents: Array, bent: Array) -> Array:
    """Outward movement from the change of curvature, less the shift and turn of the whole ring."""
    count = len(points)
    turned = np.cumsum(bent * weights)
    ahead = np.roll(points, -1, axis=0) - points
    steps = turned[:, None] * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    moved = np.roll(np.cumsum(steps, axis=0), 1, axis=0).T.ravel()
    along_x = np.column_stack([np.ones(count), np.zeros(count), -points[:, 1]])
    along_y = np.column_stack([np.zeros(count), np.ones(count), points[:, 0]])
    rigid = np.concatenate([along_x, along_y])
    still = (moved - rigid @ _weighted_fit(rigid, moved, np.concatenate([weights, weights]))).reshape(2, count).T
    return still[:, 0] * tangents[:, 1] - still[:, 1] * tangents[:, 0]
