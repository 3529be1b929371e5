"""Reach on any solid against closed forms: blocks, slots and bores whose answer plane geometry gives."""

import manifold3d
import numpy as np
import pytest

from tractwright.geometry.closest import distances_to
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.make.samples import Samples, surface_samples
from tractwright.make.solid_reach import BEYOND_HOLDER_MM, solid_reach

UP = np.array([[0.0, 0.0, 1.0]])


def cutter(kind: str, diameter: float, neck: float, stickout: float = 500.0, corner: float = 0.0) -> Cutter:
    return Cutter.model_validate(
        {"name": "c", "kind": kind, "diameter": diameter, "neck": neck, "stickout": stickout, "corner": corner}
    )


def mesh(body: manifold3d.Manifold):
    found = body.to_mesh()
    return np.array(found.vert_properties[:, :3], dtype=float), np.array(found.tri_verts, dtype=np.int32)


def box(x: float, y: float, z: float) -> manifold3d.Manifold:
    return manifold3d.Manifold.cube((x, y, z), True)


def at(points, normals) -> Samples:
    return Samples(points_mm=np.array(points, dtype=float), normals=np.array(normals, dtype=float), area_mm2=1.0)


def shop(holder: float = 40.0) -> Shop:
    return Shop.model_validate({"longest_stickout": 20, "holder": holder})


def needed(body, samples, tool, directions=UP, holder=40.0):
    return solid_reach(shop(holder), mesh(body), samples, directions, (tool,), 0.25).stickout_mm[:, 0]


def test_distance_to_a_triangle_is_exact():
    """Over the face, beside an edge, off a corner: plane geometry; beyond the limit it is not told."""
    corners, faces = np.array([[0.0, 0, 0], [10, 0, 0], [0, 10, 0]]), np.array([[0, 1, 2]], dtype=np.int32)
    asked = np.array([[2.0, 2, 3], [5, -4, 0], [-3, -4, 0], [2, 2, 60]])
    assert distances_to(corners, faces, asked, 50.0) == pytest.approx([3.0, 4.0, 5.0, np.inf], abs=1e-5)


@pytest.mark.parametrize("deep", [20.0, 45.0])
def test_a_floor_narrower_than_the_holder_needs_its_depth(deep: float):
    """In a slot narrower than the holder the holder stays on top: depth, and 2 mm."""
    body = box(100, 80, 60) - box(30, 200, deep).translate((0, 0, 30 - deep / 2))
    found = needed(body, at([[0, 0, 30 - deep]], [[0, 0, 1]]), cutter("ball", 12, 11))
    assert found[0, 0] == pytest.approx(deep + BEYOND_HOLDER_MM, abs=0.3)


def test_a_holder_that_fits_into_the_slot_goes_along():
    body = box(200, 80, 60) - box(60, 200, 45).translate((0, 0, 7.5))
    found = needed(body, at([[0, 0, -15]], [[0, 0, 1]]), cutter("ball", 12, 11))
    assert found[0, 0] <= 12.0


@pytest.mark.parametrize(("ball", "neck"), [(20.0, 12.0), (16.0, 10.0)])
def test_an_undercutting_cutter_reaches_half_of_head_less_neck_under_a_ledge(ball: float, neck: float):
    """Closed form: the wall under a ledge is reached while the ledge hangs over by less than (head - neck) / 2."""
    limit = (ball - neck) / 2

    def reached(over: float) -> bool:
        body = (
            box(120, 80, 60)
            - box(60, 200, 60).translate((0, 0, 10))
            - box(60 + 2 * over, 200, 24).translate((0, 0, -8))
        )
        wall = at([[30 + over, 0, -8]], [[-1, 0, 0]])
        return bool(np.isfinite(needed(body, wall, cutter("undercutting", ball, neck))[0, 0]))

    assert reached(limit - 0.5)
    assert not reached(limit + 0.5)


@pytest.mark.parametrize("wide", [11.0, 13.0])
def test_a_flat_cutter_goes_into_slots_wider_than_itself(wide: float):
    body = box(100, 80, 40) - box(wide, 200, 20).translate((0, 0, 10))
    floor = at([[0, 0, 0]], [[0, 0, 1]])
    assert np.isfinite(needed(body, floor, cutter("flat", 12, 11))[0, 0]) == (wide > 12.0)


def test_a_flat_cutter_cuts_walls_down_to_the_floor_and_a_ball_does_not():
    """At the foot of a wall a flat cutter leaves nothing, a ball its radius: 3 mm up a ball of 10 mm radius still digs in."""
    body = box(200, 100, 20) + box(40, 100, 60).translate((-80, 0, 20))
    foot = at([[-60, 0, 13]], [[1, 0, 0]])
    assert np.isfinite(needed(body, foot, cutter("flat", 20, 19))[0, 0])
    assert not np.isfinite(needed(body, foot, cutter("ball", 20, 19))[0, 0])


def test_a_bull_cutter_needs_its_corner_under_a_wall():
    """A corner of 3 mm touches a wall from 3 mm over the floor upwards."""
    body = box(200, 100, 20) + box(40, 100, 60).translate((-80, 0, 20))
    for high, reached in ((1.5, False), (4.0, True)):
        wall = at([[-60, 0, 10 + high]], [[1, 0, 0]])
        assert np.isfinite(needed(body, wall, cutter("bull", 20, 19, corner=3.0))[0, 0]) == reached


def test_nothing_is_reached_from_behind_or_beyond_its_stick_out():
    body = box(100, 80, 60) - box(30, 200, 45).translate((0, 0, 7.5))
    floor = at([[0, 0, -15]], [[0, 0, 1]])
    assert not np.isfinite(needed(body, floor, cutter("ball", 12, 11), -UP)[0, 0])
    assert not np.isfinite(needed(body, floor, cutter("ball", 12, 11, stickout=46.0))[0, 0])
    assert np.isfinite(needed(body, floor, cutter("ball", 12, 11, stickout=48.0))[0, 0])


def test_samples_carry_their_triangles_normals():
    found = surface_samples(mesh(box(10, 20, 30)), 600)
    assert found.area_mm2 * 600 == pytest.approx(2 * (200 + 300 + 600))
    assert np.abs(found.normals).max(axis=1) == pytest.approx(1.0)
    on_side = np.abs(np.abs(found.points_mm) - np.array([5.0, 10.0, 15.0])).min(axis=1)
    assert on_side.max() < 1e-9
