"""Normals at the corners of a drawn mesh, against the same written in plain numpy."""

import numpy as np
import trimesh

from tractwright.packet.picture.scene import corner_normals

CREASE_DEG = 32.0


def plain_normals(vertices, faces):
    """Corner by corner: the area normals of all triangles at its vertex that turn less than the crease, summed."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    area = np.cross(b - a, c - a)
    own = area / np.linalg.norm(area, axis=1, keepdims=True)
    found = np.zeros((*faces.shape, 3))
    for t, k in np.ndindex(*faces.shape):
        there = np.flatnonzero((faces == faces[t, k]).any(axis=1))
        smooth = there[own[there] @ own[t] > np.cos(np.radians(CREASE_DEG))]
        found[t, k] = area[smooth].sum(axis=0)
    return found / np.linalg.norm(found, axis=2, keepdims=True)


def test_corners_are_smooth_on_a_ball_and_sharp_where_it_is_cut():
    ball = trimesh.creation.icosphere(subdivisions=3, radius=10.0)
    half = ball.slice_plane([0.0, 0.0, 2.0], [0.0, 0.0, 1.0], cap=True)
    vertices, faces = np.array(half.vertices), np.array(half.faces, dtype=np.int32)
    found = corner_normals(vertices, faces)
    np.testing.assert_allclose(found, plain_normals(vertices, faces), atol=1e-12)
    flat = np.abs(vertices[faces][:, :, 2] - 2.0).max(axis=1) < 1e-9
    np.testing.assert_allclose(found[flat], np.broadcast_to([0.0, 0.0, -1.0], found[flat].shape), atol=1e-12)
    round_corners = found[~flat] * 10.0
    assert np.abs(round_corners - vertices[faces][~flat]).max() < 1.0
