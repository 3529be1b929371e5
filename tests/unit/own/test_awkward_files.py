"""Files that are not what one hopes for: each gets one clear line, and none falls over."""

import re

import numpy as np
import pytest
from build123d import (
    Box,
    Compound,
    Cylinder,
    Edge,
    Face,
    Plane,
    Pos,
    RegularPolygon,
    Shell,
    Solid,
    Sphere,
    Vector,
    Wire,
    export_step,
    export_stl,
    extrude,
)

from tractwright.errors import KernelError, SolidError
from tractwright.own.stage import own_solid, read_file, read_own


def _refused(path) -> str:
    with pytest.raises(KernelError) as fault:
        read_file(path)
    assert "\n" not in fault.value.reason
    return fault.value.reason


def _written(tmp_path, shape):
    path = tmp_path / "x.step"
    export_step(shape, path)
    return path


def test_no_such_file_an_empty_one_another_kind_one_cut_short(tmp_path):
    path = tmp_path / "x.step"
    assert _refused(path) == "there is no such file"
    path.write_bytes(b" \n")
    assert _refused(path) == "the file is empty"
    export_stl(Box(10, 10, 10), path)
    assert "does not begin as a STEP file" in _refused(path)
    whole = _written(tmp_path, Box(30, 30, 30)).read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    assert "cut short" in _refused(path)


def test_a_step_file_without_geometry(tmp_path):
    path = _written(tmp_path, Box(30, 30, 30))
    text = path.read_text()
    start, end = text.index("DATA;"), text.index("ENDSEC;", text.index("DATA;"))
    path.write_text(text[:start] + "DATA;\n" + text[end:])
    assert "no shape" in _refused(path) or "cannot be read" in _refused(path)


def test_an_open_box_of_surfaces_says_how_many_edges_are_open(tmp_path):
    faces = Box(30, 30, 30).faces()[:5]
    assert "only surfaces (5)" in _refused(_written(tmp_path, Shell(faces)))
    assert "4 edges left open" in _refused(_written(tmp_path, Shell(faces)))


def test_a_single_surface_and_a_curve(tmp_path):
    assert "only surfaces (1)" in _refused(_written(tmp_path, Face.make_rect(30, 30)))
    assert "1 curves and no surface" in _refused(_written(tmp_path, Edge.make_line((0, 0, 0), (30, 0, 0))))


def test_surfaces_that_close_are_taken_as_a_solid(tmp_path):
    found = read_file(_written(tmp_path, Shell(Box(30, 30, 30).faces())))
    assert found.bodies[0].volume_mm3 == pytest.approx(27000.0)
    assert "taken as a solid" in found.notes[0]


def test_several_solids_and_a_stray_surface(tmp_path):
    several = Compound(
        children=[Box(30, 30, 30), Pos(50, 0, 0) * Box(20, 20, 20), Pos(90, 0, 0) * Face.make_rect(5, 5)]
    )
    found = read_file(_written(tmp_path, several))
    assert [body.volume_mm3 for body in found.bodies] == pytest.approx([27000.0, 8000.0])
    assert "2 solids" in found.notes[0]
    assert "1 faces belong to no solid" in found.notes[1]


def test_the_same_part_placed_twice_stands_in_both_places(tmp_path):
    part = Box(30, 30, 30)
    bodies = read_file(_written(tmp_path, Compound(children=[part, Pos(0, 0, 100) * part]))).bodies
    middles = sorted(float(body.mesh[0][:, 2].mean()) for body in bodies)
    assert middles == pytest.approx([0.0, 100.0], abs=1e-6)


@pytest.mark.parametrize(("side", "words"), [(0.05, "0.05 mm long"), (3000.0, "3000 mm long")])
def test_a_wrong_unit_is_asked_after(tmp_path, side, words):
    notes = read_file(_written(tmp_path, Box(side, side, side))).notes
    assert any(words in note and "unit" in note for note in notes)


def test_a_part_imported_as_facets_is_told(tmp_path):
    """A sphere of flat triangles sewn to a solid, as mesh files come in."""
    rings, turns = np.linspace(0.0, np.pi, 10), np.linspace(0.0, 2 * np.pi, 17)[:-1]
    at = [
        [Vector(*(20 * np.array([np.sin(a) * np.cos(b), np.sin(a) * np.sin(b), np.cos(a)]))) for b in turns]
        for a in rings
    ]
    faces = []
    for i in range(9):
        for k in range(16):
            a, b, c, d = at[i][k], at[i + 1][k], at[i + 1][(k + 1) % 16], at[i][(k + 1) % 16]
            for corners in ((a, b, c), (a, c, d)):
                if min((p - q).length for p, q in zip(corners, corners[1:] + corners[:1], strict=True)) > 1e-6:
                    faces.append(Face(Wire.make_polygon(corners, close=True)))
    read = read_file(_written(tmp_path, Solid(Shell(faces))))
    assert any("flat facets" in note for note in read.notes)
    assert own_solid(read.bodies[0]).joint_faces == ()


def test_tiny_faces_are_counted(tmp_path):
    part = Box(40, 40, 40) - Pos(20, 0, 20) * Box(0.01, 0.01, 0.01)
    assert any("faces under 0.001 mm2" in note for note in read_file(_written(tmp_path, part)).notes)


def test_a_solid_inside_out_is_turned(tmp_path):
    """Its shell turned over in the text, as ISO 10303-42 spells an oriented shell."""
    path = _written(tmp_path, Box(40, 40, 40))
    text, count = re.subn(
        r"MANIFOLD_SOLID_BREP\(('[^']*'),(#\d+)\)", r"MANIFOLD_SOLID_BREP(\1,#9001)", path.read_text()
    )
    shell = re.search(r"(#\d+) = CLOSED_SHELL", text)
    assert count == 1
    assert shell is not None
    turned = f"#9001=ORIENTED_CLOSED_SHELL('',*,{shell[1]},.F.);\nENDSEC;\nEND-ISO"
    path.write_text(text.replace("ENDSEC;\nEND-ISO", turned))
    found = read_file(path)
    assert found.bodies[0].volume_mm3 == pytest.approx(64000.0)
    assert sorted(face.axis for face in found.bodies[0].faces) == sorted(
        tuple(float(v) for v in row) for row in np.concatenate([np.eye(3), -np.eye(3)])
    )


def test_a_hollow_that_opens_nowhere_is_no_passage(tmp_path):
    solid = own_solid(read_file(_written(tmp_path, Box(60, 60, 60) - Sphere(20))).bodies[0])
    assert not solid.passages
    assert solid.notes


def test_two_bodies_that_touch_along_an_edge(tmp_path):
    touching = Compound(children=[Box(20, 20, 20), Pos(20, 20, 0) * Box(20, 20, 20)])
    assert len(read_file(_written(tmp_path, touching)).bodies) == 2


def test_a_solid_without_plane_faces_says_that_it_has_no_joint_face(tmp_path):
    solid = own_solid(read_file(_written(tmp_path, Sphere(30))).bodies[0])
    assert solid.joint_faces == ()
    assert "no joint face" in solid.notes[0]


def test_a_file_that_cannot_be_used_is_named_with_its_reason(tmp_path):
    """Through the child process, as commands read it."""
    path = tmp_path / "mine.step"
    path.write_text("ISO-10303-21;\nnonsense\nEND-ISO-10303-21;\n")
    with pytest.raises(SolidError, match=r"mine\.step: .*accepted: a STEP file"):
        read_own(path)


def test_a_plain_part_comes_through_the_child_process(tmp_path):
    found = read_own(_written(tmp_path, Plane.XY * Cylinder(30, 20)))
    assert (found.unit, len(found.solids)) == ("millimetre", 1)


def test_a_screw_among_the_solids_has_no_joint_face(tmp_path):
    """A socket 6 across the flats was once read as an opening for air, and the screw as a piece with a chamber."""
    head = Cylinder(6.5, 8) - extrude(Plane((0, 0, 1)) * RegularPolygon(3.0, 6, major_radius=False), 6)
    solid = own_solid(read_file(_written(tmp_path, head)).bodies[0])
    assert solid.joint_faces == ()
    assert solid.chambers == ()
