"""The stations at which courses are looked at, and how large the sections are there."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.integrate import cumulative_trapezoid

from tractwright.geometry.curves import course_basis
from tractwright.geometry.frames import Array
from tractwright.route.course.kernels import carried_directions
from tractwright.route.course.packed import Packed, beside_half

LEAD = 3
"""Stations on each straight lead."""
EXTENDED = 10
"""Extended poles: port centre, eight poles, mouth centre."""
_CORNERS = 4.0 - np.pi
"""What a square corner has more than a round one, in squares of its radius."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Stations:
    """Where courses are looked at: m stations along the curve, k = m + 2 LEAD with the straight leads.

    value (k, 10): station points from extended poles; d1, d2, d3 (m, 8) derivatives from poles; weight (m,) Simpson;
    u (m,); outer (n, k) largest outer half, beside (n, m) towards the neighbours; half_wide, half_least, corner (n, m);
    wide (n, m, 3): where the sections' width lies.
    """

    u: Array
    value: Array
    d1: Array
    d2: Array
    d3: Array
    weight: Array
    outer: Array
    beside: Array
    half_wide: Array
    half_least: Array
    corner: Array
    wide: Array


def stations_of(packed: Packed, count: int) -> Stations:
    """Stations: count (odd) along the curve and LEAD on each lead, the sections as on a straight curve run through evenly."""
    u, value, d1, d2, d3 = course_basis(count)
    extended = np.zeros((count + 2 * LEAD, EXTENDED))
    extended[LEAD:-LEAD, 1:9] = value
    for i in range(LEAD):
        extended[i, 0], extended[i, 1] = 1.0 - i / LEAD, i / LEAD
        extended[-1 - i, 9], extended[-1 - i, 8] = 1.0 - i / LEAD, i / LEAD
    weight = np.ones(count)
    weight[1:-1:2], weight[2:-1:2] = 4.0, 2.0
    none = np.empty((len(packed.start), 0))
    bare = Stations(
        u=u,
        value=extended,
        d1=d1,
        d2=d2,
        d3=d3,
        weight=weight / 3.0 / (count - 1),
        outer=none,
        beside=none,
        half_wide=none,
        half_least=none,
        corner=none,
        wide=np.broadcast_to(packed.wide[:, None, :], (len(packed.start), count, 3)).copy(),
    )
    return _sized(packed, bare, np.broadcast_to(u, (len(packed.start), count)))


def stations_on(packed: Packed, stations: Stations, curve: Array, tangent: Array, speed: Array) -> Stations:
    """The same stations with the sections as courses (n, m, 3) run through at those speeds (n, m) have them: sizes change with
    the length that is behind, not with the curve's parameter, and the width is carried along from the port.
    """
    behind = cumulative_trapezoid(speed, stations.u, axis=1, initial=0.0)
    wide = carried_directions(np.ascontiguousarray(curve), tangent, packed.wide)
    return replace(_sized(packed, stations, behind / behind[:, -1:]), wide=wide)


def _sized(packed: Packed, stations: Stations, share: Array) -> Stations:
    """Sections at shares of the curve's length (n, m): the port's turned smoothly into the mouth's circle, the area too.

    As `design.tube` makes them, every port taken for the rounded rectangle of its width, height and tightest corner.
    """
    over = share**3 * (10.0 - 15.0 * share + 6.0 * share**2)
    port = 4.0 * packed.half_wide * packed.half_least - _CORNERS * packed.corner**2
    alike, mouth = np.sqrt(port / np.pi)[:, None], np.pi * packed.mouth_radius[:, None] ** 2
    at_port = beside_half(packed.problem.runners, packed.start) - packed.wall
    ends = (packed.half_wide, packed.half_least, packed.corner, at_port)
    half_wide, half_least, corner, beside = (end[:, None] * (1.0 - over) + alike * over for end in ends)
    area = port[:, None] + (mouth - port[:, None]) * share**2 * (3.0 - 2.0 * share)
    scale = np.sqrt(area / (4.0 * half_wide * half_least - _CORNERS * corner**2))
    wall = packed.wall[:, None]
    return replace(
        stations,
        outer=np.pad(half_wide * scale, ((0, 0), (LEAD, LEAD)), mode="edge") + wall,
        beside=beside * scale + wall,
        half_wide=half_wide * scale,
        half_least=half_least * scale,
        corner=corner * scale,
    )
