"""Closed outlines fitted to measured points: circle, oval, rounded rectangle, D. Robust, with the centre's drift.

Inside a fit an outline is nine numbers: centre x, y, turn, width, height, upper and lower corner radius, drift x, y.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.optimize import least_squares

from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import Outline

Kind = Literal["circle", "oval", "rounded_rectangle", "d"]
SAME_MM = 0.35
"""Sizes nearer than this are one size: a circle's width and height, an oval's corner and half height; judgement."""
D_GAIN = 0.94
"""A D must bring the residual below this share of the rounded rectangle's; judgement."""
D_UNLIKE_MM = 1.5
"""Corners of a D differ by more than this; judgement."""
SOFT_MM = 0.15
ENOUGH = 500
"""So many points tell the kind of an outline; all of them are used to measure it."""
FREE: dict[Kind, tuple[int, ...]] = {
    "circle": (0, 1, 3),
    "oval": (0, 1, 2, 3, 4),
    "rounded_rectangle": (0, 1, 2, 3, 4, 5),
    "d": (0, 1, 2, 3, 4, 5, 6),
}
DRIFT = (7, 8)
SCALE = np.array([1.0, 1.0, 0.05, 1.0, 1.0, 1.0, 1.0, 0.2, 0.2])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Circle:
    """A circle: centre (2,), radius, and the robust standard deviation of the points about it [mm]."""

    centre_mm: Array
    radius_mm: float
    residual_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class FittedShape:
    """An outline through points.

    centre (2,) at depth 0, turn [rad] as `least_turn` gives it, drift (2,) of the centre per mm of depth.
    residual_mm : robust standard deviation of the points about the outline.
    """

    outline: Outline
    centre_mm: Array
    turn: float
    drift: Array
    residual_mm: float


def spread(values: Array) -> float:
    """Robust standard deviation about zero."""
    return float(1.4826 * np.median(np.abs(values)))


def rough_circle(points: Array) -> Circle:
    """The circle through points (n, 2) by linear least squares, far points losing weight."""
    rows = np.column_stack([2.0 * points, np.ones(len(points))])
    square = (points**2).sum(axis=1)
    weight = np.ones(len(points))
    centre, radius, away = points.mean(axis=0), 1.0, np.zeros(len(points))
    for _ in range(8):
        root = np.sqrt(weight)
        found = np.linalg.lstsq(rows * root[:, None], square * root, rcond=None)[0]
        centre, radius = found[:2], float(np.sqrt(max(found[2] + found[:2] @ found[:2], 1e-6)))
        away = np.linalg.norm(points - centre, axis=1) - radius
        weight = 1.0 / (1.0 + (away / max(2.0 * spread(away), 0.02)) ** 2)
    return Circle(centre_mm=centre, radius_mm=radius, residual_mm=spread(away))


def fit_circle(points: Array, depth: Array, drifts: bool) -> FittedShape:
    """The circle through points (n, 2) taken at depths (n,) under the face."""
    near = rough_circle(points)
    start = np.array([*near.centre_mm, 0.0, 2.0 * near.radius_mm, *[0.0] * 5])
    return _shape("circle", *_solve("circle", points, depth, start, drifts))


def fit_outline(points: Array, depth: Array, drifts: bool) -> FittedShape:
    """The simplest of circle, oval, rounded rectangle and D that fits about as well as the best."""
    every = max(1, len(points) // ENOUGH)
    kind, start = _kind_of(points[::every], depth[::every], drifts)
    return _shape(kind, *_solve(kind, points, depth, start, drifts, finely=True))


def distance_to_outline(shape: FittedShape, points: Array) -> Array:
    """Signed distance (n,) [mm] of points (n, 2) in the face to a fitted outline at depth 0."""
    outline = shape.outline
    most = min(outline.width_mm, outline.height_mm) / 2.0
    upper, lower = {
        "rounded_rectangle": (outline.corner_radius_mm, outline.corner_radius_mm),
        "d": (outline.corner_radius_mm, outline.lower_corner_radius_mm),
    }.get(outline.kind, (most, most))
    values = np.array([*shape.centre_mm, shape.turn, outline.width_mm, outline.height_mm, upper, lower, 0.0, 0.0])
    return _distance(values, points, np.zeros(len(points)))


def _kind_of(points: Array, depth: Array, drifts: bool) -> tuple[Kind, Array]:
    """What the outline is, and its nine numbers roughly."""
    box, residual = _best_box(points, depth, drifts)
    width, height, corner = box[3], box[4], box[5]
    round_start = np.array([box[0], box[1], 0.0, (width + height) / 2.0, *[0.0] * 5])
    circle, round_residual = _solve("circle", points, depth, round_start, drifts)
    if abs(width - height) < 2.0 * SAME_MM and round_residual < max(1.3 * residual, residual + 0.05):
        return "circle", circle
    if corner > min(width, height) / 2.0 - SAME_MM:
        return "oval", box
    d_shape, d_residual = _best_d(points, depth, drifts, box)
    if abs(d_shape[5] - d_shape[6]) > D_UNLIKE_MM and d_residual < D_GAIN * residual:
        return "d", d_shape
    return "rounded_rectangle", box


def _best_box(points: Array, depth: Array, drifts: bool) -> tuple[Array, float]:
    """The rounded rectangle through points, from the smallest rectangle round them, sharp and round corners tried."""
    turn, centre, size = _least_rectangle(points)
    starts = [
        np.array([*centre, turn, *size, corner, corner, 0.0, 0.0])
        for corner in np.array([0.35, 0.9]) * size.min() / 2.0
    ]
    fits = [_solve("rounded_rectangle", points, depth, start, drifts) for start in starts]
    return min(fits, key=lambda fit: fit[1])


def _best_d(points: Array, depth: Array, drifts: bool, box: Array) -> tuple[Array, float]:
    """The D through points, its upper side tried each way round."""
    fits: list[tuple[Array, float]] = []
    for quarter in range(4):
        start = box.copy()
        start[2] += quarter * np.pi / 2.0
        start[3:5] = box[3:5] if quarter % 2 == 0 else box[4:2:-1]
        start[5:7] = 1.2 * box[5] + 1.0, 0.7 * box[5]
        fits.append(_solve("d", points, depth, start, drifts))
    return min(fits, key=lambda fit: fit[1])


def _solve(
    kind: Kind, points: Array, depth: Array, start: Array, drifts: bool, *, finely: bool = False
) -> tuple[Array, float]:
    """Least squares over the numbers the kind leaves free; far points count less (soft L1)."""
    free = [*FREE[kind], *(DRIFT if drifts else ())]

    def whole(some: Array) -> Array:
        values = start.copy()
        values[free] = some
        return _tied(kind, values)

    solved = least_squares(
        lambda some: _distance(whole(some), points, depth),
        start[free],
        loss="soft_l1",
        f_scale=SOFT_MM,
        x_scale=SCALE[free],
        xtol=1e-10 if finely else 1e-6,
        ftol=1e-12 if finely else 1e-7,
    )
    values = whole(solved.x)
    return values, spread(_distance(values, points, depth))


def _tied(kind: Kind, values: Array) -> Array:
    """The numbers that follow from the free ones, all within what makes an outline."""
    values[3:7] = np.abs(values[3:7])
    if kind == "circle":
        values[4] = values[3]
    most = min(values[3], values[4]) / 2.0
    if kind in ("circle", "oval"):
        values[5:7] = most
    elif kind == "rounded_rectangle":
        values[5:7] = min(values[5], most)
    else:
        values[5:7] = np.minimum(values[5:7], values[3] / 2.0)
        values[5:7] *= min(1.0, values[4] / max(values[5] + values[6], 1e-9))
    return values


def _distance(values: Array, points: Array, depth: Array) -> Array:
    """Signed distance (n,) of points at their depths to the outline."""
    away = points - values[:2] - depth[:, None] * values[7:9]
    c, s = np.cos(values[2]), np.sin(values[2])
    x, y = c * away[:, 0] + s * away[:, 1], c * away[:, 1] - s * away[:, 0]
    radius = np.where(y > 0.0, values[5], values[6])
    right, over = np.abs(x) - values[3] / 2.0 + radius, np.abs(y) - values[4] / 2.0 + radius
    return np.hypot(np.maximum(right, 0.0), np.maximum(over, 0.0)) + np.minimum(np.maximum(right, over), 0.0) - radius


def _shape(kind: Kind, values: Array, residual: float) -> FittedShape:
    """The nine numbers as an outline, turned as little as its own symmetry allows."""
    outline = Outline(
        kind=kind,
        width_mm=float(values[3]),
        height_mm=float(values[4]),
        corner_radius_mm=float(values[5]) if kind in ("rounded_rectangle", "d") else 0.0,
        lower_corner_radius_mm=float(values[6]) if kind == "d" else 0.0,
    )
    outline, turn = least_turn(outline, float(values[2]))
    return FittedShape(
        outline=outline,
        centre_mm=values[:2],
        turn=turn,
        drift=values[7:9],
        residual_mm=residual,
    )


def least_turn(outline: Outline, turn: float) -> tuple[Outline, float]:
    """The same outline with the least turn [rad]: a circle 0, a D within -90..90 degrees, others -45..45."""
    if outline.kind in ("circle", "loop"):
        return outline, 0.0
    if outline.kind == "d":
        halves = round(turn / np.pi)
        if halves % 2:
            upper, lower = outline.lower_corner_radius_mm, outline.corner_radius_mm
            outline = replace(outline, corner_radius_mm=upper, lower_corner_radius_mm=lower)
        return outline, turn - halves * np.pi
    quarters = round(turn / (np.pi / 2.0))
    if quarters % 2:
        outline = replace(outline, width_mm=outline.height_mm, height_mm=outline.width_mm)
    return outline, turn - quarters * np.pi / 2.0


def _least_rectangle(points: Array) -> tuple[float, Array, Array]:
    """Turn, centre and size of the rectangle, of 45 turns, that holds 98 % of the points most closely."""
    best: tuple[float, float, Array, Array] | None = None
    for turn in np.radians(np.arange(0.0, 90.0, 2.0)):
        c, s = np.cos(turn), np.sin(turn)
        axes = np.array([[c, s], [-s, c]])
        low, high = np.quantile(points @ axes.T, (0.01, 0.99), axis=0)
        size = high - low
        if best is None or size.prod() < best[0]:
            best = float(size.prod()), float(turn), ((low + high) / 2.0) @ axes, size
    _, turn, centre, size = best or (0.0, 0.0, np.zeros(2), np.ones(2))
    return turn, centre, size
