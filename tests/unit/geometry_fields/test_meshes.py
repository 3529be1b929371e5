"""Meshes, files, distance grids: against closed forms and an independent mesh library."""

import numpy as np
import pytest
import trimesh

from tractwright.errors import ScanError
from tractwright.geometry.distance_field import depth_below, unsigned_distance
from tractwright.geometry.distance_kernels import nearest_seed
from tractwright.geometry.kernels import section_segments
from tractwright.geometry.meshes import (
    Mesh,
    coarse,
    kept_faces,
    part_of_faces,
    signed_volume,
    split_long,
    triangle_areas,
    welded,
)
from tractwright.geometry.meshfile import read_stl, write_stl


def ball(radius: float = 20.0, finer: int = 4) -> Mesh:
    solid = trimesh.creation.icosphere(finer, radius)
    return Mesh(vertices_mm=np.asarray(solid.vertices), faces=np.asarray(solid.faces, dtype=np.int32))


def test_a_file_comes_back_as_it_was_written_and_another_library_reads_the_same(tmp_path):
    mesh = ball()
    triangles = mesh.vertices_mm[mesh.faces].astype(np.float32)
    write_stl(tmp_path / "ball.stl", triangles, "a ball")
    np.testing.assert_array_equal(read_stl(tmp_path / "ball.stl"), triangles)
    other = trimesh.load_mesh(tmp_path / "ball.stl")
    joined = welded(triangles)
    assert len(joined.vertices_mm) == len(mesh.vertices_mm) == len(other.vertices)
    assert signed_volume(joined) == pytest.approx(float(other.volume), rel=1e-6)
    np.testing.assert_array_equal(joined.vertices_mm[joined.faces], triangles)


def test_text_files_are_read_too(tmp_path):
    mesh = trimesh.creation.box((10, 20, 30))
    (tmp_path / "box.stl").write_bytes(trimesh.exchange.stl.export_stl_ascii(mesh).encode())
    box = welded(read_stl(tmp_path / "box.stl"))
    assert signed_volume(box) == pytest.approx(6000.0)


def bad_files() -> dict[str, tuple[bytes, str]]:
    good = np.zeros(3, np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("s", "<u2")])).tobytes()
    head = b"x".ljust(80)
    return {
        "empty": (b"", "is empty"),
        "tiny": (b"solid", "shorter than the header"),
        "cut": (head + np.uint32(5).tobytes() + good, "cut short"),
        "lying": (head + np.uint32(2).tobytes() + good, "header says 2 triangles"),
        "none": (head + np.uint32(0).tobytes(), "no triangles"),
        "text": (b"Dear reader, this is a letter and no scan at all. " * 20, "not STL"),
        "ply": (
            b"ply\nformat ascii 1.0\nelement vertex 8\nproperty float x\nend_header\n" + b"0 0 0\n" * 40,
            "not STL",
        ),
        "half text": (b"solid s\nfacet normal 0 0 1\nouter loop\n" + b"vertex 0 0 1\n" * 8, "middle of a triangle"),
        "words": (b"solid s\nfacet\n" + b"vertex 0 nought 1\n" * 30 + b"endsolid s\n", "not three numbers"),
    }


@pytest.mark.parametrize("name", bad_files())
def test_a_bad_file_gives_one_clear_line(tmp_path, name):
    data, reason = bad_files()[name]
    (tmp_path / "part.stl").write_bytes(data)
    with pytest.raises(ScanError, match=reason) as raised:
        read_stl(tmp_path / "part.stl")
    assert "\n" not in str(raised.value)
    assert "part.stl" in str(raised.value)


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(ScanError, match="no such file"):
        read_stl(tmp_path / "away.stl")


def test_parts_are_told_apart():
    two = Mesh(
        vertices_mm=np.concatenate([ball().vertices_mm, ball().vertices_mm + 100]),
        faces=np.concatenate([ball().faces, ball().faces + len(ball().vertices_mm)]),
    )
    part = part_of_faces(two)
    assert len(np.unique(part)) == 2
    one = kept_faces(two, part == part[-1])
    assert signed_volume(one) == pytest.approx(signed_volume(ball()))
    assert one.vertices_mm.min() > 70


def test_long_triangles_are_halved_and_the_surface_stays():
    box = trimesh.creation.box((90, 40, 0.5))
    mesh = Mesh(vertices_mm=np.asarray(box.vertices), faces=np.asarray(box.faces, dtype=np.int32))
    fine = split_long(mesh, 3.0)
    corners = fine.vertices_mm[fine.faces]
    assert np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2).max() <= 3.0
    assert triangle_areas(fine).sum() == pytest.approx(float(box.area))
    assert signed_volume(fine) == pytest.approx(float(box.volume))
    assert len(fine.faces) < 10_000
    np.testing.assert_array_equal(split_long(mesh, 100.0).faces, mesh.faces)


def test_a_ball_cut_across_shows_a_circle():
    mesh = ball()
    cut = section_segments(mesh.vertices_mm, mesh.faces, mesh.vertices_mm[:, 2] - 12.0)
    length = np.linalg.norm(cut[:, 1] - cut[:, 0], axis=1).sum()
    assert length == pytest.approx(2 * np.pi * 16.0, rel=3e-3)
    np.testing.assert_allclose(cut[:, :, 2], 12.0)


def test_the_coarse_twin_is_small_and_near():
    fine = ball(20.0, 6)
    drawn = coarse(fine, 4.0)
    assert len(drawn.faces) < len(fine.faces) / 20
    assert triangle_areas(drawn).sum() == pytest.approx(4 * np.pi * 400, rel=0.06)
    assert np.abs(np.linalg.norm(drawn.vertices_mm, axis=1) - 20).max() < 1.0


def test_the_grid_agrees_with_an_independent_library():
    """Nearest points by trimesh, every triangle tried."""
    shape = trimesh.creation.annulus(r_min=12, r_max=20, height=15)
    mesh = Mesh(vertices_mm=np.asarray(shape.vertices), faces=np.asarray(shape.faces, dtype=np.int32))
    low, high = np.array([-60.0, -55.0, -50.0]), np.array([60.0, 55.0, 50.0])
    grid = unsigned_distance(mesh, low, high, 2.0)
    chance = np.random.default_rng(1)
    index = np.stack([chance.integers(0, n, 900) for n in grid.values.shape], axis=1)
    points = low + 2.0 * index
    pairs = np.repeat(points, len(shape.triangles), axis=0)
    feet = trimesh.triangles.closest_point(np.tile(shape.triangles, (len(points), 1, 1)), pairs)
    expected = np.linalg.norm(feet - pairs, axis=1).reshape(len(points), -1).min(axis=1)
    error = grid.values[tuple(index.T)] - expected
    assert error.min() > -1e-4
    assert error.max() < 1.0  # half a step
    assert np.sqrt((error**2).mean()) < 0.1
    near = expected < 1.9
    assert np.abs(error[near]).max() < 1e-4


def test_nearest_seeds_are_exact():
    """Brute force over all seeds."""
    chance = np.random.default_rng(2)
    index = np.full((23, 17, 19), -1, np.int32)
    place = np.unique(chance.integers(0, index.size, 40))
    index.ravel()[place] = place
    nearest_seed(index)
    here = np.stack(np.unravel_index(np.arange(index.size), index.shape), 1)
    there = np.stack(np.unravel_index(place, index.shape), 1)
    least = ((here[:, None] - there[None]) ** 2).sum(2).min(1)
    found = ((here - np.stack(np.unravel_index(index.ravel(), index.shape), 1)) ** 2).sum(1)
    np.testing.assert_array_equal(found, least)


def test_a_ball_grown_and_shrunk_is_a_ball():
    """Within 25 mm of a ball of 20 is a ball of 45; its depth is 45 - r."""
    grid = unsigned_distance(ball(), np.full(3, -60.0), np.full(3, 60.0), 2.0)
    depth = depth_below(grid, 25.0)
    x, y, z = np.meshgrid(*grid.axes(), indexing="ij")
    r = np.sqrt(x**2 + y**2 + z**2)
    inside = r > 3  # the middle is 20 mm from the ball's skin, all round
    error = depth[inside] - (45 - r[inside])
    assert np.abs(error).max() < 1.0  # half a step
    assert np.sqrt((error**2).mean()) < 0.15
