"""hand_off/lines.dxf: the runners' lines in space, a layer each for centrelines, ends, sections and meeting lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from tractwright.cache import kept
from tractwright.geometry.contours import polyline
from tractwright.geometry.curves import DEGREE
from tractwright.packet.contents import Contents
from tractwright.packet.exports.lines_step import AXES_MM
from tractwright.packet.line_work import LineWork, line_work, lines_key

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

_LAYERS = ("centreline", "end", "section", "meeting_line")
_CHORD_MM = 0.005


def write(contents: Contents) -> Mapping[str, bytes]:
    """One drawing in the job frame: lines stay lines and centrelines B-splines, sections are closed runs of points."""
    case = contents.case
    return kept("lines_dxf", lines_key(case), lambda: _file(line_work(case))) if case.design.runners else {}


def _file(work: Sequence[LineWork]) -> dict[str, bytes]:
    from tractwright.packet.drawing import exchange  # slow to import, and only needed where the file is not kept

    drawing = exchange.new_drawing(_LAYERS)
    space = drawing.modelspace()
    for item in work:
        _draw_centreline(space, item)
        _draw_ends(space, item)
        for _, points in item.sections:
            exchange.add_ring(space, points, "section")
        if item.meeting is not None:
            exchange.add_ring(space, item.meeting[1], "meeting_line")
    return {"hand_off/lines.dxf": exchange.drawing_bytes(drawing)}


def _draw_centreline(space: Modelspace, item: LineWork) -> None:
    from tractwright.packet.drawing import exchange

    for start, end in ((item.start_mm, item.poles_mm[0]), (item.poles_mm[-1], item.end_mm)):
        if np.linalg.norm(end - start) > 0.0:
            exchange.add_line(space, start, end, "centreline")
    exchange.add_spline(space, item.poles_mm, DEGREE, "centreline")


def _draw_ends(space: Modelspace, item: LineWork) -> None:
    from tractwright.packet.drawing import exchange

    for end in item.ends:
        origin = np.array(end.frame.origin_mm)
        for way, long in zip((end.frame.x, end.frame.y, end.frame.z), AXES_MM, strict=True):
            exchange.add_line(space, origin, origin + np.array(way) * long, "end")
        for outline in end.outlines:
            exchange.add_ring(space, end.plane.to_world(polyline(outline, _CHORD_MM)), "end")
