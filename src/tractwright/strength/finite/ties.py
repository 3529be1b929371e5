"""Bodies tied to one another where screws press them together: a stiff bed of springs between two flat skins. mm, N."""

import numpy as np
from scipy.sparse import coo_array, csr_array, triu
from scipy.spatial import KDTree

from tractwright.geometry.frames import Array, Frame
from tractwright.strength.finite.body import Body, Skin

_NEAREST = 16
_OUTSIDE = 1e-6
_AT_MIDDLE = np.array([-1.0 / 9.0] * 3 + [4.0 / 9.0] * 3)
"""The six shape functions of a triangle in its middle."""


def tied(body: Body, number: np.ndarray, first: Skin, second: Skin, frame: Frame, bed_n_mm3: float) -> csr_array:
    """Upper half of the stiffness that ties the first skin to the second, both in the frame's plane, where they overlap.

    Each triangle of the first is tied in its middle to the point of the second that it lies on; number : (3n,) of the
    body's unknowns, -1 none; bed_n_mm3 : force for 1 mm2 and 1 mm apart.
    """
    unknowns = int(number.max()) + 1
    found, shares = _under(body, second, frame, first.middles_mm)
    on = found >= 0
    area, mine, theirs = first.area_mm2[on], first.nodes[on], second.nodes[found[on]]
    nodes = np.hstack([mine, theirs])
    parts = np.hstack([np.broadcast_to(_AT_MIDDLE, (len(mine), 6)), -shares[on]])
    gaps = _gaps(nodes, parts, number, unknowns)
    bed = csr_array((np.repeat(area * bed_n_mm3, 3), (np.arange(3 * len(area)), np.arange(3 * len(area)))))
    return csr_array(triu(gaps.T @ bed @ gaps)) if len(area) else csr_array((unknowns, unknowns))


def _gaps(nodes: np.ndarray, parts: Array, number: np.ndarray, unknowns: int) -> csr_array:
    """How far apart each tied pair is along each axis, from the unknowns."""
    pairs, width = nodes.shape
    columns = number.reshape(-1, 3)[nodes].transpose(0, 2, 1).reshape(3 * pairs, width)
    rows = np.broadcast_to(np.arange(3 * pairs)[:, None], columns.shape)
    values = np.repeat(parts, 3, axis=0)
    free = columns >= 0
    return csr_array(coo_array((values[free], (rows[free], columns[free])), shape=(3 * pairs, unknowns)))


def _under(body: Body, skin: Skin, frame: Frame, places_mm: Array) -> tuple[np.ndarray, Array]:
    """The triangle each place lies on, -1 none, and the six shape functions there."""
    count = min(_NEAREST, len(skin.area_mm2))
    if not count or not len(places_mm):
        return np.full(len(places_mm), -1), np.zeros((len(places_mm), 6))
    places = frame.to_local(places_mm)[:, :2]
    corners = frame.to_local(body.points_mm[skin.nodes[:, :3]])[..., :2]
    near = KDTree(corners.mean(axis=1)).query(places, k=count)[1].reshape(len(places), count)
    a, b, c = (corners[near, k] for k in range(3))
    whole = _cross(b - a, c - a)
    to = places[:, None, :]
    at = np.stack([_cross(b - to, c - to), _cross(c - to, a - to), _cross(a - to, b - to)], axis=-1) / whole[..., None]
    best = np.argmax(at.min(axis=2), axis=1)
    rows = np.arange(len(places))
    chosen = at[rows, best]
    found = np.where(chosen.min(axis=1) > -_OUTSIDE, near[rows, best], -1)
    one, two, three = chosen.T
    middles = 4.0 * np.stack([one * two, two * three, one * three], axis=1)
    return found, np.hstack([chosen * (2.0 * chosen - 1.0), middles])


def _cross(one: Array, other: Array) -> Array:
    return one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
