"""Further scans: an invented bay whose walls are known planes, a brace that is a known box, rods of known radius."""

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from tractwright.design.pattern import KeepOutRod, Room
from tractwright.design.room import clearance, nearest, pack, without
from tractwright.errors import ScanError
from tractwright.geometry.frames import Frame
from tractwright.geometry.meshes import Mesh
from tractwright.geometry.meshfile import write_stl
from tractwright.geometry.registration import STILL
from tractwright.job.sheet import JobSheet, Scan
from tractwright.job.space_tables import MoreScan
from tractwright.scan.fingerprint import scan_sha256
from tractwright.scan.more import brought, surroundings
from tractwright.scan.space import room_without_scan
from tractwright.scan.surroundings import STEP_MM, kept_off

PORTS = np.array([(-90.0, 0.0), (0.0, 0.0), (90.0, 0.0)])


def mesh_of(solid) -> Mesh:
    return Mesh(vertices_mm=np.asarray(solid.vertices), faces=np.asarray(solid.faces, dtype=np.int32))


def sheet_of_metal(corner, along, across, step=6.0):
    """A flat piece of surface, its triangles looking along x across: along x across."""
    n, m = (int(np.ceil(np.linalg.norm(v) / step)) + 1 for v in (along, across))
    u, v = np.meshgrid(np.linspace(0, 1, n), np.linspace(0, 1, m), indexing="ij")
    points = np.asarray(corner) + u[..., None] * np.asarray(along) + v[..., None] * np.asarray(across)
    first = (np.arange(n - 1)[:, None] * m + np.arange(m - 1)).ravel()
    faces = np.concatenate(
        [np.stack([first, first + m, first + m + 1], 1), np.stack([first, first + m + 1, first + 1], 1)]
    )
    return trimesh.Trimesh(points.reshape(-1, 3), faces, process=False)


def bay() -> Mesh:
    """A floor at y = -130 looking up and a wall at z = 300 looking back at the head: open at every other side."""
    floor = sheet_of_metal((-300, -130, 0), (0, 0, 300), (600, 0, 0))
    wall = sheet_of_metal((-300, -130, 300), (0, 300, 0), (600, 0, 0))
    return mesh_of(trimesh.util.concatenate([floor, wall]))


@pytest.fixture(scope="module")
def room():
    grid, notes = kept_off(bay(), "bay", PORTS)
    assert notes == ()
    return pack(Room(grids=(grid,)))


def test_before_a_wall_the_distance_is_the_planes_own(room):
    places = [(0.0, 0.0, 100.0), (100.0, -100.0, 150.0), (-200.0, 50.0, 280.0), (50.0, -128.0, 200.0)]
    away = [min(y + 130.0, 300.0 - z) for _, y, z in places]
    np.testing.assert_allclose(clearance(room, places)[0], away, atol=0.6)


def test_behind_a_wall_it_is_negative_and_points_back(room):
    """Though the scan is open at its edges: no way leads round to its back."""
    distance, gradient = clearance(room, [(0.0, -145.0, 150.0), (40.0, 60.0, 312.0)])
    assert (distance < -5.0).all()
    assert distance == pytest.approx([-15.0, -12.0], abs=STEP_MM)
    assert gradient[0, 1] > 0.5
    assert gradient[1, 2] < -0.5


def test_far_from_a_scan_it_is_free(room):
    distance, gradient = clearance(room, [(0.0, 700.0, 100.0)])
    assert distance[0] > 150.0
    assert gradient[0, 1] > 0.9


def test_a_scan_turned_inside_out_is_noticed():
    mesh = bay()
    grid, notes = kept_off(Mesh(vertices_mm=mesh.vertices_mm, faces=mesh.faces[:, ::-1].copy()), "bay", PORTS)
    assert any("inside out" in note for note in notes)
    assert clearance(Room(grids=(grid,)), [(0.0, 0.0, 100.0)])[0][0] == pytest.approx(130.0, abs=0.6)


def test_a_brace_is_kept_off_all_round():
    brace = trimesh.creation.box((40, 20, 160)).subdivide_to_size(6.0)
    brace.apply_translation((30, -90, 120))
    grid, notes = kept_off(mesh_of(brace), "brace", PORTS)
    assert notes == ()
    distance, _ = clearance(
        Room(grids=(grid,)), [(30.0, -60.0, 120.0), (30.0, -90.0, 120.0), (70.0, -90.0, 100.0), (30.0, 90.0, 120.0)]
    )
    assert distance == pytest.approx([20.0, -10.0, 20.0, 170.0], abs=3.0)


def test_a_scan_far_away_is_said():
    grid, notes = kept_off(Mesh(vertices_mm=bay().vertices_mm + 5000.0, faces=bay().faces), "bay", PORTS)
    assert grid is None
    assert any("same axes" in note for note in notes)


def test_picked_points_and_shared_surface_bring_a_scan_home():
    """The same part scanned in other axes: points picked with 1 mm of error, then the surface."""
    old = trimesh.util.concatenate(
        [trimesh.creation.box((300, 60, 40)).subdivide_to_size(5.0), trimesh.creation.icosphere(3, 45)]
    )
    turn = Rotation.from_rotvec((0.4, -1.1, 0.7)).as_matrix()
    shift = np.array([200.0, -50.0, 900.0])
    target = mesh_of(old)
    away = Mesh(vertices_mm=target.vertices_mm @ turn.T + shift, faces=target.faces)
    picked = np.array([(-150.0, -30, 20), (150, -30, 20), (150, 30, -20), (0, 0, 45.0)])
    here = picked @ turn.T + shift + np.random.default_rng(1).normal(0, 1.0, (4, 3))
    given = {"file": "x.stl", "name": "bay", "by": "surface"}
    given |= {"points_here": here.tolist(), "points_there": picked.tolist()}
    motion, notes = brought(MoreScan.model_validate(given), away, target)
    np.testing.assert_allclose(motion.moved(away.vertices_mm), target.vertices_mm, atol=0.1)
    assert any("picked points leave" in note for note in notes)
    assert any("shares" in note for note in notes)


def test_a_scan_that_shares_nothing_is_doubted():
    apart = mesh_of(trimesh.creation.icosphere(3, 80))
    there = Mesh(vertices_mm=apart.vertices_mm + 600.0, faces=apart.faces)
    _, notes = brought(MoreScan.model_validate({"file": "x.stl", "name": "bay", "by": "surface"}), there, bay())
    assert any("hardly lies on" in note for note in notes)
    motion, _ = brought(MoreScan.model_validate({"file": "x.stl", "name": "bay"}), there, bay())
    assert motion is STILL


def test_a_further_scan_is_read_placed_and_hashed(tmp_path):
    mesh = bay()
    write_stl(tmp_path / "bay.stl", mesh.vertices_mm[mesh.faces].astype(np.float32), "invented")
    scan = Scan.model_validate({"file": "scan.stl", "more": [{"file": "bay.stl", "name": "bay"}]})
    found = surroundings(scan, mesh, Frame(), PORTS, tmp_path)
    assert [grid.name for grid in found.grids] == ["bay"]
    assert any(note.startswith("bay: ") for note in found.notes)
    sheet = JobSheet.model_validate({"job": {"name": "x"}, "scan": scan.model_dump(by_alias=True)})
    before = scan_sha256(sheet, tmp_path)
    (tmp_path / "bay.stl").write_bytes(b"other")
    assert scan_sha256(sheet, tmp_path) != before
    with pytest.raises(ScanError, match=r"bay\.stl"):
        surroundings(scan, mesh, Frame(), PORTS, tmp_path)


def test_hoses_and_corridors_are_rods_to_stay_off():
    """A hose of 26 mm along x at y 60, z 40: 30 mm above its middle 17 mm are free; beyond its end round as a ball."""
    hose = {"name": "hose", "start": (-150.0, 60.0, 40.0), "end": (150.0, 60.0, 40.0), "diameter": 26.0}
    way = {"name": "plug", "start": (0.0, 0.0, 300.0), "end": (0.0, 0.0, 400.0), "diameter": 40.0}
    sheet = JobSheet.model_validate({"job": {"name": "x"}, "room": {"hose": [hose], "corridor": [way]}})
    room = without(room_without_scan(sheet.room), "head face")
    places = [(20.0, 90.0, 40.0), (180.0, 60.0, 80.0), (20.0, 60.0, 50.0), (30.0, 0.0, 350.0)]
    distance, gradient = clearance(room, places)
    np.testing.assert_allclose(distance, [17.0, 50.0 - 13.0, 10.0 - 13.0, 10.0], atol=1e-9)
    np.testing.assert_allclose(gradient[0], (0, 1, 0), atol=1e-9)
    assert nearest(room, places) == ("hose", "hose", "hose", "plug")
    assert KeepOutRod(name="plug", start_mm=(0, 0, 300), end_mm=(0, 0, 400), diameter_mm=40) in room.rods
