"""Cells of a block against closed forms and plain numpy."""

import numpy as np
import trimesh

from tractwright.geometry.cells import grid_over, inside_of, into_map, nearest_of
from tractwright.geometry.cells_kernels import see
from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.height_map import height_map

TURNED = frame_from_normal((0.0, 0.0, 0.0), (0.3, 0.2, 0.9), (1.0, 0.1, 0.0)).matrix()


def middles(grid):
    numbers = np.stack(np.meshgrid(*(np.arange(n) for n in grid.shape), indexing="ij"), axis=-1)
    return (grid.low_mm + (numbers + 0.5) * np.array(grid.step_mm)) @ grid.axes


def ring():
    """A ring with a hole through it, of a general-purpose mesh library: a column may come in and go out more than once."""
    mesh = trimesh.creation.annulus(r_min=9.0, r_max=20.0, height=14.0, sections=96)
    return np.array(mesh.vertices), np.array(mesh.faces, dtype=np.int32)


def in_ring(points, grown=0.0):
    """Closed form, the ring thicker all round by so much."""
    off = np.hypot(points[..., 0], points[..., 1])
    return (off > 9.0 - grown) & (off < 20.0 + grown) & (np.abs(points[..., 2]) < 7.0 + grown)


def test_cells_inside_a_ring_are_those_of_its_closed_form():
    """But those within 0.1 mm of its skin, whose chords lie that far off."""
    grid = grid_over(TURNED, np.zeros(3), (50.0, 48.0, 40.0), 90_000)
    found = inside_of(grid, *ring())
    places = middles(grid)
    assert not (in_ring(places, -0.1) & ~found).any()
    assert not (found & ~in_ring(places, 0.1)).any()
    assert 0.9 < found.sum() * np.prod(grid.step_mm) / (np.pi * (20.0**2 - 9.0**2) * 14.0) < 1.1


def test_a_grid_fills_its_block_with_no_more_cells_than_asked():
    grid = grid_over(np.eye(3), np.array([1.0, 2.0, 3.0]), (90.0, 60.0, 30.0), 7e3)
    assert np.prod(grid.shape) <= 7e3 * 1.25
    np.testing.assert_allclose(grid.corners_mm().min(axis=0), [-44.0, -28.0, -12.0])
    np.testing.assert_allclose(grid.corners_mm().max(axis=0), [46.0, 32.0, 18.0])


def test_cells_belong_to_the_nearest_point_where_nothing_stands_between():
    """Against plain steps along the three ways: away from the border between two of them by a cell and a half they agree."""
    grid = grid_over(np.eye(3), np.zeros(3), (30.0, 20.0, 20.0), 12_000)
    points = np.array([[-12.0, 0.0, 0.0], [12.0, 1.0, 0.5]])
    found = nearest_of(grid, np.zeros(grid.shape, dtype=bool), points, np.array([3, 7], dtype=np.int16))
    places = middles(grid)
    steps = np.abs(places[..., None, :] - points).sum(axis=-1)
    clear = np.abs(steps[..., 0] - steps[..., 1]) > 3.0
    wanted = np.where(steps[..., 0] < steps[..., 1], 3, 7)
    np.testing.assert_array_equal(found[clear], wanted[clear])


def test_a_wall_keeps_labels_on_their_own_side():
    grid = grid_over(np.eye(3), np.zeros(3), (30.0, 20.0, 20.0), 12_000)
    wall = np.zeros(grid.shape, dtype=bool)
    wall[grid.shape[0] // 2] = True
    points = np.array([[-14.0, 0.0, 0.0], [1.6, 0.0, 0.0]])
    found = nearest_of(grid, wall, points, np.array([1, 2], dtype=np.int16))
    assert set(np.unique(found[: grid.shape[0] // 2])) == {1}
    assert set(np.unique(found[grid.shape[0] // 2 + 1 :])) == {2}
    assert (found[wall] == -1).all()


def test_what_a_tool_meets_from_a_way_is_what_no_metal_stands_over():
    """Against the ring's closed form looked at every 0.25 mm along the way: free by 0.8 mm, a cell over the plane goes;
    under metal by as much, or not over the plane, it stays.
    """
    grid = grid_over(TURNED, np.zeros(3), (50.0, 48.0, 40.0), 9_000)
    vertices, faces = ring()
    body = inside_of(grid, vertices, faces)
    left, way = ~body, np.array([0.2, -0.1, 0.97]) / np.linalg.norm([0.2, -0.1, 0.97])
    plane = grid.along(np.array([0.0, 0.0, 1.0])) - np.array([0.0, 0.0, 0.0, -12.0])
    seen = height_map(vertices, faces, way, 0.5)
    see(left, np.ones_like(left), (seen.heights, into_map(grid, seen), seen.step_mm), plane[None, :])
    places = middles(grid)[~body]
    along = places[:, None, :] + np.arange(0.0, 60.0, 0.25)[None, :, None] * way
    free, covered = ~in_ring(along, 0.8).any(axis=1), in_ring(along, -0.8).any(axis=1)
    over, stays = places[:, 2] > -12.0, left[~body]
    assert (free & over).sum() > 1000
    assert (covered & over).sum() > 300
    assert not (stays & free & over).any()
    assert (stays | ~(covered | ~over)).all()
