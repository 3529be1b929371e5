"""Tool placings against the same tried one by one in plain numpy, and against closed forms."""

import numpy as np

from tractwright.reach.kernels import least_stickouts

NECK, HOLDER = 4.0, 20.0


def one_by_one(centres, directions, clouds, longest):
    best = np.full(len(centres), np.inf)
    for i, centre in enumerate(centres):
        for direction in directions:
            needs = []
            for points in clouds:
                along = (points - centre) @ direction
                off = np.linalg.norm(points - centre - along[:, None] * direction, axis=1)
                stands = (along > 0.0) & (off < HOLDER)
                barred = stands & ((off < NECK) | (along > longest))
                needs.append(np.inf if barred.any() else along[stands].max(initial=0.0))
            best[i] = min(best[i], max(needs))
    return best


def found(centres, directions, clouds, longest):
    near, far = (np.ascontiguousarray(points.T) for points in clouds)
    return least_stickouts(centres, directions, near, far, NECK, HOLDER, longest)


def test_every_placing_is_as_tried_one_by_one():
    rng = np.random.default_rng(5)
    centres = rng.uniform(-9.0, 9.0, (150, 3))
    directions = rng.normal(size=(7, 3)) * [0.15, 0.15, 0.1] + [0.0, 0.0, 1.0]
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)
    around = rng.normal(size=(700, 3)) * [30.0, 30.0, 60.0]
    clouds = (
        around[np.hypot(around[:, 0], around[:, 1]) > 24.0][:333],
        around[np.hypot(around[:, 0], around[:, 1]) > 30.0],
    )
    wanted = one_by_one(centres, directions, clouds, 55.0)
    assert 0.1 < np.isfinite(wanted).mean() < 0.95
    np.testing.assert_allclose(found(centres, directions, clouds, 55.0), wanted, rtol=1e-12)


def test_a_straight_bore_needs_its_depth():
    """A bore 12 mm wide and 40 deep: the holder is wider, so from a ball's centre it takes the way to the rim."""
    around, depth = np.linspace(0.0, 2.0 * np.pi, 180), np.linspace(0.0, 40.0, 161)
    wall = np.stack(
        [
            np.outer(np.cos(around), 6.0 + 0 * depth),
            np.outer(np.sin(around), 6.0 + 0 * depth),
            np.outer(1.0 + 0 * around, depth),
        ],
        axis=2,
    ).reshape(-1, 3)
    centres = np.array([[0.0, 0.0, 5.0], [1.5, 0.0, 12.0], [3.0, 0.0, 12.0]])
    need = found(centres, np.array([[0.0, 0.0, 1.0]]), (wall, wall), 100.0)
    np.testing.assert_allclose(need, [35.0, 28.0, np.inf])
    np.testing.assert_allclose(found(centres[:1], np.array([[0.0, 0.0, 1.0]]), (wall, wall), 34.0), [np.inf])
