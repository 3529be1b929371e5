"""Points on a part of a solid: on the closed-form surface whatever the triangles, with its normal, only where asked."""

import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp_Face
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt, gp_Vec

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame, frame_from_normal
from tractwright.kernel.face_points import points_on
from tractwright.kernel.mesh import meshed
from tractwright.kernel.primitives import revolve
from tractwright.kernel.skins import skin_solid
from tractwright.kernel.solid import faces_of
from tractwright.kernel.surface_points import surface_near

FRAME = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))
RING_MM, TUBE_MM = 10.0, 5.0
EVERYWHERE = [(np.full(3, -100.0), np.full(3, 100.0))]
SHARES = np.random.default_rng(1).dirichlet((1.0, 1.0, 1.0), 500)


def near(solid, boxes):
    return surface_near(meshed(solid, 0.05, 0.2), boxes)


def _anywhere(count: int) -> np.ndarray:
    return np.random.default_rng(2).integers(0, count, len(SHARES))


def test_points_and_normals_are_those_of_a_torus_far_finer_than_its_triangles():
    torus = near(revolve(((15.0, 0.0, 1.0), (5.0, 0.0, 1.0)), FRAME), EVERYWHERE)
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
    part = near(pin, [(low, high)])
    points, normals = part.exact(np.arange(len(part.owner)), np.full((len(part.owner), 3), 1.0 / 3.0))
    down = normals[:, 2] < -0.99
    assert down.any()
    assert (np.abs(points[down, 2]) < 1e-9).all()
    assert (np.abs(np.hypot(points[~down, 0], points[~down, 1]) - 5.0) < 1e-9).all()
    assert (normals[:, 2] < 0.99).all()
    with pytest.raises(KernelError, match="no face"):
        near(pin, [(low + 100.0, high + 100.0)])


def test_the_tip_of_a_cone_has_no_normal():
    cone = near(revolve(((0.0, 0.0, 0.0), (4.0, 0.0, 0.0), (0.0, 8.0, 0.0)), Frame()), EVERYWHERE)
    tip, corner = np.argwhere(cone.corners_mm[:, :, 2] > 8.0 - 1e-9)[0]
    points, normals = cone.exact(np.array([tip]), np.eye(3)[[corner]])
    assert points[0] == pytest.approx((0.0, 0.0, 8.0))
    assert np.linalg.norm(normals) == pytest.approx(0.0)


def test_a_skin_s_points_are_the_kernel_s_own():
    """A sewn tube's B-splines, summed in arrays: against the kernel asked point by point."""
    turns = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    rings = [
        [(r * np.cos(a) + r, r * np.sin(a) / 2.0, z) for a in turns]
        for z, r in zip(range(0, 60, 5), range(20, 32), strict=True)
    ]
    solid = skin_solid(np.array(rings))
    splines = 0
    for face in faces_of(solid.shape):
        surface = BRepAdaptor_Surface(face)
        low, high = (
            (surface.FirstUParameter(), surface.FirstVParameter()),
            (surface.LastUParameter(), surface.LastVParameter()),
        )
        places = np.random.default_rng(3).uniform(low, high, (200, 2))
        kernel, point, normal = BRepGProp_Face(face), gp_Pnt(), gp_Vec()
        for place, found in zip(places.tolist(), points_on(face)(places), strict=True):
            kernel.Normal(*place, point, normal)
            assert found[:3] == pytest.approx((point.X(), point.Y(), point.Z()), abs=1e-9)
            size = normal.Magnitude()
            out = np.array((normal.X(), normal.Y(), normal.Z())) / size
            assert found[3:] / np.linalg.norm(found[3:]) == pytest.approx(out, abs=1e-9)
        splines += surface.GetType() == GeomAbs_SurfaceType.GeomAbs_BSplineSurface
    assert splines > 0
