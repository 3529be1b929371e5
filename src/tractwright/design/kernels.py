"""Compiled loops of the room: signed distance and gradient from planes, boxes and grids, point by point."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Four = tuple[float, float, float, float]


class RoomArrays(NamedTuple):
    """A room as flat arrays. All lengths in mm.

    plane_normal (p, 3) unit, plane_offset (p,); box_low, box_high (b, 3); grid_low (g, 3), grid_step (g,),
    grid_shape (g, 3), grid_start (g,): where each grid begins in grid_values, which holds all grids one after another;
    grid_beyond (g,): 1 where the distance grows outside the samples, -1 where it shrinks; rod_start, rod_end (r, 3),
    rod_radius (r,).
    """

    plane_normal: Floats
    plane_offset: Floats
    box_low: Floats
    box_high: Floats
    grid_low: Floats
    grid_step: Floats
    grid_shape: npt.NDArray[np.int64]
    grid_start: npt.NDArray[np.int64]
    grid_values: npt.NDArray[np.float32]
    grid_beyond: Floats
    rod_start: Floats
    rod_end: Floats
    rod_radius: Floats


@njit(cache=True)
def box_distance(low: Floats, high: Floats, x: float, y: float, z: float) -> Four:
    """Signed distance to one box, positive outside, and its gradient: (d, gx, gy, gz)."""
    qx = max(low[0] - x, x - high[0])
    qy = max(low[1] - y, y - high[1])
    qz = max(low[2] - z, z - high[2])
    sx = 1.0 if 2.0 * x > low[0] + high[0] else -1.0
    sy = 1.0 if 2.0 * y > low[1] + high[1] else -1.0
    sz = 1.0 if 2.0 * z > low[2] + high[2] else -1.0
    if qx <= 0.0 and qy <= 0.0 and qz <= 0.0:
        if qx >= qy and qx >= qz:
            return qx, sx, 0.0, 0.0
        if qy >= qz:
            return qy, 0.0, sy, 0.0
        return qz, 0.0, 0.0, sz
    ox, oy, oz = max(qx, 0.0), max(qy, 0.0), max(qz, 0.0)
    d = np.sqrt(ox * ox + oy * oy + oz * oz)
    return d, sx * ox / d, sy * oy / d, sz * oz / d


@njit(cache=True)
def _cell_of(value: float, low: float, step: float, count: int) -> tuple[int, float, float]:
    """Cell index, fraction in it, and how far the place lies outside the samples (signed: negative below)."""
    t = (value - low) / step
    top = count - 1.0
    inside = min(max(t, 0.0), top)
    cell = min(int(inside), count - 2)
    return cell, inside - cell, (t - inside) * step


@njit(cache=True)
def grid_distance(room: RoomArrays, g: int, x: float, y: float, z: float) -> Four:
    """Trilinear value and gradient of grid g; outside its samples the distance to them is put on or taken off."""
    values, step, shape, low = room.grid_values, room.grid_step[g], room.grid_shape[g], room.grid_low[g]
    i, a, ex = _cell_of(x, low[0], step, shape[0])
    j, b, ey = _cell_of(y, low[1], step, shape[1])
    k, c, ez = _cell_of(z, low[2], step, shape[2])
    row = shape[2]
    sheet = shape[1] * row
    at = room.grid_start[g] + i * sheet + j * row + k
    v000, v001 = float(values[at]), float(values[at + 1])
    v010, v011 = float(values[at + row]), float(values[at + row + 1])
    at += sheet
    v100, v101 = float(values[at]), float(values[at + 1])
    v110, v111 = float(values[at + row]), float(values[at + row + 1])
    v00, v01 = v000 + (v001 - v000) * c, v010 + (v011 - v010) * c
    v10, v11 = v100 + (v101 - v100) * c, v110 + (v111 - v110) * c
    v0, v1 = v00 + (v01 - v00) * b, v10 + (v11 - v10) * b
    gx = (v1 - v0) / step
    gy = ((v01 - v00) * (1.0 - a) + (v11 - v10) * a) / step
    slope0 = (v001 - v000) * (1.0 - b) + (v011 - v010) * b
    slope1 = (v101 - v100) * (1.0 - b) + (v111 - v110) * b
    gz = (slope0 * (1.0 - a) + slope1 * a) / step
    d = v0 + (v1 - v0) * a
    if ex == 0.0 and ey == 0.0 and ez == 0.0:
        return d, gx, gy, gz
    away, sign = np.sqrt(ex * ex + ey * ey + ez * ez), room.grid_beyond[g]
    gx = sign * ex / away if ex != 0.0 else gx
    gy = sign * ey / away if ey != 0.0 else gy
    gz = sign * ez / away if ez != 0.0 else gz
    return d + sign * away, gx, gy, gz


@njit(cache=True)
def rod_distance(start: Floats, end: Floats, radius: float, x: float, y: float, z: float) -> Four:
    """Signed distance to one rod with round ends, positive outside, and its gradient."""
    wx, wy, wz = end[0] - start[0], end[1] - start[1], end[2] - start[2]
    px, py, pz = x - start[0], y - start[1], z - start[2]
    square = wx * wx + wy * wy + wz * wz
    t = min(max((px * wx + py * wy + pz * wz) / square, 0.0), 1.0) if square > 0.0 else 0.0
    qx, qy, qz = px - t * wx, py - t * wy, pz - t * wz
    away = np.sqrt(qx * qx + qy * qy + qz * qz)
    if away < 1e-9:
        return -radius, 0.0, 1.0, 0.0
    return away - radius, qx / away, qy / away, qz / away


@njit(cache=True)
def point_clearance(room: RoomArrays, x: float, y: float, z: float) -> tuple[float, float, float, float, int]:
    """Least signed distance of a point over all parts of the room, its gradient, and which part.

    Parts count planes first, then boxes, then grids, then rods; -1 and infinity where there is no part at all.
    """
    least, gx, gy, gz, which = np.inf, 0.0, 0.0, 0.0, -1
    planes = room.plane_offset.shape[0]
    boxes = room.box_low.shape[0]
    for p in range(planes):
        nx, ny, nz = room.plane_normal[p, 0], room.plane_normal[p, 1], room.plane_normal[p, 2]
        d = nx * x + ny * y + nz * z - room.plane_offset[p]
        if d < least:
            least, gx, gy, gz, which = d, nx, ny, nz, p
    for b in range(boxes):
        d, ax, ay, az = box_distance(room.box_low[b], room.box_high[b], x, y, z)
        if d < least:
            least, gx, gy, gz, which = d, ax, ay, az, planes + b
    for g in range(room.grid_step.shape[0]):
        d, ax, ay, az = grid_distance(room, g, x, y, z)
        if d < least:
            least, gx, gy, gz, which = d, ax, ay, az, planes + boxes + g
    grids = room.grid_step.shape[0]
    for r in range(room.rod_radius.shape[0]):
        d, ax, ay, az = rod_distance(room.rod_start[r], room.rod_end[r], room.rod_radius[r], x, y, z)
        if d < least:
            least, gx, gy, gz, which = d, ax, ay, az, planes + boxes + grids + r
    return least, gx, gy, gz, which


@njit(cache=True)
def clearances(room: RoomArrays, points: Floats) -> tuple[Floats, Floats, npt.NDArray[np.int64]]:
    """point_clearance of every row: distance (n,), gradient (n, 3), part (n,)."""
    count = points.shape[0]
    distance = np.empty(count)
    gradient = np.empty((count, 3))
    part = np.empty(count, np.int64)
    for n in range(count):
        d, gx, gy, gz, which = point_clearance(room, points[n, 0], points[n, 1], points[n, 2])
        distance[n] = d
        gradient[n, 0] = gx
        gradient[n, 1] = gy
        gradient[n, 2] = gz
        part[n] = which
    return distance, gradient, part
