"""What goes out of channels: hole sheet, gasket and spacer outlines, page, parts, summary, set-ups."""

import json
from dataclasses import replace
from importlib.resources import files

import jsonschema
import numpy as np
import pytest
from row_sheets import LARGER, row_sheet
from shapely.geometry import Point, Polygon

from tractwright.design.channel_space import end_mm, flange_of, half_mm, way
from tractwright.design.spacer_space import through
from tractwright.geometry.contours import contour_area, polyline
from tractwright.make.channels import channel_features
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import face_of
from tractwright.packet.paper.channels import channel_notes, channel_rows
from tractwright.packet.paper.parts import parts_list
from tractwright.packet.summary import summary
from tractwright.pipeline import check_job
from tractwright.watch import Watch

CHANNELS = """
[spacer]
[[channel]]
name = "coolant outlet"
at = [0, -40]
width = "10 mm"
port_at = [0, -72]
thread = "1/4 NPT"
[[channel]]
name = "breather"
fluid = "crankcase gas"
at = [0, 10]
shape = "rounded_rectangle"
width = "9 mm"
height = "8 mm"
corner_radius = "3 mm"
leaves = "edge"
thread = "M8x1"
"""


@pytest.fixture(scope="module")
def channelled(tmp_path_factory: pytest.TempPathFactory) -> Contents:
    folder = tmp_path_factory.mktemp("channelled")
    (folder / "job.toml").write_text(row_sheet(head={"flange": 17}, **LARGER) + CHANNELS, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder / "cache"))
        return check_job(folder, Watch(lambda _: None))


def test_openings_are_drawn_with_the_ports_and_fittings_numbered(channelled: Contents):
    design = channelled.case.design
    face = face_of(channelled.case, next(joint for joint in design.joints if joint.name == "head"))
    areas = [abs(contour_area(contour)) for contour in face.openings]
    assert len(areas) == len(design.ports) + 2
    assert areas[-2:] == pytest.approx([np.pi * 25.0, 72.0 - (4.0 - np.pi) * 9.0])
    holes = {hole.number: hole for hole in face.holes}
    assert (holes["C1"].x_mm, holes["C1"].y_mm) == (0.0, -40.0)
    assert "1/4 NPT at 0.00, -72.00 on the outer face" in holes["C1"].in_second
    assert "in the edge" in holes["C2"].in_second


def test_spacer_and_gasket_leave_them_open(channelled: Contents):
    design = channelled.case.design
    (spacer,) = design.spacers
    assert len(through(spacer, design).openings) == len(design.ports) + 2
    (seal,) = (seal for seal in design.seals if seal.joint == "head")
    gasket, plate = (
        Polygon(polyline(contour)) for contour in (seal.path, flange_of(design.channels[0], design).contour)
    )
    for channel in design.channels:
        at = (
            Polygon(polyline(face_of(channelled.case, design.joints[0]).openings[-1]))
            if channel.name == "breather"
            else None
        )
        assert at is None or gasket.contains(at)
    assert plate.contains(gasket)


def test_they_are_on_the_page_and_the_list(channelled: Contents):
    rows = channel_rows(channelled.case.design)
    assert [row[0] for row in rows] == ["coolant outlet", "breather"]
    assert "ø10 at x 0.00, y -40.00" in rows[0][2]
    assert "rounded rectangle 9 x 8, corners R3" in rows[1][2]
    assert "post" in rows[0][4]
    assert "edge" in rows[1][4]
    assert rows[0][6] == "1/8 NPT"
    assert any("taper plug 1/8 NPT" in row[1] for row in parts_list(channelled))
    assert "hydraulic lock" in channel_notes(channelled)[0]
    without = replace(channelled.case.design, channels=())
    case = replace(channelled.case, described=replace(channelled.case.described, design=without))
    assert channel_notes(replace(channelled, case=case)) == []


def test_they_are_in_the_summary(channelled: Contents):
    record = summary(channelled, [])
    schema = json.loads(files("tractwright.packet").joinpath("summary.schema.json").read_text(encoding="utf-8"))
    jsonschema.validate(record, schema)
    assert [item["plug"] for item in record["channels"]] == ["1/8 NPT", None]


def test_the_mill_is_told_of_every_hole(channelled: Contents):
    design = channelled.case.design
    head = next(piece for piece in design.pieces if piece.kind == "head")
    found = {feature.name: feature for feature in channel_features(design, head)}
    assert len(found) == 5
    opening = found["opening of coolant_outlet"]
    assert opening.directions == ((0.0, 0.0, -1.0),)
    assert opening.volume_mm3 == pytest.approx(np.pi * 25.0 * design.channels[0].recess_mm)
    assert found["drilling 2 of coolant_outlet"].directions[0] == pytest.approx((0.0, -1.0, 0.0))
    assert found["drilling 1 of breather"].thread == "M8x1"
    other = next(piece for piece in design.pieces if piece.kind == "cover")
    assert channel_features(design, other) == ()


def test_a_flat_round_a_drillings_mouth_is_drawn_flat(channelled: Contents):
    """The outline ended in half circles where a flat is milled: each takes half a disc off, and fillets beside it."""
    design = channelled.case.design
    face = face_of(channelled.case, next(joint for joint in design.joints if joint.name == "head"))
    ((_, drawn),) = face.outlines
    channel = design.channels[0]
    whole = Polygon(polyline(flange_of(channel, design).contour))
    shape = Polygon(polyline(drawn))
    taken = sum(np.pi * half_mm(item.plug or item.thread) ** 2 / 2.0 for item in design.channels if item.edge_mm > 0.0)
    assert whole.area - shape.area == pytest.approx(taken, rel=0.1)
    for item in design.channels:
        if item.edge_mm > 0.0:
            x, y = np.array(end_mm(item)) + 0.5 * way(item)
            assert not shape.contains(Point(float(x), float(y)))
