"""Triangles: closed, outside out, near the solid; an open or twisted mesh is seen."""

from math import pi

import numpy as np
import pytest

from tractwright.errors import KernelError
from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.mesh import is_watertight, mesh_body, mesh_volume, tessellate
from tractwright.kernel.primitives import extrude, revolve

FRAME = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))
CUBE = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0))


def test_a_cube_is_exact():
    vertices, faces = tessellate(extrude(CUBE, FRAME, 10.0))
    assert (len(vertices), len(faces)) == (8, 12)
    assert is_watertight(vertices, faces)
    assert mesh_volume(vertices, faces) == pytest.approx(1000.0)
    assert mesh_body(vertices, faces).volume() == pytest.approx(1000.0)


def test_a_torus_is_closed_and_as_near_as_asked():
    torus = revolve(((15.0, 0.0, 1.0), (5.0, 0.0, 1.0)), FRAME)
    for chord, angle in ((0.2, 0.5), (0.02, 0.1)):
        vertices, faces = tessellate(torus, chord, angle)
        assert is_watertight(vertices, faces)
        local = FRAME.to_local(vertices)
        off_the_ring = np.hypot(np.hypot(local[:, 0], local[:, 1]) - 10.0, local[:, 2]) - 5.0
        assert np.abs(off_the_ring).max() < 1e-6
        exact = 2 * pi**2 * 10 * 25
        assert exact * (1 - angle**2 / 2) < mesh_volume(vertices, faces) < exact


def test_asking_twice_gives_the_same_whatever_was_asked_between():
    pin = extrude(outline_contour(circle(10.0)), FRAME, 20.0)
    first = tessellate(pin, 0.1, 0.5)
    tessellate(pin, 0.01, 0.1)
    again = tessellate(pin, 0.1, 0.5)
    assert np.array_equal(first[0], again[0])
    assert np.array_equal(first[1], again[1])


def test_a_missing_or_turned_triangle_is_seen():
    vertices, faces = tessellate(extrude(CUBE, FRAME, 10.0))
    assert not is_watertight(vertices, faces[1:])
    turned = faces.copy()
    turned[0] = turned[0, ::-1]
    assert not is_watertight(vertices, turned)
    with pytest.raises(KernelError, match="triangles as a body"):
        mesh_body(vertices, faces[1:])
