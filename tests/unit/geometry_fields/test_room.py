"""The room: exact for planes and boxes (closed forms), trilinear for grids (exact on a linear field), gradients by
central differences, a numpy twin of the whole query."""

import time

import numpy as np
import pytest

from tractwright.design.pattern import DistanceGrid, KeepOutBox, KeepOutPlane, Room
from tractwright.design.room import HEAD_FACE, clearance, nearest, pack, without


def linear_grid(name: str = "old part") -> DistanceGrid:
    """Samples of 0.6 x + 0.8 y - 5: a trilinear reading gives it back exactly."""
    x, y, z = np.meshgrid(np.arange(21) * 2.0 - 20, np.arange(16) * 2.0 - 15, np.arange(11) * 2.0, indexing="ij")
    return DistanceGrid(
        name=name, low_mm=(-20.0, -15.0, 0.0), step_mm=2.0, values=(0.6 * x + 0.8 * y - 5 + 0 * z).astype(np.float32)
    )


def mixed_room() -> Room:
    return Room(
        planes=(
            KeepOutPlane(name=HEAD_FACE, normal=(0, 0, 1), offset_mm=0),
            KeepOutPlane(name="bonnet", normal=(0, -2, 0), offset_mm=-120),
        ),
        boxes=(
            KeepOutBox(name="alternator", low_mm=(10, -40, 5), high_mm=(40, -20, 60)),
            KeepOutBox(name="dipstick", low_mm=(-40, 0, 5), high_mm=(-30, 10, 60)),
        ),
        grids=(linear_grid(),),
    )


def twin(room: Room, points: np.ndarray) -> np.ndarray:
    """Plain numpy: the least over planes, boxes, grids."""
    found = [points @ np.array(p.normal) / np.linalg.norm(p.normal) - p.offset_mm / np.linalg.norm(p.normal)
             for p in room.planes]  # fmt: skip
    for box in room.boxes:
        q = np.maximum(np.array(box.low_mm) - points, points - np.array(box.high_mm))
        found.append(np.linalg.norm(np.maximum(q, 0), axis=1) + np.minimum(q.max(axis=1), 0))
    for grid in room.grids:
        top = np.array(grid.low_mm) + grid.step_mm * (np.array(grid.values.shape) - 1)
        inside = np.clip(points, grid.low_mm, top)
        found.append(0.6 * inside[:, 0] + 0.8 * inside[:, 1] - 5 - np.linalg.norm(points - inside, axis=1))
    return np.min(found, axis=0)


def test_distances_agree_with_the_plain_twin_inside_and_outside_everything():
    points = np.random.default_rng(3).uniform(-60, 70, (4000, 3))
    distance, _ = clearance(mixed_room(), points)
    np.testing.assert_allclose(distance, twin(mixed_room(), points), atol=1e-5)


def test_gradients_are_the_slopes_of_the_distance():
    room = pack(mixed_room())
    points = np.random.default_rng(4).uniform(-60, 70, (3000, 3))
    _, gradient = clearance(room, points)
    step = 1e-4
    moves = step * np.eye(3)
    slopes = (
        np.stack([clearance(room, points + m)[0] - clearance(room, points - m)[0] for m in moves], axis=1) / 2 / step
    )
    wrong = np.abs(slopes - gradient).max(axis=1) > 1e-3
    assert wrong.mean() < 0.002  # only where the nearest thing changes within the step


def test_the_nearest_thing_is_named():
    points = [(0, -50, 0.5), (25, -30, 30), (0, 59, 300), (-35, 5, 30)]
    assert nearest(without(mixed_room(), "old part"), points) == (HEAD_FACE, "alternator", "bonnet", "dipstick")


def test_a_box_is_exact_at_face_edge_corner_and_inside():
    room = Room(boxes=(KeepOutBox(name="b", low_mm=(0, 0, 0), high_mm=(10, 20, 30)),))
    distance, gradient = clearance(room, [(13, 5, 5), (13, 24, 5), (12, 23, 36), (4, 10, 15)])
    np.testing.assert_allclose(distance, [3, 5, 7, -4])
    np.testing.assert_allclose(gradient, [[1, 0, 0], [0.6, 0.8, 0], [2 / 7, 3 / 7, 6 / 7], [-1, 0, 0]])


def test_a_room_without_limits_is_free_everywhere():
    distance, gradient = clearance(Room(), [(0, 0, 0)])
    assert distance[0] == np.inf
    assert not gradient.any()
    assert nearest(Room(), [(0, 0, 0)]) == ("",)


def test_two_grids_are_both_kept():
    ones = np.ones((5, 5, 3), np.float32)
    other = DistanceGrid(name="second", low_mm=(-20.0, -15.0, 0.0), step_mm=10.0, values=ones)
    room = Room(grids=(linear_grid("first"), other))
    assert nearest(room, [(10, 10, 5), (0, 0, 5)]) == ("second", "first")
    np.testing.assert_allclose(clearance(room, [(10, 10, 5), (0, 0, 5)])[0], [1, -5], atol=1e-6)


def test_five_hundred_points_are_fast():
    """Called at every step of the course solver."""
    room = pack(mixed_room())
    points = np.random.default_rng(5).uniform(-60, 70, (500, 3))
    clearance(room, points)
    best = min(_timed(room, points) for _ in range(40))
    assert best < 1.0e-3  # 0.3 ms when the machine is quiet


def _timed(room, points) -> float:
    start = time.perf_counter()
    clearance(room, points)
    return time.perf_counter() - start


def test_plane_normals_need_not_be_unit():
    room = Room(planes=(KeepOutPlane(name="p", normal=(0, 3, 4), offset_mm=10),))
    assert clearance(room, [(0, 0, 5)])[0][0] == pytest.approx(2.0)
