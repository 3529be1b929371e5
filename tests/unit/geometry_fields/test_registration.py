"""Rigid motions found again: exact for picked pairs, within the bars for surfaces that share a part."""

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from tractwright.geometry.meshes import Mesh, kept_faces
from tractwright.geometry.registration import Motion, from_pairs, registered

BAR_MM = 0.1


def part() -> Mesh:
    """A bent body with pipes and a box: nothing symmetrical."""
    pieces = [
        trimesh.creation.box((300, 60, 40)),
        trimesh.creation.cylinder(22, 120),
        trimesh.creation.box((60, 50, 90)),
    ]
    pieces[1].apply_translation((-80, 20, 60))
    pieces[2].apply_translation((90, 35, 50))
    ball = trimesh.creation.icosphere(4, 30)
    ball.apply_translation((20, 0, 40))
    whole = trimesh.util.concatenate([*(piece.subdivide_to_size(2.5) for piece in pieces), ball])
    return Mesh(vertices_mm=np.asarray(whole.vertices), faces=np.asarray(whole.faces, dtype=np.int32))


@pytest.fixture(scope="module")
def scans():
    """A target and a moving scan that share three quarters of it, each with its own noise, and more of its own."""
    chance = np.random.default_rng(2)
    mesh = part()
    noisy = [
        Mesh(vertices_mm=mesh.vertices_mm + chance.normal(0, 0.1, mesh.vertices_mm.shape), faces=mesh.faces)
        for _ in range(2)
    ]
    cut = kept_faces(noisy[1], (mesh.vertices_mm[:, 0] < 75.0)[mesh.faces].all(axis=1))
    floor = trimesh.creation.box((500, 300, 5)).subdivide_to_size(6.0)
    floor.apply_translation((0, 0, -60))
    vertices = np.concatenate([cut.vertices_mm, floor.vertices])
    faces = np.concatenate([cut.faces, floor.faces + len(cut.vertices_mm)]).astype(np.int32)
    return noisy[0], Mesh(vertices_mm=vertices, faces=faces)


def test_pairs_give_the_exact_motion():
    chance = np.random.default_rng(1)
    here = chance.uniform(-200, 200, (4, 3))
    turn, shift = Rotation.random(random_state=3).as_matrix(), np.array([10.0, -400.0, 33.0])
    motion, left = from_pairs(here, here @ turn.T + shift)
    np.testing.assert_allclose(motion.turn, turn, atol=1e-12)
    np.testing.assert_allclose(motion.shift, shift, atol=1e-9)
    assert left < 1e-9


def test_pairs_never_mirror():
    here = np.array([(0.0, 0, 0), (100, 0, 0), (0, 60, 0), (0, 0, 30)])
    motion, left = from_pairs(here, here * [-1.0, 1.0, 1.0])
    assert np.linalg.det(motion.turn) == pytest.approx(1.0)
    assert left > 10.0


@pytest.mark.parametrize(("degrees", "shift"), [(5.0, 10.0), (20.0, 40.0)])
def test_surfaces_that_share_a_part_come_together(scans, degrees, shift):
    """A tenth of a millimetre at the corners of the part, from 20 degrees and 40 mm away."""
    target, moving = scans
    chance = np.random.default_rng(int(degrees))
    axis, way = chance.standard_normal(3), chance.standard_normal(3)
    turn = Rotation.from_rotvec(np.radians(degrees) * axis / np.linalg.norm(axis)).as_matrix()
    away = Motion(turn=turn, shift=shift * way / np.linalg.norm(way))
    there = Mesh(vertices_mm=away.moved(moving.vertices_mm), faces=moving.faces)
    found = registered(there, target)
    corners = np.array([(x, y, z) for x in (-150.0, 150) for y in (-30.0, 60) for z in (-20.0, 120)])
    off = np.linalg.norm(found.motion.moved(away.moved(corners)) - corners, axis=1)
    assert off.max() < BAR_MM
    assert found.residual_mm < 0.2
    assert 0.1 < found.overlap < 0.9
