"""templates_a4.pdf and templates_letter.pdf: every joint's face, and every spacer, 1 : 1 to print, lay on and prick through."""

import json
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from importlib.resources import files
from pathlib import Path
from typing import Any

from tractwright.cache import kept
from tractwright.check.case import Case
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import Face, faces_of
from tractwright.packet.drawing.template import BAR_MM, MARGIN_MM, PAPERS_MM, SIDE_MM, STRIP_MM, Template, template


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file a paper; a face larger than the page is cut into tiles, each with scale bars to measure."""
    case = contents.case
    return kept("paper_templates", (case.design,), lambda: _files(case)) if case.design.joints else {}


def _files(case: Case) -> dict[str, bytes]:
    faces = [face for face in faces_of(case) if face.outlines]
    return {f"templates_{paper}.pdf": _typeset(case.design.name, paper, faces) for paper in PAPERS_MM} if faces else {}


def _typeset(job: str, paper: str, faces: Sequence[Face]) -> bytes:
    import typst  # slow to import, and only needed where the file is not kept

    pages = [template(face, paper) for face in faces]
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        for page in pages:
            (place / f"{page.joint}.svg").write_bytes(page.svg)
        (place / "data.json").write_text(json.dumps(_data(job, paper, pages)), encoding="utf-8")
        text = files("tractwright.packet.exports").joinpath("paper_templates.typ").read_bytes()
        (place / "templates.typ").write_bytes(text)
        return typst.compile(str(place / "templates.typ"), root=folder, ignore_system_fonts=True)


def _data(job: str, paper: str, pages: Sequence[Template]) -> dict[str, Any]:
    width, height = PAPERS_MM[paper]
    return {
        "job": job,
        "paper": {"width": width, "height": height},
        "margin": MARGIN_MM,
        "strip": STRIP_MM,
        "side": SIDE_MM,
        "bar": BAR_MM,
        "faces": [{key: value for key, value in asdict(page).items() if key != "svg"} for page in pages],
    }
