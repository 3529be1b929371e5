"""What the faces of an invented scan give, against the numbers it was made from."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.errors import ScanError
from tractwright.geometry.meshes import Mesh, signed_volume
from tractwright.job.sheet import PatternFacts, Scan
from tractwright.scan.agree import with_facts
from tractwright.scan.clean import cleaned
from tractwright.scan.faces import find_faces
from tractwright.scan.measure import measured_pattern, thread_for
from tractwright.scan.place import job_frame


def frame_of(scanned, frame) -> np.ndarray:
    """The found axes in the true head frame: the unit matrix where all is right."""
    return frame.matrix() @ scanned.turn.T


def test_every_drop_is_counted(scanned, clean):
    assert clean.triangles_read == len(scanned.triangles)
    assert clean.not_numbers == 20
    assert clean.no_area == 20
    assert clean.twice == 20
    assert clean.stray_parts >= 12
    kept = clean.triangles_read - 60 - clean.stray_triangles
    assert clean.triangles_kept == kept <= len(clean.mesh.faces)
    assert any("stray" in note for note in clean.notes())


def test_the_frame_is_the_true_one(scanned, clean, faces):
    placed = job_frame(clean.mesh, faces[0], Scan(file="scan.stl"))
    np.testing.assert_allclose(frame_of(scanned, placed.frame), np.eye(3), atol=6e-4)
    middle = scanned.turn @ (np.array(placed.frame.origin_mm) - scanned.origin)
    np.testing.assert_allclose(middle, 0.0, atol=0.15)
    assert placed.notes == ()


@pytest.mark.parametrize(
    ("facts", "signs"),
    [
        ({"port_1": "right"}, (-1, -1, 1)),
        ({"upside_down": True}, (-1, -1, 1)),
        ({"port_1": "right", "upside_down": True}, (1, 1, 1)),
    ],
)
def test_port_1_and_up_are_the_users_word(scanned, clean, faces, facts, signs):
    placed = job_frame(clean.mesh, faces[0], Scan(file="scan.stl", **facts))
    np.testing.assert_allclose(np.diag(frame_of(scanned, placed.frame)), signs, atol=1e-4)


def test_ports_screws_and_throttle_are_found(scanned, clean, faces):
    head, seat = faces
    frame = job_frame(clean.mesh, head, Scan(file="scan.stl")).frame
    found = measured_pattern(head, seat, frame, 4)
    part = scanned.part
    assert [port.name for port in found.ports] == ["p1", "p2", "p3", "p4"]
    assert [port.cylinders for port in found.ports] == [(1,), (2,), (3,), (4,)]
    np.testing.assert_allclose([port.at_mm[0] for port in found.ports], part.port_x(), atol=0.15)
    assert {port.outline.kind for port in found.ports} == {"oval"}
    assert found.ports[0].outline.width_mm == pytest.approx(50.0, abs=0.12)
    assert found.ports[0].outline.height_mm == pytest.approx(32.0, abs=0.12)
    lean = np.degrees(np.arctan2(found.ports[0].axis[1], found.ports[0].axis[2]))
    assert lean == pytest.approx(np.degrees(np.arctan(part.drift[1])), abs=0.6)
    away = np.linalg.norm(part.screws()[:, None] - np.array([hole.at_mm for hole in found.holes])[None], axis=2)
    assert len(found.holes) == len(part.screws())
    assert away.min(axis=1).max() < 0.2
    assert {hole.thread for hole in found.holes} == {"M8"}
    assert found.throttle is not None
    assert found.throttle.bore_mm == pytest.approx(part.throttle_bore_mm, abs=0.12)
    assert found.throttle.frame.z[0] == pytest.approx(part.throttle_side, abs=1e-3)
    assert len(found.throttle.holes_mm) == 4
    assert all(figure.sure > 0.5 for figure in found.measurements)


def test_facts_win_and_differences_are_kept_beside_what_the_scan_says(clean, faces):
    frame = job_frame(clean.mesh, faces[0], Scan(file="scan.stl")).frame
    found = measured_pattern(*faces, frame, 4)
    facts = PatternFacts(port_width=52.0, port_corner_radius=3.0, pitch=94.2, screw_thread="M8")
    agreed = with_facts(found, facts, 4).measured
    assert agreed.ports[0].outline.width_mm == 52.0
    assert agreed.ports[0].outline.height_mm == pytest.approx(32.0, abs=0.12)
    assert agreed.ports[0].at_mm == (-1.5 * 94.2, 0.0)
    differ = {figure.what: figure.other_source for figure in agreed.measurements if figure.other_source is not None}
    assert differ == {f"port p{k} width": 52.0 for k in (1, 2, 3, 4)}
    far = with_facts(found, PatternFacts(port_width=50.0, pitch=95.0), 4).measured
    assert {figure.what for figure in far.measurements if figure.other_source is not None} == {
        "port p1 x",
        "port p4 x",
    } | {f"port p{k} x" for k in (2, 3) if abs(found.ports[k - 1].at_mm[0]) < 47.0}


def listed(part, turn: tuple[float, float]) -> PatternFacts:
    places = [{"at": (float(x * turn[0]), float(y * turn[1]))} for x, y in part.screws()]
    return PatternFacts(port_width=50.0, port_height=32.0, screw=places)


def test_a_mirrored_scan_is_noticed_by_the_listed_screws(scanned, clean, faces):
    frame = job_frame(clean.mesh, faces[0], Scan(file="scan.stl")).frame
    found = measured_pattern(*faces, frame, 4)
    assert not [
        note for note in with_facts(found, listed(scanned.part, (1, 1)), 4).measured.notes if "mirrored" in note
    ]
    mirrored = with_facts(found, listed(scanned.part, (-1, 1)), 4).measured
    assert any("mirrored" in note for note in mirrored.notes)
    turned = with_facts(found, listed(scanned.part, (-1, -1)), 4).measured
    assert any("half a turn" in note for note in turned.notes)


def test_triangles_that_look_inwards_are_noticed(clean, faces):
    inside_out = Mesh(vertices_mm=clean.mesh.vertices_mm, faces=np.ascontiguousarray(clean.mesh.faces[:, ::-1]))
    assert signed_volume(inside_out) == pytest.approx(-signed_volume(clean.mesh))
    notes = job_frame(inside_out, faces[0], Scan(file="scan.stl")).notes
    assert any("mirrored" in note for note in notes)


def test_a_ball_has_no_head_face():
    import trimesh

    ball = trimesh.creation.icosphere(5, 80.0)
    with pytest.raises(ScanError, match="no flat face"):
        find_faces(Mesh(vertices_mm=np.asarray(ball.vertices), faces=np.asarray(ball.faces, dtype=np.int32)), 4)


def test_nothing_left_is_an_error():
    empty = Mesh(vertices_mm=np.full((3, 3), np.nan), faces=np.array([[0, 1, 2]], dtype=np.int32))
    with pytest.raises(ScanError, match="finite corners"):
        cleaned(empty, "scan.stl")


def test_clearance_holes_name_their_thread():
    """ISO 273 medium row."""
    assert [thread_for(d) for d in (5.5, 6.6, 9.0, 11.0, 13.5)] == ["M5", "M6", "M8", "M10", "M12"]
    assert thread_for(4.0) == ""


def test_common_port_figures_keep_their_own_values(clean, faces):
    """The pattern takes the mean outline, the figures stay each port's own."""
    frame = job_frame(clean.mesh, faces[0], Scan(file="scan.stl")).frame
    found = measured_pattern(*faces, frame, 4)
    own = [figure.value for figure in found.measurements if figure.what.endswith(" width")]
    assert len(set(own)) == 4
    assert found.ports[0].outline.width_mm == pytest.approx(np.mean(own))
    assert replace(found.ports[0], name="p2").outline == found.ports[1].outline
