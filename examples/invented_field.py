"""Signed distance to an invented old cast manifold, as one compiled function of a point. Nothing here was measured.

Head frame: origin mid port row on the head face, x along the row, y up, z into the part. Sections are boxes with
rounded corners (width, height, upper and lower corner radius): circles, ovals, rounded rectangles and Ds are among them.
"""

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit, prange

Floats = npt.NDArray[np.float64]
Four = tuple[float, float, float, float]

FLANGE_MM = 12.0
WALL_MM = 4.5
STRAIGHT_MM = 14.0
BLEND_MM = 7.0


class Shape(NamedTuple):
    """The part's numbers as arrays.

    ports (p, 9): x, y, width, height, upper and lower corner radius, drift of the centre in x and y per mm of depth,
    bend: the outline bowed sideways by bend * y * y, a loop that is none of the simple outlines;
    screws (s, 3): x, y, diameter; curves (p, n, 3), sections (p, n, 4); curve_low, curve_high (p, 3): their boxes.
    plenum (7): centre, half sizes, edge radius;
    throttle (7): centre of its face, bore, half size, hole pitch / 2, tilt [rad];
    throttle_side: +1 or -1, the way it looks along x; holes (4): diameters of throttle, bracket and boss holes, depth.
    """

    ports: Floats
    screws: Floats
    curves: Floats
    sections: Floats
    curve_low: Floats
    curve_high: Floats
    plenum: Floats
    throttle: Floats
    throttle_side: float
    holes: Floats


@njit(cache=True)
def box(x: float, y: float, first: Four, second: Four, share: float) -> float:
    """Signed distance in the plane to a box with rounded corners, a share of the way between two sections."""
    keep = 1.0 - share
    r = first[2] * keep + second[2] * share if y > 0.0 else first[3] * keep + second[3] * share
    qx = abs(x) - (first[0] * keep + second[0] * share) / 2 + r
    qy = abs(y) - (first[1] * keep + second[1] * share) / 2 + r
    ox, oy = max(qx, 0.0), max(qy, 0.0)
    return min(max(qx, qy), 0.0) + sqrt(ox * ox + oy * oy) - r


@njit(cache=True)
def square(x: float, y: float, half_width: float, half_height: float, radius: float) -> float:
    """Signed distance in the plane to a box whose corners all have one radius."""
    section = (2.0 * half_width, 2.0 * half_height, radius, radius)
    return box(x, y, section, section, 0.0)


@njit(cache=True)
def port_outline(port: Floats, x: float, y: float) -> float:
    """Signed distance in the plane to a port's outline about its own centre."""
    section = (port[2], port[3], port[4], port[5])
    return box(x - port[8] * y * y, y, section, section, 0.0)


@njit(cache=True)
def smooth_union(a: float, b: float, k: float) -> float:
    """The lesser of two distances with a fillet of about k where they meet."""
    h = max(k - abs(a - b), 0.0) / k
    return min(a, b) - h * h * k * 0.25


@njit(cache=True)
def sweep(shape: Shape, p: int, x: float, y: float, z: float) -> float:
    """Signed distance to the passage of runner p: a section carried along a curve, its width kept along x."""
    curve, sections = shape.curves[p], shape.sections[p]
    best, at, share = 1e18, 0, 0.0
    for i in range(curve.shape[0] - 1):
        ax, ay, az = x - curve[i, 0], y - curve[i, 1], z - curve[i, 2]
        bx, by, bz = curve[i + 1, 0] - curve[i, 0], curve[i + 1, 1] - curve[i, 1], curve[i + 1, 2] - curve[i, 2]
        t = min(max((ax * bx + ay * by + az * bz) / (bx * bx + by * by + bz * bz), 0.0), 1.0)
        d = (ax - t * bx) ** 2 + (ay - t * by) ** 2 + (az - t * bz) ** 2
        if d < best:
            best, at, share = d, i, t
    tx, ty, tz = curve[at + 1, 0] - curve[at, 0], curve[at + 1, 1] - curve[at, 1], curve[at + 1, 2] - curve[at, 2]
    length = sqrt(tx * tx + ty * ty + tz * tz)
    tx, ty, tz = tx / length, ty / length, tz / length
    level = sqrt(1.0 - tx * tx)
    rx = x - curve[at, 0] - share * length * tx
    ry = y - curve[at, 1] - share * length * ty
    rz = z - curve[at, 2] - share * length * tz
    along = rx * tx + ry * ty + rz * tz
    beside = (rx - tx * along) / level
    over = (ry * tz - rz * ty) / level
    a, b = sections[at], sections[at + 1]
    flat = box(beside, over, (a[0], a[1], a[2], a[3]), (b[0], b[1], b[2], b[3]), share)
    if (at > 0 or share > 0.0) and (at < curve.shape[0] - 2 or share < 1.0):
        return flat
    return max(flat, sqrt(max(flat, 0.0) ** 2 + along * along)) if along != 0.0 else flat


@njit(cache=True)
def plenum_box(shape: Shape, x: float, y: float, z: float, inset: float) -> float:
    """Signed distance to the plenum's box with round edges, its faces moved in by inset."""
    r = shape.plenum[6]
    qx = abs(x - shape.plenum[0]) - shape.plenum[3] + r
    qy = abs(y - shape.plenum[1]) - shape.plenum[4] + r
    qz = abs(z - shape.plenum[2]) - shape.plenum[5] + r
    outside = sqrt(max(qx, 0.0) ** 2 + max(qy, 0.0) ** 2 + max(qz, 0.0) ** 2)
    return outside + min(max(qx, qy, qz), 0.0) - r + inset


@njit(cache=True)
def flange(shape: Shape, x: float, y: float, z: float) -> float:
    """Signed distance to the head flange without its openings: metal round each port and screw, and a web."""
    ports = shape.ports
    reach = ports[ports.shape[0] - 1, 0]
    flat = max(abs(x) - reach - 8.0, abs(y) - 15.0)
    for p in range(ports.shape[0]):
        flat = smooth_union(flat, port_outline(ports[p], x - ports[p, 0], y - ports[p, 1]) - 10.0, 9.0)
    for s in range(shape.screws.shape[0]):
        dx, dy = x - shape.screws[s, 0], y - shape.screws[s, 1]
        flat = smooth_union(flat, sqrt(dx * dx + dy * dy) - 11.5, 9.0)
    return max(flat, abs(z - FLANGE_MM / 2) - FLANGE_MM / 2)


@njit(cache=True)
def near_curve(shape: Shape, p: int, x: float, y: float, z: float) -> bool:
    """Whether a point lies in the box round a runner, with room for wall and blend."""
    low, high = shape.curve_low[p], shape.curve_high[p]
    return low[0] < x < high[0] and low[1] < y < high[1] and low[2] < z < high[2]


@njit(cache=True)
def before_throttle(shape: Shape, x: float, y: float, z: float) -> tuple[float, float, float]:
    """Depth behind the throttle's face and the two places in it, of a point: the face may tilt about an upright line."""
    ahead, aside = (shape.throttle[0] - x) * shape.throttle_side, z - shape.throttle[2]
    c, s = cos(shape.throttle[6]), sin(shape.throttle[6])
    return c * ahead + s * aside, y - shape.throttle[1], c * aside - s * ahead


@njit(cache=True)
def outside(shape: Shape, x: float, y: float, z: float) -> float:
    """Signed distance to the metal with every hollow filled."""
    d = flange(shape, x, y, z)
    body = plenum_box(shape, x, y, z, 0.0)
    for p in range(shape.ports.shape[0]):
        if near_curve(shape, p, x, y, z):
            body = smooth_union(body, sweep(shape, p, x, y, z) - WALL_MM, BLEND_MM)
    d = smooth_union(d, body, BLEND_MM)
    bore, half = shape.throttle[3], shape.throttle[4]
    back, over, aside = before_throttle(shape, x, y, z)
    radial = sqrt(over * over + aside * aside)
    d = smooth_union(d, max(radial - bore / 2 - 5.0, -back, back - 45.0), BLEND_MM)
    plate = square(over, aside, half, half, 12.0)
    d = smooth_union(d, max(plate, abs(back - 5.0) - 5.0), 3.0)
    if radial < 2.0 * half and back > -20.0:
        d = max(d, -back)
    boss = sqrt((x - shape.plenum[0] - 40.0) ** 2 + (z - shape.plenum[2]) ** 2) - 10.0
    d = smooth_union(d, max(boss, abs(y - shape.plenum[1] - shape.plenum[4] - 2.0) - 10.0), 4.0)
    bracket = square(y + 24.0, z - 38.0, 30.0, 32.0, 10.0)
    d = smooth_union(d, max(bracket, abs(x - shape.ports[0, 0] - 4.0) - 4.0), 5.0)
    return max(d, -z)


@njit(cache=True)
def hollow(shape: Shape, x: float, y: float, z: float) -> float:
    """Signed distance to all air inside: ports, runners, plenum, throttle bore, every hole."""
    d = plenum_box(shape, x, y, z, 5.0)
    for p in range(shape.ports.shape[0]):
        port = shape.ports[p]
        straight = port_outline(port, x - port[0] - port[6] * z, y - port[1] - port[7] * z)
        d = min(d, max(straight, -2.0 - z, z - STRAIGHT_MM))
        if near_curve(shape, p, x, y, z):
            d = min(d, sweep(shape, p, x, y, z))
    for s in range(shape.screws.shape[0]):
        hole = sqrt((x - shape.screws[s, 0]) ** 2 + (y - shape.screws[s, 1]) ** 2) - shape.screws[s, 2] / 2
        d = min(d, max(hole, -2.0 - z, z - FLANGE_MM - 12.0))
    pitch = shape.throttle[5]
    back, over, aside = before_throttle(shape, x, y, z)
    d = min(d, max(sqrt(over * over + aside * aside) - shape.throttle[3] / 2, -2.0 - back, back - 60.0))
    tapped = sqrt((abs(over) - pitch) ** 2 + (abs(aside) - pitch) ** 2) - shape.holes[0] / 2
    d = min(d, max(tapped, -2.0 - back, back - shape.holes[3]))
    d = min(
        d, max(sqrt((y + 42.0) ** 2 + (z - 52.0) ** 2) - shape.holes[1] / 2, abs(x - shape.ports[0, 0] - 4.0) - 9.0)
    )
    boss = sqrt((x - shape.plenum[0] - 40.0) ** 2 + (z - shape.plenum[2]) ** 2) - shape.holes[2] / 2
    return min(d, max(boss, abs(y - shape.plenum[1] - shape.plenum[4] - 8.0) - 9.0))


@njit(cache=True, parallel=True)
def distances(shape: Shape, points: Floats) -> Floats:
    """Signed distance (n,) to the metal's surface, negative in the metal, of points (n, 3)."""
    found = np.empty(points.shape[0])
    for i in prange(points.shape[0]):
        x, y, z = points[i, 0], points[i, 1], points[i, 2]
        found[i] = max(outside(shape, x, y, z), -hollow(shape, x, y, z))
    return found


@njit(cache=True, parallel=True)
def hollow_distances(shape: Shape, points: Floats) -> Floats:
    """Signed distance (n,) to the air inside, negative in it."""
    found = np.empty(points.shape[0])
    for i in prange(points.shape[0]):
        found[i] = hollow(shape, points[i, 0], points[i, 1], points[i, 2])
    return found
