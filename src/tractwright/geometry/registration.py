"""Two scans brought together: by picked points, then by the surface they share, far pairs trimmed away.

Source: P. J. Besl, N. D. McKay (1992), IEEE Trans. PAMI 14(2), 239-256; point to plane: Y. Chen, G. Medioni (1992), Image
and Vision Computing 10(3), 145-155; rigid motion of pairs: K. S. Arun and others (1987), IEEE PAMI 9(5), 698-700 (memory).
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import KDTree
from scipy.spatial.transform import Rotation

from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh, area_vectors

FIRST_REACHES = (45.0, 18.0, 7.0)
"""Pairs farther apart than this [mm] are left out at first. A wide reach finds more, a narrow one is misled less: each
is tried, and the one that brings most of both surfaces together is kept.
"""
STAGES = ((6.0, 1.0, 40), (4.0, 0.35, 40), (2.0, 0.12, 40))
"""Cells the target is thinned to [mm], reach as a share of the first, rounds at most."""
LAST = (1.0, 1.5, 40)
"""The last stage: cells and reach [mm], rounds."""
MOVING_POINTS = 9000
KEPT = 0.8
"""Of the pairs near enough, the nearest share counts; judgement."""
LEAST_OVERLAP = 0.1
"""With less of the moving scan near the other, the fit proves nothing; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Motion:
    """A rigid motion: point -> turn @ point + shift. turn (3, 3), shift (3,)."""

    turn: Array
    shift: Array

    def moved(self, points: Array) -> Array:
        """Points (..., 3) moved."""
        return points @ self.turn.T + self.shift

    def after(self, first: "Motion") -> "Motion":
        """First the other, then this."""
        return Motion(turn=self.turn @ first.turn, shift=self.turn @ first.shift + self.shift)


STILL = Motion(turn=np.eye(3), shift=np.zeros(3))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Registered:
    """The motion; residual_mm : robust distance left of the pairs; overlap : share of the moving scan that has a pair."""

    motion: Motion
    residual_mm: float
    overlap: float


def from_pairs(here: Array, there: Array) -> tuple[Motion, float]:
    """The motion that brings points (n, 3) onto others, n >= 3 and not in a line, and the root mean square left [mm]."""
    middle_here, middle_there = here.mean(axis=0), there.mean(axis=0)
    u, _, vt = np.linalg.svd((here - middle_here).T @ (there - middle_there))
    flip = np.diag([1.0, 1.0, np.sign(np.linalg.det(vt.T @ u.T))])
    turn = vt.T @ flip @ u.T
    motion = Motion(turn=turn, shift=middle_there - turn @ middle_here)
    left = motion.moved(here) - there
    return motion, float(np.sqrt((left**2).sum(axis=1).mean()))


def registered(moving: Mesh, target: Mesh, start: Motion = STILL) -> Registered:
    """The moving scan brought onto the surface it shares with the target, from a start within about 20 deg and 40 mm."""
    found = [_from_reach(moving, target, start, reach) for reach in FIRST_REACHES]
    return max(found, key=lambda item: item[0])[1]


def _from_reach(moving: Mesh, target: Mesh, start: Motion, first: float) -> tuple[float, Registered]:
    """The fit that begins with a reach, and how much of both surfaces it brings together."""
    chance = np.random.default_rng(0)
    motion, left, overlap, shared = start, np.inf, 0.0, 0.0
    for cell, reach, rounds in (*((cell, share * first, rounds) for cell, share, rounds in STAGES), LAST):
        points, normals = _thinned(target, cell)
        tree = KDTree(points)
        own = _thinned(moving, cell)[0]
        own = own[chance.choice(len(own), min(MOVING_POINTS, len(own)), replace=False)]
        for _ in range(rounds):
            step, left, overlap = _step(motion.moved(own), points, normals, tree, reach)
            motion = step.after(motion)
            if np.abs(step.shift).max() < 1e-4 and np.abs(step.turn - np.eye(3)).max() < 1e-6:
                break
        theirs = points[:: max(1, len(points) // MOVING_POINTS)]
        met = np.asarray(KDTree(motion.moved(own)).query(theirs, distance_upper_bound=2.0 * cell)[0])
        shared = float(np.isfinite(met).mean()) * overlap
    return shared, Registered(motion=motion, residual_mm=left, overlap=overlap)


def _thinned(mesh: Mesh, cell: float) -> tuple[Array, Array]:
    """Mean points (k, 3) and unit normals (k, 3) of the mesh in cubic cells."""
    vectors, middles = area_vectors(mesh), mesh.vertices_mm[mesh.faces].mean(axis=1)
    area = np.maximum(np.linalg.norm(vectors, axis=1), 1e-12)
    index = np.floor((middles - middles.min(axis=0)) / cell).astype(np.int64)
    _, own = np.unique(index @ np.array([1 << 40, 1 << 20, 1]), return_inverse=True)
    count = int(own.max()) + 1
    total = np.bincount(own, area, count)
    points = np.stack([np.bincount(own, area * middles[:, k], count) for k in range(3)], axis=1) / total[:, None]
    normals = np.stack([np.bincount(own, vectors[:, k], count) for k in range(3)], axis=1)
    size = np.linalg.norm(normals, axis=1)
    flat = size > 0.6 * total
    return points[flat], normals[flat] / size[flat, None]


def _step(own: Array, points: Array, normals: Array, tree: KDTree, reach: float) -> tuple[Motion, float, float]:
    """One small motion towards the planes of the nearest points, what is left before it, and the share that has a pair."""
    found = tree.query(own, distance_upper_bound=reach)
    away, index = np.asarray(found[0]), np.asarray(found[1], dtype=np.intp)
    near = np.isfinite(away)
    overlap = float(near.mean())
    if near.sum() < 30:
        return STILL, np.inf, overlap
    near &= away <= np.quantile(away[near], KEPT)
    place, plane = own[near], index[near]
    gap = np.sum((points[plane] - place) * normals[plane], axis=1)
    spread = 1.4826 * float(np.median(np.abs(gap))) + 1e-4
    weight = 1.0 / (1.0 + (gap / (2.0 * spread)) ** 2)
    middle = place.mean(axis=0)
    rows = np.concatenate([np.cross(place - middle, normals[plane]), normals[plane]], axis=1)
    normal = (rows * weight[:, None]).T @ rows + 1e-9 * np.eye(6)
    move = np.linalg.solve(normal, (rows * weight[:, None]).T @ gap)
    turn = Rotation.from_rotvec(move[:3]).as_matrix()
    return Motion(turn=turn, shift=middle - turn @ middle + move[3:]), spread, overlap
