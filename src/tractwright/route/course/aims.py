"""What the courses should be among all that meet the demands: low loss, fair, the wanted length, plenum square and central.

Loss of a bend of angle t and radius R in a bore of radius r, in velocity heads: (0.131 + 1.847 (r/R)^3.5) t / 90 deg
(Weisbach; source key weisbach_bend), taken per length of course and weighted by the square of the speed there.
"""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.route.course.packed import Packed
from tractwright.route.course.sight import Sight
from tractwright.route.course.stations import Stations
from tractwright.route.course.unknowns import FACE, LOCAL, length_at, local_columns, size_of

_STRAIGHT = 1e-3
"""Curvature [1/mm] below which a course counts as straight: rounds off the corner of the loss at zero."""
_LENGTH_ROUND = 2e-3
_CENTRE, _TURN, _PITCH = 0.05, 5.0, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """length_mm aimed at; weights of the relative length error and of fairness (the third derivative)."""

    length_mm: float
    length_weight: float = 400.0
    fairness: float = 5.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Aim:
    """Value, slope (unknowns,) and a positive curvature matrix (unknowns, unknowns) of what is made small."""

    value: float
    slope: Array
    curvature: Array


def aim_of(packed: Packed, stations: Stations, sight: Sight, wish: Wish) -> Aim:
    """The aim at the courses seen."""
    size, runners = size_of(packed), len(packed.start)
    slope, curvature = np.zeros(size), np.zeros((size, size))
    value, on_poles, square = _courses(packed, stations, sight, wish)
    for r in range(runners):
        columns = local_columns(packed, r)
        table = sight.place.slope[r, 1:9].reshape(24, LOCAL)
        slope[columns] += on_poles[r].ravel() @ table
        curvature[np.ix_(columns, columns)] += table.T @ square[r] @ table
    value += _length(packed, sight, wish, slope, curvature)
    value += _square_and_central(packed, sight, slope, curvature)
    return Aim(value=value, slope=slope, curvature=curvature)


def bend_loss(curvature: Array, radius: Array) -> tuple[Array, Array, Array]:
    """Loss per length [velocity heads/mm], its slope and a positive second slope on the curvature [1/mm]."""
    round_off = np.sqrt(curvature**2 + _STRAIGHT**2)
    kappa, on = round_off - _STRAIGHT, curvature / round_off
    value = 0.131 * kappa + 1.847 * radius**3.5 * kappa**4.5
    first = 0.131 + 1.847 * 4.5 * (radius * kappa) ** 3.5
    return value * 2 / np.pi, first * on * 2 / np.pi, first / round_off * 2 / np.pi


def _courses(packed: Packed, stations: Stations, sight: Sight, wish: Wish) -> tuple[float, Array, Array]:
    """Loss and fairness: value, slope on poles (n, 8, 3), positive square form on poles (n, 24, 24)."""
    runners = len(packed.start)
    radius = np.sqrt(stations.half_wide * stations.half_least)
    speed2 = radius**-4.0
    speed2 = speed2 / speed2.mean(axis=1, keepdims=True)
    loss, first, second = bend_loss(sight.curvature, radius)
    weight = stations.weight * speed2 / runners
    value = float(np.sum(weight * loss * sight.speed))
    on_poles = np.einsum("nm,nmcd->ncd", weight * first * sight.speed, sight.curvature_on_poles)
    on_poles += np.einsum("nm,nmcd->ncd", weight * loss, sight.speed_on_poles)
    flat = sight.curvature_on_poles.reshape(runners, -1, 24)
    square = np.matmul((flat * (weight * second * sight.speed)[..., None]).transpose(0, 2, 1), flat)
    length = packed.problem.length_wanted_mm * packed.share
    fair = 1e-3 * wish.fairness / runners / length**2
    value += float(np.sum(fair * (np.einsum("nmd,nmd->nm", sight.third, sight.third) @ stations.weight)))
    on_poles += 2.0 * fair[:, None, None] * np.einsum("m,mc,nmd->ncd", stations.weight, stations.d3, sight.third)
    jerk = np.kron((stations.d3 * stations.weight[:, None]).T @ stations.d3, np.eye(3))
    square += 2.0 * fair[:, None, None] * jerk
    return value, on_poles, square


def _length(packed: Packed, sight: Sight, wish: Wish, slope: Array, curvature: Array) -> float:
    """Adds the slope and curvature of the length error in place; gives its value."""
    at = length_at(packed)
    scale = sight.scale[at] / wish.length_mm
    error = (sight.place.length - wish.length_mm) / wish.length_mm
    round_off = float(np.sqrt(error**2 + _LENGTH_ROUND**2))
    slope[at] += wish.length_weight * error / round_off * scale
    curvature[at, at] += wish.length_weight / round_off * scale**2
    return wish.length_weight * (round_off - _LENGTH_ROUND)


def _square_and_central(packed: Packed, sight: Sight, slope: Array, curvature: Array) -> float:
    """Plenum along the row, in its middle, mouths as far apart as the ports: mild.

    Adds slope and curvature in place; gives the value.
    """
    total = 0.0
    for f in range(len(packed.faces)):
        aside = float((sight.place.middle[f] - packed.origin[f]) @ packed.base[f, 0]) / 100.0
        turn = float(
            np.arctan2(-sight.place.axes[f, 0] @ packed.base[f, 2], sight.place.axes[f, 0] @ packed.base[f, 0])
        )
        off = float(sight.place.pitch[f] / packed.port_pitch[f]) - 1.0
        total += _CENTRE * aside**2 + _TURN * turn**2 + _PITCH * off**2
        terms = ((0, _CENTRE, aside, 0.01), (4, _TURN, turn, 1.0), (5, _PITCH, off, 1.0 / packed.port_pitch[f]))
        for column, weight, value, rate in terms:
            scale = sight.scale[FACE * f + column] * rate
            slope[FACE * f + column] += 2 * weight * value * scale
            curvature[FACE * f + column, FACE * f + column] += 2 * weight * scale**2
    return total
