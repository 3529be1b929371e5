"""Runners that end in throttle bodies: what the bodies say of pitch, screws and face is what the description has."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from check_cases import described_case
from on_mouths import SHEET, WANTED, case_on_mouths

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.geometry.contours import polyline
from tractwright.job.read import read_sheet
from tractwright.route.course.solve import NO_COURSES, QUICK
from tractwright.route.records import JobFacts
from tractwright.route.stage import coursed, described_on
from tractwright.scan.stage import pattern_and_room


@pytest.fixture(scope="module")
def design(tmp_path_factory):
    return case_on_mouths(tmp_path_factory.mktemp("bodies")).design


def test_a_body_on_every_mouth(design):
    assert not design.plena
    assert [piece.kind for piece in design.pieces] == ["head"]
    assert [(item.name, item.bore_mm, item.place, item.neck_mm) for item in design.throttles] == [
        (f"r{k}", 42.0, "mouths", 0.0) for k in (1, 2, 3)
    ]
    for runner, throttle in zip(design.runners, design.throttles, strict=True):
        mouth = design.body_rows[0].frame.to_world((*runner.mouth.at_mm, 0.0))
        assert throttle.frame.origin_mm == pytest.approx(tuple(mouth), abs=1e-9)


def test_screws_stand_as_the_bodies_say(design):
    """Four a body on 58 x 50 mm, seated on a flange of 9 mm, threads right through ours."""
    joint = next(item for item in design.joints if item.kind == "runner")
    assert joint.pieces == ("head", "throttle_body")
    screws = [item for item in design.screws if item.joint == joint.name]
    local = joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))
    wanted = {(at + x, y, 9.0) for at in (-82.0, 0.0, 82.0) for x in (-29.0, 29.0) for y in (-25.0, 25.0)}
    assert {tuple(round(float(value), 6) + 0.0 for value in row) for row in local} == wanted
    flange = next(item for item in design.flanges if item.joint == joint.name)
    assert {screw.tapped_in for screw in screws} == {"head"}
    assert {screw.tapped_depth_mm for screw in screws} == {flange.thickness_mm}


def test_one_flange_with_a_cord_round_each_mouth(design):
    flange = next(item for item in design.flanges if item.joint == "runner")
    seals = [item for item in design.seals if item.joint == "runner"]
    assert [seal.name for seal in seals] == ["runner.r1", "runner.r2", "runner.r3"]
    assert {seal.piece for seal in seals} == {"head"}
    plate = shapely.Polygon(polyline(flange.contour))
    assert plate.is_valid
    joint = next(item for item in design.joints if item.name == "runner")
    for seal in seals:
        ring = flange.frame.to_local(joint.frame.to_world(np.array([(x, y, 0.0) for x, y in polyline(seal.path)])))
        assert plate.contains(shapely.Polygon(ring[:, :2]))


def test_a_body_as_bought_makes_no_hole_of_ours_wider(tmp_path):
    """The runner is as wide as the body where the sheet leaves the runner's bore out."""
    case = described_case(tmp_path, SHEET.replace('bore = "42 mm"', 'bore = "40 mm"'), wanted=_of(40.0))
    assert {runner.mouth.bore_mm for runner in case.design.runners} == {40.0}
    assert {runner.mouth.lip_radius_mm for runner in case.design.runners} == {0.0}


def _of(bore_mm: float) -> Wanted:
    return Wanted(
        length_mm=110.0, bore_mm=bore_mm, port_area_mm2=WANTED.port_area_mm2, mouth_area_mm2=np.pi / 4 * bore_mm**2,
        plenum_volume_l=0.0, throttle_bore_mm=bore_mm, lip_radius_mm=0.0, why=(),
    )  # fmt: skip


def _solved(folder, text):
    (folder / "job.toml").write_text(text, encoding="utf-8")
    sheet = read_sheet(folder)
    pattern, room = pattern_and_room(sheet, folder)
    facts = JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=WANTED, held=Held())
    found = coursed(facts, NO_COURSES, QUICK)
    assert found.solution.feasible
    return described_on(found).design


@pytest.mark.parametrize("pitch_mm", [76.0, 88.0])
def test_a_bank_keeps_its_pitch_whatever_the_ports(tmp_path, pitch_mm):
    """Ports stand 82 mm apart; the bank's own pitch is what the mouths have."""
    text = SHEET.replace('pitch = "82 mm"\nbody', f'pitch = "{pitch_mm} mm"\nbody').replace("110 mm", "140 mm")
    design = _solved(tmp_path, text)
    places = [item.frame.origin_mm for item in design.throttles]
    for a, b in pairwise(places):
        assert float(np.linalg.norm(np.subtract(b, a))) == pytest.approx(pitch_mm, abs=1e-6)


def test_the_row_faces_as_the_sheet_says(tmp_path):
    design = _solved(tmp_path, SHEET.replace('trumpet = "50 mm"', 'trumpet = "50 mm"\ndirection = [0, 0.5, 1]'))
    wanted = np.array([0.0, 0.5, 1.0]) / np.sqrt(1.25)
    assert design.body_rows[0].frame.z == pytest.approx(tuple(wanted), abs=1e-6)
