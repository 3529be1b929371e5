"""A joint's face 1 : 1 on as many pages as it takes: what stands on the whole, and how the pages cut it up."""

from dataclasses import dataclass
from math import ceil

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.packet.colours import COPPER, MIST, TEAL
from tractwright.packet.drawing.face import Face, Hole
from tractwright.packet.drawing.sheet import Sheet, Stroke, contour_points

PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of the papers. Source: ISO 216 for A4; 8.5 x 11 in for Letter."""
MARGIN_MM = 10.0
"""What many printers leave white. Source: common_practice."""
STRIP_MM = 16.0
"""Under each tile, for its words and scale bar."""
SIDE_MM = 5.0
"""Left of each tile, for its upright scale bar."""
BAR_MM = 100.0
"""Length of the scale bars."""

_EDGE_MM = 3.0
_ARM_MM = 3.0
_OUTLINES = (Stroke(width=0.25), Stroke(width=0.25, colour=TEAL, dashes=(3.0, 1.0)))
_THIN = Stroke(width=0.1)
_FAR = Stroke(width=0.2, dashes=(1.5, 0.8))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page: column and row (0, 0 top left) and its lower left corner on the whole [mm]."""

    column: int
    row: int
    left_mm: float
    low_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A face cut into pages of one paper. across : the paper lies across; window_mm : what a page shows; size_mm : of the
    whole; svg : the whole, 1 : 1.
    """

    joint: str
    pieces: tuple[str, str]
    outlines: tuple[str, ...]
    across: bool
    window_mm: tuple[float, float]
    size_mm: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    svg: bytes


def template(face: Face, paper: str) -> Template:
    """The pages of a face that has an outline, the way the paper lies chosen for the fewest."""
    points = np.concatenate([contour_points(outline) for _, outline in face.outlines])
    low = points.min(axis=0) - _EDGE_MM
    size = points.max(axis=0) + _EDGE_MM - low
    upright = PAPERS_MM[paper]
    options = [(across, _window(upright, across)) for across in (False, True)]
    across, window = min(options, key=lambda option: int(np.prod(_counts(size, option[1]))))
    columns, rows = _counts(size, window)
    return Template(
        joint=face.joint.name,
        pieces=face.joint.pieces,
        outlines=tuple(dict.fromkeys(piece for piece, _ in face.outlines)),
        across=across,
        window_mm=window,
        size_mm=(float(size[0]), float(size[1])),
        columns=columns,
        rows=rows,
        tiles=_tiles(size, window),
        svg=_drawn(face, low, size),
    )


def _window(upright: tuple[float, float], across: bool) -> tuple[float, float]:
    width, height = upright[::-1] if across else upright
    return width - 2 * MARGIN_MM - SIDE_MM, height - 2 * MARGIN_MM - STRIP_MM


def _counts(size: Array, window: tuple[float, float]) -> tuple[int, int]:
    return ceil(float(size[0]) / window[0]), ceil(float(size[1]) / window[1])


def _tiles(size: Array, window: tuple[float, float]) -> tuple[Tile, ...]:
    columns, rows = _counts(size, window)
    return tuple(
        Tile(column=c, row=r, left_mm=c * window[0], low_mm=float(size[1]) - (r + 1) * window[1])
        for r in range(rows)
        for c in range(columns)
    )


def _drawn(face: Face, low: Array, size: Array) -> bytes:
    sheet = Sheet(width=float(size[0]), height=float(size[1]))
    for index, (_, outline) in enumerate(face.outlines):
        sheet.line(_moved(contour_points(outline), low), _OUTLINES[min(index, 1)], closed=True)
    for opening in face.openings:
        sheet.line(_moved(contour_points(opening), low), Stroke(width=0.25), closed=True)
    for opening in face.behind:
        sheet.line(_moved(contour_points(opening), low), _FAR, closed=True)
    for path, width in face.grooves:
        points = _moved(contour_points(path), low)
        if width > 0.0:
            sheet.line(points, Stroke(width=width, colour=MIST), closed=True)
        sheet.line(points, Stroke(width=0.1, colour=COPPER, dashes=(2.0, 0.8)), closed=True)
    for hole in face.holes:
        _draw_hole(sheet, hole, low)
    return sheet.svg()


def _draw_hole(sheet: Sheet, hole: Hole, low: Array) -> None:
    x, y = hole.x_mm - float(low[0]), hole.y_mm - float(low[1])
    arm = hole.diameter_mm / 2.0 + _ARM_MM
    sheet.circle((x, y), hole.diameter_mm, Stroke(width=0.25))
    sheet.line(((x - arm, y), (x + arm, y)), _THIN)
    sheet.line(((x, y - arm), (x, y + arm)), _THIN)
    sheet.text((x + arm * 0.6, y + arm * 0.6), hole.number)


def _moved(points: Array, low: Array) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in points - low]
