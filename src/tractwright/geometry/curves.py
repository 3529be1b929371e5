"""The curve family of a runner's course: a clamped uniform quartic B-spline of eight poles, linear in its poles."""

from functools import lru_cache

import numpy as np
from scipy.interpolate import BSpline

from tractwright.geometry.frames import Array

DEGREE = 4
POLES = 8


@lru_cache(maxsize=32)
def course_basis(stations: int) -> tuple[Array, Array, Array, Array, Array]:
    """Parameters (stations,) from 0 to 1 and the basis matrices (stations, POLES) of value and three derivatives."""
    u = np.linspace(0.0, 1.0, stations)
    return (u, *_basis_at(u))


def course_at(poles_mm: Array, u: Array) -> tuple[Array, Array, Array]:
    """Point, first and second derivative (n, 3) at parameters u."""
    value, first, second, _ = _basis_at(u)
    return value @ poles_mm, first @ poles_mm, second @ poles_mm


def _basis_at(u: Array) -> tuple[Array, Array, Array, Array]:
    inner = np.linspace(0.0, 1.0, POLES - DEGREE + 1)
    knots = np.concatenate([np.zeros(DEGREE), inner, np.ones(DEGREE)])
    splines = [BSpline(knots, row, DEGREE) for row in np.eye(POLES)]
    inside = np.clip(u, 1e-12, 1.0 - 1e-12)
    value, first, second, third = (
        np.stack([spline.derivative(order)(inside) if order else spline(inside) for spline in splines], axis=1)
        for order in range(4)
    )
    return value, first, second, third
