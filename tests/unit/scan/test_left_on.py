"""Studs, a gasket's layer and other things left on, put on an invented scan; half a manifold; loops: truth known."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from tractwright.errors import SheetError
from tractwright.geometry.meshes import Mesh, kept_faces
from tractwright.geometry.outlines import Outline, outline_area, outline_points
from tractwright.job.sheet import Scan
from tractwright.scan.faces import find_faces
from tractwright.scan.left_on import left_on
from tractwright.scan.loop_fit import fit_loop
from tractwright.scan.measure import measured_pattern, nearest_standard, standard_bore, standard_hole
from tractwright.scan.missing import with_studs
from tractwright.scan.partial import completed
from tractwright.scan.place import job_frame

FIRST = (-177.5, 22.32)


def joined(scanned, clean, solid, keep=None) -> Mesh:
    """The scan with a body put on, given in the true head frame; keep : of the scan's vertices (true frame)."""
    true = (clean.mesh.vertices_mm - scanned.origin) @ scanned.turn.T
    mesh = clean.mesh if keep is None else kept_faces(clean.mesh, keep(true)[clean.mesh.faces].all(axis=1))
    more = np.asarray(solid.vertices) @ scanned.turn + scanned.origin
    faces = np.concatenate([mesh.faces, np.asarray(solid.faces) + len(mesh.vertices_mm)]).astype(np.int32)
    return Mesh(vertices_mm=np.concatenate([mesh.vertices_mm, more]), faces=faces)


def body(solid, edge: float = 1.5):
    return solid.subdivide_to_size(edge)


def test_a_stud_left_in_marks_its_screw(scanned, clean):
    """An 8 mm stud in the first hole, whose rim it hides."""
    stud = trimesh.creation.cylinder(4.0, 40.0, sections=48)
    stud.apply_translation([*FIRST, -18.0])

    def hidden(p):
        return (np.hypot(p[:, 0] - FIRST[0], p[:, 1] - FIRST[1]) > 6.5) | (np.abs(p[:, 2]) > 13.5)

    mesh = joined(scanned, clean, body(stud), hidden)
    head, seat = find_faces(mesh, 4)
    frame = job_frame(mesh, head, Scan(file="scan.stl")).frame
    before = left_on(mesh, head.cut)
    (found,) = before.studs
    assert found.diameter_mm == pytest.approx(8.0, abs=0.2)
    assert found.height_mm == pytest.approx(38.0, abs=0.5)
    pattern = with_studs(measured_pattern(head, seat, frame, 4), before.studs, head, frame)
    (hole,) = (hole for hole in pattern.holes if hole.stud)
    assert hole.at_mm == pytest.approx(FIRST, abs=0.3)
    assert len(pattern.holes) == 9
    assert any("stud" in note for note in pattern.notes)


def test_a_gasket_and_a_bracket_left_on_are_said(scanned, clean):
    layer = trimesh.creation.box((60.0, 24.0, 1.2))
    layer.apply_translation([0.0, -2.0, -0.6])
    bracket = trimesh.creation.box((50.0, 20.0, 30.0))
    bracket.apply_translation([-150.0, 0.0, -20.0])
    both = trimesh.util.concatenate([body(layer), body(bracket)])
    mesh = joined(scanned, clean, both)
    head, _ = find_faces(mesh, 4)
    notes = left_on(mesh, head.cut).notes
    assert any("flat layer of 1.2 mm" in note and "gasket" in note for note in notes), notes
    assert any("stands 35 mm before the head face" in note and "bracket" in note for note in notes), notes


def test_a_clean_face_has_nothing_left_on(clean, faces):
    before = left_on(clean.mesh, faces[0].cut)
    assert before.studs == ()
    assert before.notes == ()


def half(scanned, clean):
    true = (clean.mesh.vertices_mm - scanned.origin) @ scanned.turn.T
    return kept_faces(clean.mesh, (true[:, 0] < 8.0)[clean.mesh.faces].all(axis=1))


def test_half_a_manifold_is_laid_out_at_its_pitch(scanned, clean):
    mesh = half(scanned, clean)
    head, seat = find_faces(mesh, 2)
    placed = job_frame(mesh, head, Scan(file="scan.stl"))
    measured = measured_pattern(head, seat, placed.frame, 4)
    whole, frame = completed(measured, placed.frame, (1, 2), 4)
    np.testing.assert_allclose([port.at_mm[0] for port in whole.ports], scanned.part.port_x(), atol=0.3)
    middle = scanned.turn @ (np.array(frame.origin_mm) - scanned.origin)
    np.testing.assert_allclose(middle, 0.0, atol=0.3)
    assert [port.cylinders for port in whole.ports] == [(1,), (2,), (3,), (4,)]
    laid_out = [figure for figure in whole.measurements if figure.what.startswith(("port p3", "port p4"))]
    assert all(figure.sure < 0.5 for figure in laid_out)
    assert all(place.taken for place in whole.probable)
    away = np.linalg.norm(scanned.part.screws()[:, None] - np.array([hole.at_mm for hole in whole.holes])[None], axis=2)
    assert away.min(axis=1).max() < 0.6


@pytest.mark.parametrize("shown", [(1,), (1, 3), (4, 5)])
def test_ports_that_cannot_be_these_are_refused(clean, faces, shown):
    frame = job_frame(clean.mesh, faces[0], Scan(file="scan.stl")).frame
    found = measured_pattern(*faces, frame, 4)
    two = replace(found, ports=found.ports[:2])
    with pytest.raises(SheetError, match="shows_ports"):
        completed(two, frame, shown, 4)


def test_a_loop_comes_back():
    """Area of an oval bowed sideways is the oval's own: bowing shifts each level, it widens none."""
    oval = Outline(kind="oval", width_mm=36.0, height_mm=46.0)
    points = outline_points(oval, 1500)
    points[:, 0] += 0.01 * points[:, 1] ** 2
    noisy = points + np.random.default_rng(1).normal(0.0, 0.1, points.shape)
    found = fit_loop(noisy)
    assert outline_area(found.outline) == pytest.approx(outline_area(oval), rel=4e-3)
    assert found.residual_mm == pytest.approx(0.1, abs=0.03)
    assert found.outline.height_mm == pytest.approx(46.0, abs=0.15)


def test_half_a_ring_is_no_loop():
    angle = np.linspace(0.0, np.pi, 400)
    assert fit_loop(20.0 * np.stack([np.cos(angle), np.sin(angle)], axis=1)) is None


def test_sizes_are_taken_for_standard_ones_on_evidence_only():
    """ISO 273 for M8: 8.4, 9, 10 mm."""
    assert standard_hole(np.array([8.98, 9.01, 9.00, 8.97]), "M8") == 9.0
    assert standard_hole(np.array([8.70, 8.72, 8.69, 8.71]), "M8") is None
    assert standard_hole(np.array([8.6, 9.5, 8.7, 9.3]), "M8") is None
    assert standard_bore(66.03) == 66.0
    assert standard_bore(66.31) is None
    assert nearest_standard(np.array([4.1, 3.9]), np.array([4.0, 4.2])) is None
