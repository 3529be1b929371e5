"""The whole stage: scans in odd units and poses, jobs without a scan, and what goes wrong."""

from pathlib import Path

import numpy as np
import pytest

from tractwright.design.room import HEAD_FACE, clearance, nearest, without
from tractwright.errors import ScanError, SheetError
from tractwright.geometry.meshfile import write_stl
from tractwright.job.sheet import JobSheet
from tractwright.scan.space import OLD_PART
from tractwright.scan.stage import pattern_and_room


def sheet(**tables) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "trial"}, **tables})


ENGINE = {"cylinders": 4, "bore": 86.0, "stroke": 86.0}


@pytest.fixture(scope="module")
def from_scan(scanned, tmp_path_factory):
    """The stage run on the scan written in inches."""
    folder = tmp_path_factory.mktemp("job")
    write_stl(folder / "scan.stl", (scanned.triangles / 25.4).astype(np.float32), "invented")
    plane = {"name": "bonnet", "normal": (0.0, -1.0, 0.0), "offset": -95.0}
    box = {"name": "pump", "low": (-200.0, -80.0, 60.0), "high": (-120.0, -30.0, 120.0)}
    job = sheet(engine=ENGINE, scan={"file": "scan.stl", "unit": "inch"}, room={"plane": [plane], "box": [box]})
    return pattern_and_room(job, folder)


def test_the_pattern_is_in_millimetres_whatever_the_file_is_in(from_scan, scanned):
    pattern, _ = from_scan
    np.testing.assert_allclose([port.at_mm[0] for port in pattern.ports], scanned.part.port_x(), atol=0.15)
    assert pattern.banks[0].frame.z == (0.0, 0.0, 1.0)
    assert any("triangles read" in note for note in pattern.notes)
    assert pattern.throttle_face is not None


def test_the_room_is_the_old_parts_space_grown(from_scan, scanned):
    """Points of the true part: inside its metal, in its closed hollows, and so far outside."""
    pattern, room = from_scan
    part = scanned.part
    top = part.plenum_at_mm[0] + part.plenum_half_mm[0]
    free = without(without(room, "bonnet"), HEAD_FACE)
    in_plenum, between_runners = (0.0, 70.0, 150.0), (0.0, 10.0, 70.0)
    above, far = (-110.0, top + 10.0, 150.0), (-110.0, top + 40.0, 150.0)
    distance, _ = clearance(free, [in_plenum, between_runners, above, far, (0.0, 0.0, -5.0)])
    assert distance[0] > 25.0
    assert distance[1] > 5.0
    assert distance[2] == pytest.approx(5.0, abs=1.0)
    assert distance[3] == pytest.approx(-25.0, abs=1.5)
    assert nearest(room, [far, (0.0, 60.0, 150.0), (0.0, 0.0, 2.0)]) == ("bonnet", "bonnet", HEAD_FACE)
    assert nearest(free, [far]) == (OLD_PART,)
    face = pattern.throttle_face.frame
    ahead = np.array(face.origin_mm) + np.outer([20.0, 60.0, 100.0], face.z)
    assert (clearance(free, ahead)[0] > 5.0).all()


def test_the_picture_of_the_old_part_is_light_and_in_place(from_scan):
    _, room = from_scan
    vertices, faces = room.old_part
    assert 5_000 < len(faces) < 120_000
    assert vertices[:, 2].min() > -1.0
    assert vertices[:, 1].max() == pytest.approx(120.0, abs=1.0)


def test_a_scan_that_does_not_limit_the_room(scanned, tmp_path):
    write_stl(tmp_path / "scan.stl", scanned.triangles, "invented")
    job = sheet(engine=ENGINE, scan={"file": "scan.stl"}, room={"use_scan": False})
    _, room = pattern_and_room(job, tmp_path)
    assert room.grids == ()
    assert room.old_part is not None


def test_a_hidden_port_is_said(scanned, tmp_path):
    engine = {"cylinders": 5, "bore": 86.0, "stroke": 86.0}
    write_stl(tmp_path / "scan.stl", scanned.triangles, "invented")
    with pytest.raises(ScanError, match="4 alike openings, the engine has 5 cylinders"):
        pattern_and_room(sheet(engine=engine, scan={"file": "scan.stl"}), tmp_path)


def test_a_wrong_unit_is_said(scanned, tmp_path):
    write_stl(tmp_path / "scan.stl", scanned.triangles, "invented")
    with pytest.raises(ScanError, match="longest side"):
        pattern_and_room(sheet(scan={"file": "scan.stl", "unit": "m"}), tmp_path)


def test_a_regular_row_without_a_scan():
    facts = {"port_shape": "oval", "port_width": 44.0, "port_height": 30.0, "pitch": 90.0, "screw_rise": 30.0}
    pattern, room = pattern_and_room(sheet(engine={**ENGINE, "cylinders": 3}, pattern=facts), Path())
    assert [port.at_mm for port in pattern.ports] == [(-90.0, 0.0), (0.0, 0.0), (90.0, 0.0)]
    places = {hole.at_mm for hole in pattern.head_holes}
    assert places == {(x, y) for x in (-135.0, -45.0, 45.0, 135.0) for y in (-30.0, 30.0)}
    assert [hole.name for hole in pattern.head_holes[:2]] == ["s1", "s2"]
    assert nearest(room, [(0.0, 0.0, 9.0)]) == (HEAD_FACE,)
    assert clearance(room, [(0.0, 400.0, 9.0)])[0][0] == pytest.approx(9.0)


def test_listed_ports_and_screws_without_a_scan():
    facts = {
        "port_width": 30.0,
        "port_rise": 10.0,
        "port": [{"at": (-40.0, 0.0), "cylinders": [1]}, {"at": (40.0, 0.0), "cylinders": [2]}],
        "screw": [{"at": (0.0, 20.0), "stud": True}, {"at": (0.0, -20.0)}, {"at": (-80.0, 0.0)}],
        "screw_thread": "M10",
    }
    pattern, _ = pattern_and_room(sheet(pattern=facts), Path())
    assert pattern.ports[1].cylinders == (2,)
    assert np.degrees(np.arcsin(pattern.ports[0].axis[1])) == pytest.approx(10.0)
    assert [(hole.at_mm, hole.stud) for hole in pattern.head_holes] == [
        ((-80.0, 0.0), False),
        ((0.0, 20.0), True),
        ((0.0, -20.0), False),
    ]
    assert {hole.thread for hole in pattern.head_holes} == {"M10"}


def test_shared_and_doubled_ports():
    facts = {"port_width": 30.0, "port": [{"at": (60.0 * k, 0.0)} for k in range(8)]}
    pattern, _ = pattern_and_room(sheet(engine=ENGINE, pattern=facts), Path())
    assert [port.cylinders[0] for port in pattern.ports] == [1, 1, 2, 2, 3, 3, 4, 4]
    facts = {"port_width": 30.0, "port": [{"at": (0.0, 0.0)}, {"at": (90.0, 0.0)}]}
    pattern, _ = pattern_and_room(sheet(engine=ENGINE, pattern=facts), Path())
    assert [port.cylinders for port in pattern.ports] == [(1, 2), (3, 4)]


def test_no_word_on_the_ports_is_a_fault():
    with pytest.raises(SheetError, match="pattern"):
        pattern_and_room(sheet(engine=ENGINE), Path())
    with pytest.raises(SheetError, match=r"pattern\.pitch"):
        pattern_and_room(sheet(pattern={"port_width": 40.0}), Path())
