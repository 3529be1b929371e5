"""Paper templates, rendered by another program than wrote them and measured on the dots."""

from dataclasses import replace

import numpy as np
import pypdfium2
import pytest

from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import face_of
from tractwright.packet.drawing.template import MARGIN_MM, SIDE_MM, template
from tractwright.packet.exports import paper_templates

_DPI = 600.0
_DOT_MM = 25.4 / _DPI


@pytest.fixture(scope="module")
def templates(described: Contents, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(tmp_path_factory.mktemp("templates")))
        return dict(paper_templates.write(described))


def _page(content: bytes, number: int) -> Array:
    """The page as printed at 600 dots an inch, dark where there is ink."""
    paper = pypdfium2.PdfDocument(content)
    page = paper[number]
    ink = page.render(scale=_DPI / 72.0).to_numpy().min(axis=2) < 128
    page.close()
    paper.close()
    return ink


def _span_mm(marks: Array, pen_mm: float) -> float:
    """From the middle of the first line to the middle of the last, of lines of that width."""
    return float((np.ptp(marks) + 1) * _DOT_MM - pen_mm)


@pytest.mark.parametrize(("paper", "across_mm"), [("a4", (297.0, 210.0)), ("letter", (279.4, 215.9))])
def test_paper_templates_are_true_to_size_on_the_rendered_page(
    paper: str, across_mm: tuple[float, float], templates: dict[str, bytes], described: Contents
):
    """Both scale bars 100 mm, and the outline as wide and high as the flange: within 0.1 mm on the printed dots."""
    ink = _page(templates[f"templates_{paper}.pdf"], 0)
    assert np.array(ink.shape[::-1]) * _DOT_MM == pytest.approx(across_mm, abs=0.05)
    face = face_of(described.case, described.case.design.joints[0])
    whole = template(face, paper)
    assert (whole.across, whole.columns, whole.rows) == (True, 1, 1)
    low = round((MARGIN_MM + whole.window_mm[1] + 4.0) / _DOT_MM)
    level = np.flatnonzero(ink[low - 2 : low + 3].any(axis=0))
    assert _span_mm(level, 0.2) == pytest.approx(100.0, abs=0.1)
    beside = round((MARGIN_MM + 2.0) / _DOT_MM)
    upright = np.flatnonzero(ink[: low - 60, beside - 2 : beside + 3].any(axis=1))
    assert _span_mm(upright, 0.2) == pytest.approx(100.0, abs=0.1)
    left, top = round((MARGIN_MM + SIDE_MM + 1.0) / _DOT_MM), round((MARGIN_MM + 1.0) / _DOT_MM)
    drawn = ink[
        top : top + round((whole.size_mm[1] - 2.0) / _DOT_MM), left : left + round((whole.size_mm[0] - 2.0) / _DOT_MM)
    ]
    outline = polyline(face.outlines[0][1])
    for axis, side in ((0, 0), (1, 1)):
        marks = np.flatnonzero(drawn.any(axis=axis))
        assert _span_mm(marks, 0.25) == pytest.approx(np.ptp(outline[:, side]), abs=0.1)


def test_a_face_larger_than_the_page_is_tiled_without_gap(described: Contents):
    """Tiles lie edge to edge and cover the whole face."""
    face = face_of(described.case, described.case.design.joints[0])
    longer = tuple((piece, tuple((3.0 * x, 4.0 * y, b) for x, y, b in outline)) for piece, outline in face.outlines)
    whole = template(replace(face, outlines=longer), "a4")
    assert whole.columns * whole.rows == len(whole.tiles) > 2
    width, height = whole.window_mm
    assert whole.columns * width >= whole.size_mm[0]
    assert sorted({tile.left_mm for tile in whole.tiles}) == pytest.approx([c * width for c in range(whole.columns)])
    assert min(tile.low_mm for tile in whole.tiles) <= 0.0
    assert max(tile.low_mm for tile in whole.tiles) + height == pytest.approx(whole.size_mm[1])
