"""A mesh drawn, not scanned: long triangles, exact planes, a thick flange. Made with a mesh kernel of its own."""

import manifold3d
import numpy as np
import pytest

from tractwright.geometry.meshfile import write_stl
from tractwright.job.sheet import JobSheet
from tractwright.scan.stage import pattern_and_room


def drawn_part(sides: int = 56) -> np.ndarray:
    """Three round ports of 40 mm, eight 9 mm holes in a 25 mm plate, pipes, a box above with a throttle bore on its end.

    Between the ports a 20 mm water passage and a 6 mm dowel hole.
    """
    manifold3d.set_circular_segments(sides)
    cube, cylinder = manifold3d.Manifold.cube, manifold3d.Manifold.cylinder
    plate = cube((290.0, 90.0, 25.0)).translate((-145.0, -45.0, 0.0))
    box = cube((300.0, 80.0, 80.0)).translate((-145.0, 0.0, 120.0))
    body = plate + box
    for x in (-90.0, 0.0, 90.0):
        body += cylinder(130.0, 26.0).translate((x, 0.0, 0.0))
    for x in (-90.0, 0.0, 90.0):
        body -= cylinder(140.0, 20.0).translate((x, 0.0, -1.0))
    for x in (-135.0, -45.0, 45.0, 135.0):
        for y in (-35.0, 35.0):
            body -= cylinder(40.0, 4.5).translate((x, y, -1.0))
    body -= cylinder(30.0, 10.0).translate((45.0, 0.0, -1.0)) + cylinder(30.0, 3.0).translate((-45.0, 0.0, -1.0))
    body -= cube((280.0, 70.0, 70.0)).translate((-135.0, 5.0, 125.0))
    across = (0.0, 90.0, 0.0)
    body -= cylinder(40.0, 25.0).rotate(across).translate((130.0, 40.0, 160.0))
    for y, z in ((10.0, 130.0), (70.0, 130.0), (10.0, 190.0), (70.0, 190.0)):
        body -= cylinder(8.0, 2.5).rotate(across).translate((150.0, y, z))
    mesh = body.to_mesh()
    return np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)].astype(np.float32)


def test_a_drawn_part_is_read_like_a_scan(tmp_path):
    triangles = drawn_part()
    assert len(triangles) < 20_000
    turn = np.linalg.qr(np.random.default_rng(4).standard_normal((3, 3)))[0]
    turn[0] *= np.sign(np.linalg.det(turn))
    write_stl(tmp_path / "part.stl", (triangles @ turn + [50.0, -20.0, 300.0]).astype(np.float32), "drawn")
    engine = {"cylinders": 3, "bore": 80.0, "stroke": 80.0}
    given = {"scan": {"file": "part.stl"}, "room": {"use_scan": False}}
    sheet = JobSheet.model_validate({"job": {"name": "drawn"}, "engine": engine, **given})
    pattern, _ = pattern_and_room(sheet, tmp_path)
    np.testing.assert_allclose([port.at_mm for port in pattern.ports], [(-90, 0), (0, 0), (90, 0)], atol=0.05)
    assert pattern.ports[0].outline.kind == "circle"
    assert pattern.ports[0].outline.width_mm == pytest.approx(40.0, abs=0.12)
    assert pattern.ports[0].axis == (0.0, 0.0, 1.0)
    places = sorted((round(hole.at_mm[0], 1), round(hole.at_mm[1], 1)) for hole in pattern.head_holes)
    assert places == sorted((x, y) for x in (-135.0, -45.0, 45.0, 135.0) for y in (-35.0, 35.0))
    assert any("a further opening of 20.0 x 20.0 mm at x 45.0" in note for note in pattern.notes)
    assert any("6.0 mm at x -45.0" in note and "no M8 hole" in note for note in pattern.notes)
    assert pattern.throttle_face is not None
    assert pattern.throttle_face.bore_mm == pytest.approx(50.0, abs=0.12)
    assert len(pattern.throttle_face.holes_mm) == 4
