"""What goes out of an insulating spacer: its drawing, template, solid and its lines on paper."""

import io
import json
from dataclasses import replace
from importlib.resources import files
from math import pi

import ezdxf
import jsonschema
import pytest
from row_sheets import LARGER, row_sheet

from tractwright.geometry.contours import contour_area
from tractwright.make.sheets import sheet_cut
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import faces_of
from tractwright.packet.drawing.hole_sheet import hole_sheets
from tractwright.packet.exports import joint_faces, paper_templates, spacer_files
from tractwright.packet.paper.parts import joints, parts_list, spacer_notes
from tractwright.packet.summary import summary
from tractwright.pipeline import check_job
from tractwright.shape.parts.spacer import built_spacer
from tractwright.watch import Watch


@pytest.fixture(scope="module")
def spaced(tmp_path_factory: pytest.TempPathFactory) -> Contents:
    folder = tmp_path_factory.mktemp("spaced")
    text = row_sheet(spacer={"material": "cotton phenolic", "thickness": 5}, **LARGER)
    lean = text.replace("[pattern]\n", "[pattern]\nport_rise = 10\n")
    (folder / "job.toml").write_text(lean, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder / "cache"))
        found = check_job(folder, Watch(lambda _: None))
    spacers = tuple(built_spacer(spacer, found.case.design) for spacer in found.case.design.spacers)
    return replace(found, case=replace(found.case, spacers=spacers))


def test_it_has_a_drawing_a_template_and_a_page(spaced: Contents, tmp_path, monkeypatch):
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    text = joint_faces.write(spaced)["hand_off/joint_spacer.dxf"].decode()
    drawing = ezdxf.read(io.StringIO(text))
    layers = [entity.dxf.layer for entity in drawing.modelspace()]
    ports = len(spaced.case.design.ports)
    assert (layers.count("outline_spacer"), layers.count("opening")) == (1, ports)
    assert layers.count("opening_far_side") == ports
    assert layers.count("hole") == sum(screw.joint == "head" for screw in spaced.case.design.screws)
    assert [sheet.joint for sheet in hole_sheets(spaced.case)][-1] == "spacer"
    assert {"templates_a4.pdf", "templates_letter.pdf"} == set(paper_templates.write(spaced))


def test_openings_behind_lie_where_the_head_has_them(spaced: Contents):
    """The row of ports is at y = 0 on the head; through 5 mm at 10 degrees they rise by 0.88 mm."""
    face = faces_of(spaced.case)[-1]
    for contour, height in ((face.behind[0], 0.0), (face.openings[0], 5.0 * 0.17633)):
        low, high = (f(y for _, y, _ in contour) for f in (min, max))
        assert (low + high) / 2.0 == pytest.approx(height, abs=1e-3)


def test_it_goes_out_as_a_solid(spaced: Contents, tmp_path, monkeypatch):
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    (name,) = spacer_files.write(spaced)
    assert name == "hand_off/spacer.step"


def test_it_is_on_the_list_and_told(spaced: Contents):
    rows = [" ".join(row) for row in parts_list(spaced)]
    assert any(row.startswith("2 sheet gasket") and "each face" in row for row in rows)
    assert any("cotton phenolic 5 mm" in row and "cut along the ports" in row for row in rows)
    assert "spacer 5 mm" in next(row for row in joints(spaced) if row[0] == "head")[3]
    assert "tighten these screws" in spacer_notes(spaced)[0]


def test_it_is_in_the_summary(spaced: Contents):
    record = summary(spaced, [])
    schema = json.loads(files("tractwright.packet").joinpath("summary.schema.json").read_text(encoding="utf-8"))
    jsonschema.validate(record, schema)
    assert record["spacers"][0]["volume_mm3"] == pytest.approx(spaced.case.spacers[0].volume_mm3)


def test_sheet_and_time_to_cut_it(spaced: Contents):
    """A plate without openings, a circle of 100 mm, 5 mm thick: two passes round 314 mm at 500 mm/min, on 120 x 120 mm."""
    (spacer,) = spaced.case.design.spacers
    disc = replace(spacer, contour=((50.0, 0.0, 1.0), (-50.0, 0.0, 1.0)))
    cut = sheet_cut(disc, replace(spaced.case.design, ports=(), screws=()))
    assert cut.area_dm2 == pytest.approx(1.44, rel=1e-3)
    assert cut.minutes[0] == pytest.approx(15.0 + 2 * 100 * pi / 500.0, rel=1e-6)
    assert contour_area(disc.contour) == pytest.approx(pi * 50.0**2)
