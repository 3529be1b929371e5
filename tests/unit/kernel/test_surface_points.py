"""Points on a part of a solid: on the closed-form surface whatever the triangles, with its normal, only where asked."""

import numpy as np
import pytest

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame, frame_from_normal
from tractwright.kernel.primitives import revolve
from tractwright.kernel.surface_points import surface_near

FRAME = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))
RING_MM, TUBE_MM = 10.0, 5.0
EVERYWHERE = [(np.full(3, -100.0), np.full(3, 100.0))]
SHARES = np.random.default_rng(1).dirichlet((1.0, 1.0, 1.0), 500)


def _anywhere(count: int) -> np.ndarray:
    return np.random.default_rng(2).integers(0, count, len(SHARES))


def test_points_and_normals_are_those_of_a_torus_far_finer_than_its_triangles():
    torus = surface_near(revolve(((15.0, 0.0, 1.0), (5.0, 0.0, 1.0)), FRAME), EVERYWHERE)
    which = _anywhere(len(torus.owner))
    points, normals = torus.exact(which, SHARES)
    local = FRAME.to_local(points)
    along = local * (1.0, 1.0, 0.0)
    ring = along / np.linalg.norm(along, axis=1, keepdims=True) * RING_MM
    assert np.abs(np.linalg.norm(local - ring, axis=1) - TUBE_MM).max() < 1e-9
    assert np.abs(normals - FRAME.to_world((local - ring) / TUBE_MM) + FRAME.to_world(np.zeros(3))).max() < 1e-9
    chords = np.einsum("nk,nkj->nj", SHARES, torus.corners_mm[which])
    assert np.abs(points - chords).max() > 0.01


def test_only_the_surface_that_comes_into_a_box_is_had():
    """A pin's side and its lower end: not its upper end."""
    pin = revolve(((0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (5.0, 20.0, 0.0), (0.0, 20.0, 0.0)), Frame())
    low, high = np.array([-6.0, -6.0, -1.0]), np.array([6.0, 6.0, 2.0])
    part = surface_near(pin, [(low, high)])
    points, normals = part.exact(np.arange(len(part.owner)), np.full((len(part.owner), 3), 1.0 / 3.0))
    down = normals[:, 2] < -0.99
    assert down.any()
    assert (np.abs(points[down, 2]) < 1e-9).all()
    assert (np.abs(np.hypot(points[~down, 0], points[~down, 1]) - 5.0) < 1e-9).all()
    assert (normals[:, 2] < 0.99).all()
    with pytest.raises(KernelError, match="no face"):
        surface_near(pin, [(low + 100.0, high + 100.0)])


def test_the_tip_of_a_cone_has_no_normal():
    cone = surface_near(revolve(((0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (0.0, 8.0, 0.0)), Frame()), EVERYWHERE)
    tip, corner = np.argwhere(cone.corners_mm[:, :, 2] > 8.0 - 1e-9)[0]
    points, normals = cone.exact(np.array([tip]), np.eye(3)[[corner]])
    assert points[0] == pytest.approx((0.0, 0.0, 8.0))
    assert np.linalg.norm(normals) == pytest.approx(0.0)
