"""Compiled loops of the course search: curvature, and soft least distances with their slopes on the extended poles.

Extended poles of a runner (10): port centre, the curve's eight poles, the mouth's centre on the floor's inner face.
Every station's point is linear in them, so a slope on points becomes a slope on poles by the basis matrix.
"""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
_SLOWEST2 = 1.0
"""Added to the square of a curve's speed [mm2]: keeps a cusp finite."""
_LEAST_STEP2 = 1e-18
"""Square of a step below which nothing is mirrored at it."""


@njit(cache=True)
def curvature_terms(
    first: Floats, second: Floats, half_wide: Floats, half_least: Floats, wide: Floats, wall: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
    """Curvature and bend tightness at stations, with slopes on the first and second derivative.

    first, second : (n, m, 3); half_wide, half_least : (n, m); wide : (n, m, 3) unit; wall : (n,).
    Tightness = half size in the bend's plane times curvature + wall times curvature (1 at a bend whose radius equals
    half size + wall). Gives curvature (n, m), its slopes (n, m, 3) twice, tightness, its slopes.
    """
    runners, stations = first.shape[0], first.shape[1]
    curvature, tightness = np.empty((runners, stations)), np.empty((runners, stations))
    c1, c2 = np.empty((runners, stations, 3)), np.empty((runners, stations, 3))
    t1, t2 = np.empty((runners, stations, 3)), np.empty((runners, stations, 3))
    kv, va, vb = np.empty(3), np.empty(3), np.empty(3)
    for r in range(runners):
        for k in range(stations):
            d1, d2 = first[r, k], second[r, k]
            s2 = d1[0] * d1[0] + d1[1] * d1[1] + d1[2] * d1[2] + _SLOWEST2
            dot = d1[0] * d2[0] + d1[1] * d2[1] + d1[2] * d2[2]
            size = 1e-14
            along = 0.0
            for d in range(3):
                kv[d] = (d2[d] - d1[d] * dot / s2) / s2
                size += kv[d] * kv[d]
                along += kv[d] * wide[r, k, d]
            kappa = np.sqrt(size)
            hw2, hh2 = half_wide[r, k] ** 2, half_least[r, k] ** 2
            q = np.sqrt(hh2 * size + (hw2 - hh2) * along * along)
            for d in range(3):
                va[d] = kv[d] / kappa
                vb[d] = (hh2 * kv[d] + (hw2 - hh2) * along * wide[r, k, d]) / q + wall[r] * va[d]
            curvature[r, k] = kappa
            tightness[r, k] = q + wall[r] * kappa
            _slopes_on_derivatives(va, d1, d2, s2, dot, c1[r, k], c2[r, k])
            _slopes_on_derivatives(vb, d1, d2, s2, dot, t1[r, k], t2[r, k])
    return curvature, c1, c2, tightness, t1, t2


@njit(cache=True)
def _slopes_on_derivatives(
    v: Floats, d1: Floats, d2: Floats, s2: float, dot: float, on_first: Floats, on_second: Floats
) -> None:
    """Slope of v . (curvature vector) on the first and second derivative, written into the last two."""
    v1 = v[0] * d1[0] + v[1] * d1[1] + v[2] * d1[2]
    v2 = v[0] * d2[0] + v[1] * d2[1] + v[2] * d2[2]
    s4 = s2 * s2
    for d in range(3):
        on_second[d] = (v[d] - d1[d] * v1 / s2) / s2
        on_first[d] = (-2.0 * v2 * d1[d] - dot * v[d] - v1 * d2[d] + 4.0 * v1 * dot / s2 * d1[d]) / s4


@njit(cache=True)
def carried_directions(points: Floats, tangents: Floats, first: Floats) -> Floats:
    """A direction square to each curve carried along it without turning about it, by double reflection (n, m, 3).

    points, tangents : (n, m, 3), tangents unit; first (n, 3) : the direction at the first point. Numba's twin of
    `geometry.frames.carried_frames`.
    """
    runners, stations = points.shape[0], points.shape[1]
    carried = np.empty((runners, stations, 3))
    step, second = np.empty(3), np.empty(3)
    for r in range(runners):
        carried[r, 0] = first[r] - tangents[r, 0] * np.dot(first[r], tangents[r, 0])
        for k in range(stations - 1):
            step[:] = points[r, k + 1] - points[r, k]
            share = 2.0 / max(np.dot(step, step), _LEAST_STEP2)
            mirrored = carried[r, k] - step * (share * np.dot(step, carried[r, k]))
            second[:] = tangents[r, k + 1] - tangents[r, k] + step * (share * np.dot(step, tangents[r, k]))
            again = 2.0 / max(np.dot(second, second), _LEAST_STEP2)
            carried[r, k + 1] = mirrored - second * (again * np.dot(second, mirrored))
    return carried


@njit(cache=True)
def neighbour_rows(
    points: Floats, wide: Floats, sizes: Floats, basis: Floats, pair: Ints, need: Floats, sharpness: float, skip: int
) -> tuple[Floats, Floats, Floats]:
    """Soft least gap between skins of pairs of runners, a row for each curve station of the first.

    points : (n, k, 3), wide : (n, k, 3) unit, where the section's width lies; sizes : (n, k, 3) corner and wall together,
    half the width and half the least width beyond the corner; basis : (k, 10), pair : (q, 2), need : (q, k - 2 skip) gap
    wanted, skip : stations of the leads at each end. Gives gap minus need (q, m), slope on the first's points (q, m, 3), on
    the second's extended poles (q, m, 10, 3): the sections' reach towards each other is taken as fixed.
    """
    pairs, stations = pair.shape[0], points.shape[1]
    rows = stations - 2 * skip
    value = np.empty((pairs, rows))
    on_first = np.zeros((pairs, rows, 3))
    on_second = np.zeros((pairs, rows, 10, 3))
    gap, distance = np.empty(stations), np.empty(stations)
    for q in range(pairs):
        i, j = pair[q, 0], pair[q, 1]
        for row in range(rows):
            k = row + skip
            least = 1e30
            for m in range(stations):
                s, on_i, on_j = 1e-9, 0.0, 0.0
                for d in range(3):
                    e = points[i, k, d] - points[j, m, d]
                    s += e * e
                    on_i += e * wide[i, k, d]
                    on_j += e * wide[j, m, d]
                distance[m] = np.sqrt(s)
                gap[m] = distance[m] - _reach(sizes[i, k], on_i, distance[m]) - _reach(sizes[j, m], on_j, distance[m])
                least = min(least, gap[m])
            total = 0.0
            for m in range(stations):
                total += np.exp(-sharpness * (gap[m] - least))
            value[q, row] = least - np.log(total) / sharpness - need[q, row]
            for m in range(stations):
                weight = np.exp(-sharpness * (gap[m] - least)) / total
                if weight < 1e-7:
                    continue
                for d in range(3):
                    e = weight * (points[i, k, d] - points[j, m, d]) / distance[m]
                    on_first[q, row, d] += e
                    for c in range(10):
                        if basis[m, c] != 0.0:
                            on_second[q, row, c, d] -= basis[m, c] * e
    return value, on_first, on_second


@njit(cache=True)
def _reach(sizes: Floats, along: float, distance: float) -> float:
    """How far a rounded rectangle reaches towards a place so far away, so much of it along its width."""
    share = min(1.0, abs(along) / distance)
    return sizes[0] + sizes[1] * share + sizes[2] * np.sqrt(1.0 - share * share)


@njit(cache=True)
def self_rows(
    points: Floats, radius: Floats, basis: Floats, window_mm: float, gap_mm: float, sharpness: float, step: int
) -> tuple[Floats, Floats]:
    """Soft least gap between a runner's skin and its own skin further on than window_mm along the course.

    A row for every `step`-th station (a large value where there is nothing further on); gives rows (n, i) and slopes on
    extended poles (n, i, 10, 3).
    """
    runners, stations = points.shape[0], points.shape[1]
    rows = (stations + step - 1) // step
    value = np.full((runners, rows), 1e6)
    along = np.zeros(stations)
    slope = np.zeros((runners, rows, 10, 3))
    gap = np.empty(stations)
    for r in range(runners):
        for m in range(1, stations):
            s = 0.0
            for d in range(3):
                s += (points[r, m, d] - points[r, m - 1, d]) ** 2
            along[m] = along[m - 1] + np.sqrt(s)
        for row in range(rows):
            k = row * step
            first = k
            while first < stations and along[first] - along[k] < window_mm:
                first += 1
            if first == stations:
                break
            least = 1e30
            for m in range(first, stations):
                s = 1e-9
                for d in range(3):
                    s += (points[r, k, d] - points[r, m, d]) ** 2
                gap[m] = np.sqrt(s) - radius[r, k] - radius[r, m]
                least = min(least, gap[m])
            total = 0.0
            for m in range(first, stations):
                total += np.exp(-sharpness * (gap[m] - least))
            value[r, row] = least - np.log(total) / sharpness - gap_mm
            for m in range(first, stations):
                weight = np.exp(-sharpness * (gap[m] - least)) / total
                if weight < 1e-7:
                    continue
                distance = gap[m] + radius[r, k] + radius[r, m]
                for d in range(3):
                    e = weight * (points[r, k, d] - points[r, m, d]) / distance
                    for c in range(10):
                        slope[r, row, c, d] += (basis[k, c] - basis[m, c]) * e
    return value, slope


@njit(cache=True)
def capsule_distance(
    points: Floats, start: Floats, direction: Floats, length: Floats, radius: Floats, sharpness: float
) -> tuple[Floats, Floats, Floats]:
    """Soft least signed distance of points (n, 3) to capsules, its slope (n, 3), and the direction away from the nearest.

    Far away where there is no capsule.
    """
    count, capsules = points.shape[0], start.shape[0]
    value, slope, direct = np.full(count, 1e6), np.zeros((count, 3)), np.zeros((count, 3))
    gap, away = np.empty(capsules), np.empty((capsules, 3))
    for n in range(count):
        least = 1e30
        for q in range(capsules):
            t = 0.0
            for d in range(3):
                t += (points[n, d] - start[q, d]) * direction[q, d]
            t = min(max(t, 0.0), length[q])
            s = 1e-9
            for d in range(3):
                away[q, d] = points[n, d] - start[q, d] - t * direction[q, d]
                s += away[q, d] ** 2
            s = np.sqrt(s)
            gap[q] = s - radius[q]
            for d in range(3):
                away[q, d] /= s
                if gap[q] < least:
                    direct[n, d] = away[q, d]
            least = min(least, gap[q])
        total = 0.0
        for q in range(capsules):
            total += np.exp(-sharpness * (gap[q] - least))
        if capsules > 0:
            value[n] = least - np.log(total) / sharpness
        for q in range(capsules):
            weight = np.exp(-sharpness * (gap[q] - least)) / total
            for d in range(3):
                slope[n, d] += weight * away[q, d]
    return value, slope, direct


@njit(cache=True)
def body_distance(local: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Signed distance of points (n, 3) to one box, positive outside, and its slope (n, 3), all in the box's frame."""
    count = local.shape[0]
    value, slope = np.empty(count), np.zeros((count, 3))
    out, sign = np.empty(3), np.empty(3)
    for n in range(count):
        most, at, s = -1e30, 0, 0.0
        for d in range(3):
            sign[d] = 1.0 if 2.0 * local[n, d] > low[d] + high[d] else -1.0
            q = max(low[d] - local[n, d], local[n, d] - high[d])
            if q > most:
                most, at = q, d
            out[d] = max(q, 0.0)
            s += out[d] * out[d]
        if most <= 0.0:
            value[n] = most
            slope[n, at] = sign[at]
            continue
        value[n] = np.sqrt(s)
        for d in range(3):
            slope[n, d] = sign[d] * out[d] / value[n]
    return value, slope
