"""What the command scan leaves: a draft that the sheet's own reader takes back, and a picture that is one."""

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tractwright.design.pattern import Measurement, Pattern, ProbableHole, Room
from tractwright.geometry.outlines import Outline
from tractwright.job.sheet import JobSheet
from tractwright.packet.charts.scan_picture import scan_picture
from tractwright.packet.draft import sheet_draft
from tractwright.packet.stages import scan_files
from tractwright.scan.stage import pattern_and_room

LOOP = tuple((20.0 * np.cos(a) + 2 * np.sin(a) ** 2, 15.0 * np.sin(a)) for a in np.arange(24) * np.pi / 12)
OUTLINES = {
    "oval": Outline(kind="oval", width_mm=50.0, height_mm=32.0),
    "d": Outline(kind="d", width_mm=44.0, height_mm=34.0, corner_radius_mm=16.0, lower_corner_radius_mm=7.0),
    "loop": Outline(kind="loop", width_mm=41.0, height_mm=30.0, points_mm=LOOP),
}


def given() -> tuple[Pattern, Room]:
    facts = {"port_width": 40.0, "pitch": 94.0, "screw_rise": 30.0, "port_rise": 7.0}
    plane = {"name": "bonnet", "normal": (0.0, -1.0, 0.0), "offset": -190.0}
    box = {"name": "pump", "low": (-200.0, -80.0, 60.0), "high": (-120.0, -30.0, 120.0)}
    engine = {"cylinders": 3, "bore": 80.0, "stroke": 80.0}
    tables = {"job": {"name": "x"}, "engine": engine, "pattern": facts, "room": {"plane": [plane], "box": [box]}}
    return pattern_and_room(JobSheet.model_validate(tables), Path())


@pytest.mark.parametrize("kind", OUTLINES)
def test_the_draft_is_read_back_as_it_was(kind):
    pattern, room = given()
    pattern = replace(pattern, ports=tuple(replace(port, outline=OUTLINES[kind]) for port in pattern.ports))
    tables = tomllib.loads(sheet_draft(pattern, room))
    again, there = pattern_and_room(JobSheet.model_validate({"job": {"name": "x"}, **tables}), Path())
    np.testing.assert_allclose([p.at_mm for p in again.ports], [p.at_mm for p in pattern.ports], atol=0.006)
    np.testing.assert_allclose([h.at_mm for h in again.head_holes], [h.at_mm for h in pattern.head_holes], atol=0.006)
    np.testing.assert_allclose(again.ports[0].axis, pattern.ports[0].axis, atol=1e-4)
    assert again.ports[0].outline.kind == kind
    np.testing.assert_allclose(again.ports[0].outline.points_mm, OUTLINES[kind].points_mm, atol=0.006)
    assert again.ports[0].outline.lower_corner_radius_mm == pytest.approx(OUTLINES[kind].lower_corner_radius_mm) or (
        kind != "d"
    )
    assert there.planes == room.planes
    assert there.boxes == room.boxes


def test_the_draft_of_two_heads_tells_their_pattern_once():
    facts = {"port_width": 40.0, "pitch": 94.0, "screw_rise": 30.0, "port_rise": 7.0}
    stand = {"rise": 35.0, "from_middle": 82.0}
    banks = [
        {"side": "right", "cylinders": (4, 2), **stand},
        {"side": "left", "cylinders": (1, 3), "offset": -9.0, **stand},
    ]
    tables = {"job": {"name": "x"}, "pattern": facts, "bank": banks}
    pattern, room = pattern_and_room(JobSheet.model_validate(tables), Path())
    drafted = tomllib.loads(sheet_draft(pattern, room))
    assert len(drafted["pattern"]["port"]) == 2
    again, there = pattern_and_room(JobSheet.model_validate({"job": {"name": "x"}, **drafted}), Path())
    assert [(p.name, p.bank, p.cylinders) for p in again.ports] == [
        (p.name, p.bank, p.cylinders) for p in pattern.ports
    ]
    assert [h.bank for h in again.head_holes] == [h.bank for h in pattern.head_holes]
    for one, other in zip((*again.ports, *again.head_holes), (*pattern.ports, *pattern.head_holes), strict=True):
        np.testing.assert_allclose(one.at_mm, other.at_mm, atol=0.006)
    for bank, other in zip(again.banks, pattern.banks, strict=True):
        np.testing.assert_allclose(
            bank.frame.to_world((9.0, 5.0, 1.0)), other.frame.to_world((9.0, 5.0, 1.0)), atol=0.01
        )
    np.testing.assert_allclose([p.axis for p in again.ports], [p.axis for p in pattern.ports], atol=1e-4)
    assert len(there.planes) == len(room.planes) == 2
    assert scan_picture(pattern, room).startswith(b"\x89PNG")


def test_the_draft_says_what_is_sure_and_what_is_probable():
    pattern, room = given()
    hole = pattern.head_holes[1]
    figure = Measurement(what="hole s1 x", value=1.0, unit="mm", residual=0.1, sure=0.42)
    place = ProbableHole(at_mm=hole.at_mm, why="mirror image of s1", seen=0.1, taken=True)
    text = sheet_draft(replace(pattern, measurements=(figure,), probable=(place,)), room)
    assert "s1, sure 0.42" in text
    assert f"{hole.name}, probable only: mirror image of s1" in text


def test_the_picture_is_a_png_with_and_without_a_scan():
    pattern, room = given()
    assert scan_picture(pattern, room).startswith(b"\x89PNG")
    chance = np.random.default_rng(1)
    part = (chance.uniform(0, 100, (60, 3)), chance.integers(0, 60, (40, 3)).astype(np.int32))
    scanned = replace(room, old_part=part, dropped_mm=chance.uniform(0, 100, (9, 3)))
    assert scan_picture(pattern, scanned) == scan_picture(pattern, scanned)
    names = set(scan_files(pattern, scanned))
    assert {"scan/scan.png", "scan/sheet_draft.toml", "scan/pattern.csv", "scan/pattern_a.svg"} <= names
