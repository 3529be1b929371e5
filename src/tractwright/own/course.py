"""The course of a traced passage in the description's own terms: straight leads and eight poles between them."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.curves import POLES, course_at
from tractwright.geometry.frames import Array, unit

_BENT_MM, _BEYOND = 0.12, 2
_MOST_LEAD_SHARE = 0.35
_POINTS = 241
_ROUNDS = 40
_FINE = 2401


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class FittedCourse:
    """poles_mm (8, 3) between two straight leads; off_mm : how far the traced middle line lies from it at most."""

    poles_mm: Array
    first_lead_mm: float
    last_lead_mm: float
    off_mm: float


def fitted_course(
    s_mm: Array, centre_mm: Array, first: Array, last: Array, most_last_mm: float = float("inf")
) -> FittedCourse:
    """The course nearest to a middle line (n,), (n, 3). first : unit, into the passage at its start; last : unit, out of it
    at its end; most_last_mm : the last lead is no longer than that.
    """
    length = float(s_mm[-1])
    back, most = length - s_mm[::-1], _MOST_LEAD_SHARE * length
    leads = [
        min(_straight(s_mm, centre_mm - centre_mm[0], first), most),
        min(_straight(back, centre_mm[::-1] - centre_mm[-1], -last), most, most_last_mm),
    ]
    start, end = centre_mm[0] + leads[0] * first, centre_mm[-1] - leads[1] * last
    places = np.linspace(leads[0], length - leads[1], _POINTS)
    points = np.stack([np.interp(places, s_mm, centre_mm[:, k]) for k in range(3)], axis=1)
    poles = _fitted(points, (start, first), (end, last))
    curve = course_at(poles, np.linspace(0.0, 1.0, _FINE))[0]
    away = np.linalg.norm(curve[:, None, :] - points[None, ::4, :], axis=2).min(axis=0)
    return FittedCourse(poles_mm=poles, first_lead_mm=leads[0], last_lead_mm=leads[1], off_mm=float(away.max()))


def _straight(s_mm: Array, away: Array, way: Array) -> float:
    """How far from its start a line keeps to a straight one.

    Past the end of a straight a bend leaves it with the square of the way: two points further on tell where that is.
    """
    off = np.linalg.norm(away - s_mm[:, None] * way, axis=1)
    bent = np.flatnonzero(off > _BENT_MM)
    if len(bent) < _BEYOND + 1:
        return float(s_mm[-1])
    near, far = int(bent[0]), int(bent[_BEYOND])
    ratio = float(np.sqrt(off[far] / off[near]))
    back = float(s_mm[far] - s_mm[near]) / max(ratio - 1.0, 0.05)
    return float(np.clip(s_mm[near] - back, 0.0, s_mm[near]))


def _fitted(points: Array, start: tuple[Array, Array], end: tuple[Array, Array]) -> Array:
    """Poles (8, 3) by least squares, both ends and the directions there kept; each point's place on the curve moves with
    it until it no longer does.
    """
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    u = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    poles = _solved(points, u, start, end)
    for _ in range(_ROUNDS):
        place, first, second = course_at(poles, u)
        off = place - points
        slope = np.sum(first * first, axis=1) + np.sum(off * second, axis=1)
        step = np.where(slope > 0.0, np.sum(off * first, axis=1) / np.where(slope > 0.0, slope, 1.0), 0.0)
        u = np.maximum.accumulate(np.clip(u - np.clip(step, -0.02, 0.02), 0.0, 1.0))
        u[0], u[-1] = 0.0, 1.0
        poles = _solved(points, u, start, end)
    return poles


def _solved(points: Array, u: Array, start: tuple[Array, Array], end: tuple[Array, Array]) -> Array:
    """The poles that bring the curve at u nearest to the points: linear in four free poles and two lengths."""
    (first, way_in), (last, way_out) = start, end
    basis = np.stack([course_at(row[:, None], u)[0][:, 0] for row in np.eye(POLES)], axis=1)
    fixed = np.outer(basis[:, 0] + basis[:, 1], first) + np.outer(basis[:, -1] + basis[:, -2], last)
    rows = np.zeros((3 * len(u), 3 * (POLES - 4) + 2))
    for k in range(POLES - 4):
        for axis in range(3):
            rows[axis::3, 3 * k + axis] = basis[:, k + 2]
    rows[:, -2] = np.outer(basis[:, 1], way_in).ravel()
    rows[:, -1] = np.outer(basis[:, -2], -way_out).ravel()
    found = np.linalg.lstsq(rows, (points - fixed).ravel(), rcond=None)[0]
    a, b = float(max(found[-2], 1e-3)), float(max(found[-1], 1e-3))
    middle = found[:-2].reshape(POLES - 4, 3)
    return np.vstack([first, first + a * unit(way_in), middle, last - b * unit(way_out), last]).astype(np.float64)
