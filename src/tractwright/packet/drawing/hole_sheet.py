"""The hole sheet of a joint: its face to a stated scale with overall sizes, and every hole numbered."""

from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.geometry.frames import Array
from tractwright.packet.colours import COPPER, INK, MIST, SAND, TEAL
from tractwright.packet.drawing.face import Face, Hole, faces_of
from tractwright.packet.drawing.sheet import Sheet, Stroke, contour_points

SCALES = ((1, 1.0), (2, 0.5), (5, 0.2), (10, 0.1))
"""Reductions of ISO 5455."""

_PAPERS = (("a4", False, (174.0, 150.0)), ("a4", True, (261.0, 105.0)), ("a3", True, (384.0, 170.0)))
"""Paper, whether it lies across, and the room a drawing has on it [mm]."""
_LEFT, _RIGHT, _LOW, _TOP = 14.0, 6.0, 14.0, 6.0
_OUTLINE = (Stroke(width=0.45), Stroke(width=0.3, colour=TEAL, dashes=(3.0, 1.0)))
_NUMBER_MM = 2.8
_FINE = Stroke(width=0.15)
_FAR = Stroke(width=0.25, dashes=(1.5, 0.8))
_CENTRE = Stroke(width=0.12, colour=COPPER, dashes=(4.0, 0.8, 0.8, 0.8))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleSheet:
    """A drawing ready to print: its scale as 1 : divisor, the paper and whether it lies across, width on it [mm], the holes;
    behind : whether openings are drawn as they come out on the far face.
    """

    joint: str
    pieces: tuple[str, str]
    divisor: int
    paper: str
    across: bool
    width_mm: float
    svg: bytes
    size_mm: tuple[float, float]
    outlines: tuple[str, ...]
    holes: tuple[Hole, ...]
    behind: bool = False


def hole_sheets(case: Case) -> tuple[HoleSheet, ...]:
    """The drawing of every joint that has an outline of ours, and of every insulating spacer."""
    found = (hole_sheet(face) for face in faces_of(case))
    return tuple(sheet for sheet in found if sheet is not None)


def hole_sheet(face: Face) -> HoleSheet | None:
    """The drawing of a face; None where no piece of ours has an outline in it."""
    if not face.outlines:
        return None
    points = np.concatenate([contour_points(outline) for _, outline in face.outlines])
    low, high = points.min(axis=0), points.max(axis=0)
    divisor, factor, paper, across = _scale(high - low)
    size = (high - low) * factor + np.array([_LEFT + _RIGHT, _LOW + _TOP])
    sheet = Sheet(width=float(size[0]), height=float(size[1]))
    placed = _Placed(low=low, factor=factor)
    _draw_face(sheet, face, placed)
    _draw_sizes(sheet, placed, high)
    return HoleSheet(
        joint=face.joint.name,
        pieces=face.joint.pieces,
        divisor=divisor,
        paper=paper,
        across=across,
        width_mm=sheet.width,
        svg=sheet.svg(),
        size_mm=(float(high[0] - low[0]), float(high[1] - low[1])),
        outlines=tuple(piece for piece, _ in face.outlines),
        holes=face.holes,
        behind=bool(face.behind),
    )


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Placed:
    """How the face lies on the sheet."""

    low: Array
    factor: float

    def points(self, points: Array) -> list[tuple[float, float]]:
        moved = (points - self.low) * self.factor + np.array([_LEFT, _LOW])
        return [(float(x), float(y)) for x, y in moved]

    def point(self, x: float, y: float) -> tuple[float, float]:
        return self.points(np.array([[x, y]]))[0]


def _scale(size: Array) -> tuple[int, float, str, bool]:
    """The largest scale that fits an A4 page, standing before lying across; an A3 page rather than less than half size."""
    for divisor, factor in SCALES:
        for paper, across, room in _PAPERS:
            fits = size[0] * factor + _LEFT + _RIGHT <= room[0] and size[1] * factor + _LOW + _TOP <= room[1]
            if fits and (paper == "a4" or divisor > 1):
                return divisor, factor, paper, across
    return (*SCALES[-1], "a3", True)


def _draw_face(sheet: Sheet, face: Face, placed: _Placed) -> None:
    for index, (_, outline) in enumerate(face.outlines):
        fill = SAND if index == 0 else "none"
        stroke = _OUTLINE[min(index, 1)]
        shape = Stroke(width=stroke.width, colour=stroke.colour, dashes=stroke.dashes, fill=fill)
        sheet.line(placed.points(contour_points(outline)), shape, closed=True)
    for opening in face.openings:
        sheet.line(placed.points(contour_points(opening)), Stroke(width=0.35, fill="#ffffff"), closed=True)
    for opening in face.behind:
        sheet.line(placed.points(contour_points(opening)), _FAR, closed=True)
    for groove, width in face.grooves:
        path = contour_points(groove)
        band = Stroke(width=max(0.2, width * placed.factor), colour=MIST)
        sheet.line(placed.points(path), band, closed=True)
        sheet.line(placed.points(path), Stroke(width=0.12, colour=INK, dashes=(2.0, 0.8)), closed=True)
    lines = np.array([point for shape in _lines(face) for point in placed.points(shape)])
    taken = [lines, *(_ring(hole, placed) for hole in face.holes)]
    for hole in face.holes:
        taken.append(_draw_hole(sheet, hole, placed, np.concatenate(taken)))


def _lines(face: Face) -> list[Array]:
    """Everything a number should stay off."""
    shapes = [*(outline for _, outline in face.outlines), *face.openings, *(path for path, _ in face.grooves)]
    return [contour_points(shape) for shape in shapes]


def _ring(hole: Hole, placed: _Placed) -> Array:
    around = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
    middle = np.array(placed.point(hole.x_mm, hole.y_mm))
    return middle + hole.diameter_mm * placed.factor / 2 * np.stack([np.cos(around), np.sin(around)], axis=1)


def _draw_hole(sheet: Sheet, hole: Hole, placed: _Placed, lines: Array) -> Array:
    """Draw a hole with its number; gives the place (1, 2) the number took."""
    x, y = placed.point(hole.x_mm, hole.y_mm)
    radius = hole.diameter_mm * placed.factor / 2
    sheet.circle((x, y), 2 * radius, Stroke(width=0.3, fill="#ffffff"))
    arm = radius + 0.9
    sheet.line(((x - arm, y), (x + arm, y)), Stroke(width=0.1))
    sheet.line(((x, y - arm), (x, y + arm)), Stroke(width=0.1))
    spot = _free_place((x, y), radius, hole.number, lines)
    sheet.text(spot, hole.number, size=_NUMBER_MM, anchor="middle")
    return np.array([spot]) + np.array([0.0, 0.33 * _NUMBER_MM])


def _free_place(at: tuple[float, float], radius: float, number: str, lines: Array) -> tuple[float, float]:
    """Where a hole's number stands furthest from every line: one of eight places round the hole; its baseline's middle."""
    away = radius + 0.7 + _NUMBER_MM * (0.3 + 0.2 * len(number))
    turns = np.radians(np.arange(45.0, 405.0, 45.0))
    places = np.array(at) + away * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    room = np.linalg.norm(places[:, None, :] - lines[None, :, :], axis=2).min(axis=1)
    room -= 0.6 * (np.arange(8) % 2)  # straight above or beside lies on the hole's cross: only where it is much freer
    x, y = places[int(np.argmax(np.minimum(room, 4.0)))]
    return float(x), float(y) - 0.33 * _NUMBER_MM


def _draw_sizes(sheet: Sheet, placed: _Placed, high: Array) -> None:
    """Overall width and height, and the origin with its axes."""
    left, low = placed.point(float(placed.low[0]), float(placed.low[1]))
    right, top = placed.point(float(high[0]), float(high[1]))
    width, height = high - placed.low
    below, beside = low - 7.0, left - 7.0
    for x in (left, right):
        sheet.line(((x, low - 1.0), (x, below - 1.2)), _FINE)
    for y in (low, top):
        sheet.line(((left - 1.0, y), (beside - 1.2, y)), _FINE)
    sheet.line(((left, below), (right, below)), _FINE)
    sheet.line(((beside, low), (beside, top)), _FINE)
    for tip, way in (
        ((left, below), (-1, 0)),
        ((right, below), (1, 0)),
        ((beside, low), (0, -1)),
        ((beside, top), (0, 1)),
    ):
        sheet.arrow(tip, way)
    sheet.text(((left + right) / 2, below + 1.0), f"{width:.2f}", size=3.0, anchor="middle")
    sheet.text((beside - 1.0, (low + top) / 2), f"{height:.2f}", size=3.0, anchor="middle", turn=90.0)
    _draw_origin(sheet, placed, (left, right, low, top))


def _draw_origin(sheet: Sheet, placed: _Placed, frame: tuple[float, float, float, float]) -> None:
    left, right, low, top = frame
    x, y = placed.point(0.0, 0.0)
    if left <= x <= right:
        sheet.line(((x, low - 3.0), (x, top + 3.0)), _CENTRE)
        sheet.arrow((x, top + 4.5), (0, 1))
        sheet.text((x + 1.2, top + 2.0), "y")
    if low <= y <= top:
        sheet.line(((left - 3.0, y), (right + 3.0, y)), _CENTRE)
        sheet.arrow((right + 4.5, y), (1, 0))
        sheet.text((right + 2.0, y + 1.2), "x")
