"""Kernels over a mesh's triangles and vertices, each against the same in plain numpy."""

import numpy as np

from tractwright.geometry.kernels import half_crosses, heights_in_box, longest_edges

CHANCE = np.random.default_rng(9)
VERTICES = CHANCE.uniform(-50.0, 50.0, (200, 3))
FACES = CHANCE.integers(0, 200, (500, 3)).astype(np.int32)


def test_half_crosses_are_normals_times_area():
    a, b, c = (VERTICES[FACES[:, k]] for k in range(3))
    np.testing.assert_allclose(half_crosses(VERTICES, FACES), np.cross(b - a, c - a) / 2.0, atol=1e-9)


def test_the_longest_edge_and_where_it_begins():
    corners = VERTICES[FACES]
    squares = ((np.roll(corners, -1, axis=1) - corners) ** 2).sum(axis=2)
    square, begins = longest_edges(VERTICES, FACES)
    np.testing.assert_allclose(square, squares.max(axis=1))
    np.testing.assert_array_equal(begins, squares.argmax(axis=1))


def test_heights_are_infinite_outside_the_box():
    point, normal = np.array([1.0, 2.0, 3.0]), np.array([0.6, 0.0, 0.8])
    low, high = np.array([-20.0, -30.0, -10.0]), np.array([25.0, 40.0, 35.0])
    inside = ((low < VERTICES) & (high > VERTICES)).all(axis=1)
    expected = np.where(inside, (VERTICES - point) @ normal, np.inf)
    np.testing.assert_allclose(heights_in_box(VERTICES, point, normal, low, high), expected)
