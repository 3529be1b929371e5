"""Holes a scan hardly shows: gaps cut into an invented scan at a hole whose place is known."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.geometry.meshes import Mesh, kept_faces
from tractwright.job.sheet import Scan
from tractwright.scan.faces import find_faces
from tractwright.scan.measure import measured_pattern
from tractwright.scan.missing import with_missing
from tractwright.scan.place import job_frame
from tractwright.scan.symmetry import expected_places

NINTH = (177.5, 22.32)
EMPTY = (177.5, -22.32)
"""The invented part has no screw here: its flange ends before it."""


def found_without(scanned, clean, hidden) -> tuple:
    """The pattern of the scan without the triangles that hidden (true x, y from the ninth hole) marks."""
    true = (clean.mesh.vertices_mm - scanned.origin) @ scanned.turn.T
    near = (np.hypot(true[:, 0] - NINTH[0], true[:, 1] - NINTH[1]) < 30.0) & (np.abs(true[:, 2]) < 13.5)
    gone = near & hidden(true[:, 0] - NINTH[0], true[:, 1] - NINTH[1])
    mesh = kept_faces(clean.mesh, ~gone[clean.mesh.faces].any(axis=1))
    head, seat = find_faces(mesh, 4)
    frame = job_frame(mesh, head, Scan(file="scan.stl")).frame
    return with_missing(measured_pattern(head, seat, frame, 4), mesh, head, frame)


def test_where_the_flange_ends_no_hole_is_taken(scanned, clean):
    found = found_without(scanned, clean, lambda x, y: np.zeros(len(x), bool))
    assert len(found.holes) == 9
    (place,) = found.probable
    assert place.at_mm == pytest.approx(EMPTY, abs=0.4)
    assert not place.taken
    assert place.seen > 0.7
    assert any("flange ends before it" in note for note in found.notes)


def test_a_hole_in_a_gap_is_taken_as_probable(scanned, clean):
    found = found_without(scanned, clean, lambda x, y: np.hypot(x, y) < 9.0)
    (place,) = (place for place in found.probable if place.taken)
    assert place.at_mm == pytest.approx(NINTH, abs=0.4)
    assert place.seen < 0.3
    assert len(found.holes) == 9
    assert any("probably missing" in note for note in found.notes)


def test_what_is_left_of_a_rim_gives_the_hole_with_less_confidence(scanned, clean):
    found = found_without(scanned, clean, lambda x, y: (np.hypot(x, y) < 9.0) & (y < 1.0))
    near = [hole for hole in found.holes if np.hypot(hole.at_mm[0] - NINTH[0], hole.at_mm[1] - NINTH[1]) < 0.6]
    assert len(near) == 1
    figures = [figure for figure in found.measurements if figure.what.startswith(f"hole {near[0].name} ")]
    assert {figure.what.split(" ", 2)[2] for figure in figures} == {"x", "y", "diameter"}
    assert all(0.2 <= figure.sure < 0.6 for figure in figures)
    assert not any(place.taken for place in found.probable)


def test_closed_metal_is_no_hole(scanned, clean):
    """The rim and walls of the ninth hole replaced by a flat lid with many triangles."""
    true = (clean.mesh.vertices_mm - scanned.origin) @ scanned.turn.T
    away = np.hypot(true[:, 0] - NINTH[0], true[:, 1] - NINTH[1])
    hole = (away < 6.0) & (np.abs(true[:, 2]) < 14.0)
    mesh = kept_faces(clean.mesh, ~hole[clean.mesh.faces].any(axis=1))
    axis = np.arange(-6.5, 6.6, 0.65)
    x, y = np.meshgrid(axis + NINTH[0], axis + NINTH[1], indexing="ij")
    lid = np.stack([x, y, np.zeros_like(x)], axis=-1).reshape(-1, 3) @ scanned.turn + scanned.origin
    n, first = len(axis), len(mesh.vertices_mm)
    corner = (np.arange(n - 1)[:, None] * n + np.arange(n - 1)).ravel() + first
    faces = np.concatenate(
        [np.stack([corner, corner + 1, corner + n], 1), np.stack([corner + 1, corner + n + 1, corner + n], 1)]
    )
    covered = Mesh(
        vertices_mm=np.concatenate([mesh.vertices_mm, lid]), faces=np.concatenate([mesh.faces, faces]).astype(np.int32)
    )
    head, seat = find_faces(covered, 4)
    frame = job_frame(covered, head, Scan(file="scan.stl")).frame
    found = with_missing(measured_pattern(head, seat, frame, 4), covered, head, frame)
    assert len(found.holes) == 8
    assert any("closed metal" in note for note in found.notes)


def test_a_mirror_names_the_place_that_is_empty():
    holes = np.array([(-100.0, 30), (0, 30), (100, 30), (-100, -30), (0, -30)])
    names = ("s1", "s2", "s3", "s4", "s5")
    (place,) = expected_places(holes, names, np.array([-50.0, 50.0]))
    np.testing.assert_allclose(place.at_mm, (100, -30))
    assert place.why == "mirror image of s4"


def test_a_pitch_names_the_place_that_is_empty():
    """Rows of unlike rise and no mirror: only the pitch repeats."""
    holes = np.array([(90.0 * k + 7.0, 30.0) for k in range(-2, 3)] + [(90.0 * k, -21.0) for k in (-2, -1, 1, 2)])
    ports = 90.0 * np.arange(-2, 3)
    places = expected_places(holes, tuple(f"s{k}" for k in range(9)), ports)
    assert any(np.allclose(place.at_mm, (0, -21.0)) and "pitch of 90.0" in place.why for place in places)


def test_a_pattern_without_symmetry_asks_for_nothing():
    holes = np.array([(-100.0, 31), (-40, 35), (21, 28), (88, -30), (-7, -39), (55, 12.0)])
    assert expected_places(holes, tuple("abcdef"), np.array([-94.0, 0, 94])) == ()
    assert expected_places(holes[:3], tuple("abc"), np.array([-94.0, 0, 94])) == ()


def test_names_follow_the_row_after_a_hole_is_added(scanned, clean):
    found = found_without(scanned, clean, lambda x, y: np.hypot(x, y) < 9.0)
    assert [hole.name for hole in found.holes] == [f"s{k}" for k in range(1, 10)]
    said = {figure.what.split(" ")[1] for figure in found.measurements if figure.what.startswith("hole ")}
    assert len(said) == 8
    assert replace(found, notes=()).holes == found.holes
