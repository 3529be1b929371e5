"""A closed loop of any smooth form through measured points: its distance from the middle as a sum of waves round it."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import Outline
from tractwright.scan.shapes import spread

WAVES = 14
"""Waves round a loop: corners of a tenth of its size are still followed; judgement."""
POINTS = 72
FEWEST_POINTS = 120
LEAST_DIRECTIONS = 0.9
"""Points must be seen in so many of 72 directions, or the waves would swing where there are none; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class FittedLoop:
    """outline about its own middle centre_mm (2,), with its residual [mm]."""

    outline: Outline
    centre_mm: Array
    residual_mm: float


def fit_loop(points: Array) -> FittedLoop | None:
    """The loop through points (n, 2); None where it does not go round, or lies in more than one place one way."""
    if len(points) < FEWEST_POINTS:
        return None
    middle = (points.max(axis=0) + points.min(axis=0)) / 2.0
    away = points - middle
    angle, radius = np.arctan2(away[:, 1], away[:, 0]), np.linalg.norm(away, axis=1)
    seen = np.unique(np.floor((angle + np.pi) / (2.0 * np.pi) * POINTS))
    if len(seen) < LEAST_DIRECTIONS * POINTS:
        return None
    waves, left = _waves(angle, radius)
    loop = _at(waves, middle, np.arange(720) * 2.0 * np.pi / 720)
    centre = _middle_of_area(loop)
    own = loop - centre
    size = np.ptp(own, axis=0)
    outline = Outline(
        kind="loop",
        width_mm=float(size[0]),
        height_mm=float(size[1]),
        points_mm=tuple((float(x), float(y)) for x, y in own[:: 720 // POINTS]),
    )
    return FittedLoop(outline=outline, centre_mm=centre, residual_mm=spread(left))


def _basis(angle: Array) -> Array:
    turns = np.arange(1, WAVES + 1) * angle[:, None]
    return np.column_stack([np.ones(len(angle)), np.cos(turns), np.sin(turns)])


def _waves(angle: Array, radius: Array) -> tuple[Array, Array]:
    """Weights of the waves by robust least squares, and what is left of each point."""
    basis = _basis(angle)
    weight, waves = np.ones(len(angle)), np.zeros(2 * WAVES + 1)
    left = radius
    for _ in range(6):
        root = np.sqrt(weight)
        waves = np.asarray(np.linalg.lstsq(basis * root[:, None], radius * root, rcond=None)[0], dtype=np.float64)
        left = radius - basis @ waves
        weight = 1.0 / (1.0 + (left / max(2.5 * spread(left), 0.02)) ** 2)
    return waves, left


def _at(waves: Array, middle: Array, angle: Array) -> Array:
    radius = _basis(angle) @ waves
    return middle + radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)


def _middle_of_area(loop: Array) -> Array:
    """The middle of the area inside a closed line (n, 2)."""
    after = np.roll(loop, -1, axis=0)
    cross = loop[:, 0] * after[:, 1] - after[:, 0] * loop[:, 1]
    return ((loop + after) * cross[:, None]).sum(axis=0) / (3.0 * cross.sum())
