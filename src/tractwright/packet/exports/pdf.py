"""packet.pdf: the whole job on paper."""

import json
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import typst

from tractwright.cache import kept
from tractwright.check.measures import room_along
from tractwright.design.records import Design
from tractwright.geometry.frames import Array
from tractwright.make.records import MakingPlan
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.hole_sheet import hole_sheets
from tractwright.packet.paper.data import paper_data
from tractwright.packet.paper.making import setup_picture
from tractwright.shape.records import BuiltPiece


def write(contents: Contents) -> Mapping[str, bytes]:
    """The PDF, and its pictures as PNG and SVG."""
    case = contents.case
    pictures = kept("pictures", (contents.shape_key, case.room.old_part), lambda: _pictures(contents))
    pictures = pictures | _setup_pictures(contents)
    parts = {f"{name}.png": picture for name, picture in pictures.items()} | _charts(contents)
    sheets = hole_sheets(case)
    parts |= {f"holes_{sheet.joint}.svg": sheet.svg for sheet in sheets}
    paper = _typeset(parts, json.dumps(paper_data(contents, tuple(pictures), sheets)))
    return {"packet.pdf": paper, **{f"pictures/{name}": part for name, part in parts.items()}}


def _typeset(parts: Mapping[str, bytes], data: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        for name, part in parts.items():
            (place / name).write_bytes(part)
        (place / "data.json").write_text(data, encoding="utf-8")
        page = files("tractwright.packet.exports").joinpath("pdf.typ").read_bytes()
        (place / "packet.typ").write_bytes(page)
        return typst.compile(str(place / "packet.typ"), root=folder, ignore_system_fonts=True)


def _pictures(contents: Contents) -> dict[str, bytes]:
    from tractwright.packet.views import all_pictures  # a kept set of pictures needs none of its libraries

    return all_pictures(contents)


def _setup_pictures(contents: Contents) -> dict[str, bytes]:
    plan, pieces = contents.case.plan, contents.case.pieces
    if plan is None or pieces is None:
        return {}
    riser = contents.case.sheet.shop.riser_mm
    inputs = (contents.shape_key, plan.stocks, plan.setups, riser)
    drawn = kept("setup pictures", inputs, lambda: _drawn_setups(contents.case.design, pieces, plan, riser))
    return {setup_picture(number): picture for number, picture in drawn.items()}


def _drawn_setups(
    design: Design, pieces: tuple[BuiltPiece, ...], plan: MakingPlan, riser_mm: float
) -> dict[int, bytes]:
    from tractwright.packet.picture.setups import setup_pictures  # as above

    return setup_pictures(design, pieces, plan, riser_mm)


def _charts(contents: Contents) -> dict[str, bytes]:
    case = contents.case
    room = {runner.name: room_along(case, runner, case.room) for runner in case.design.runners}
    passages = case.plan.passages if case.plan else ()
    return kept("charts", (case.design, case.breathing, passages, room), lambda: _drawn_charts(contents, room))


def _drawn_charts(contents: Contents, room: Mapping[str, Array]) -> dict[str, bytes]:
    from tractwright.packet.charts.all import all_charts  # as above

    return all_charts(contents, room)
