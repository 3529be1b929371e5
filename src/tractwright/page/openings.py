"""What was found on the head face, as marks to be clicked, and what a click on each may say in the sheet."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from tractwright.design.pattern import Pattern, ProbableHole
from tractwright.design.records import HeadHole, Port
from tractwright.packet.charts.scan_picture import NOT_SURE
from tractwright.packet.drawing.face import port_contour
from tractwright.packet.drawing.sheet import contour_points
from tractwright.page.sheet_text import in_words
from tractwright.standards.holes import clearance_hole

LIST, PORT_1, FILE = "scan.opening", "scan.port_1", "scan.file"
SCREW, NO_SCREW = "screw hole", "no screw hole"
Pair = tuple[float, float]
Row = dict[str, str]
Tone = Literal["sure", "not sure", "not taken", "left out"]
_HALF_PICTURE_MM = 14.0
_SAME_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """One thing a click may say. words : on its button; path : the fact or the list; value : the fact's, or the whole list."""

    words: str
    path: str
    value: str | tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An opening as drawn. name : '' where it has none; line_mm : closed, in the face's x-y; about : what is known of it."""

    name: str
    at_mm: Pair
    line_mm: tuple[Pair, ...]
    tone: Tone
    about: str
    sayings: tuple[Saying, ...] = ()


def marks_of(pattern: Pattern, stated: Mapping[str, Any]) -> tuple[Mark, ...]:
    """Ports, holes, places where a hole may be, holes left out: of two heads, which are alike, the first's.

    stated : what the sheet says, by path. What no scan showed can only be looked at.
    """
    count = max(len(pattern.banks), 1)
    ports, holes = pattern.ports[: len(pattern.ports) // count], pattern.head_holes[: len(pattern.head_holes) // count]
    rows = rows_of(stated) if FILE in stated else None
    radius = max((clearance_hole(hole.thread).medium_mm / 2.0 for hole in holes), default=4.0)
    return (
        *(_port(pattern, port, port is ports[-1] and rows is not None, stated) for port in ports),
        *(_hole(pattern, hole, rows) for hole in holes),
        *(_probable(place, radius, rows) for place in pattern.probable if not place.taken),
        *(_left_out(row, radius, rows) for row in rows or () if row["what"] == NO_SCREW),
    )


def place_mark(at_mm: Pair, stated: Mapping[str, Any]) -> Mark | None:
    """A place where nothing was found; None where there is no scan to put right."""
    if FILE not in stated:
        return None
    return Mark(
        name="", at_mm=at_mm, line_mm=_round(at_mm, 3.0), tone="not taken", about=f"Nothing was found at {_place(at_mm)}.",
        sayings=(_added("a screw hole is there", rows_of(stated), at_mm, SCREW),),
    )  # fmt: skip


def rows_of(stated: Mapping[str, Any]) -> tuple[Row, ...]:
    """The openings the sheet puts right, in words."""
    listed = stated.get(LIST, ())
    return tuple({key: in_words(value) for key, value in row.items()} for row in listed)


def extent_mm(marks: Sequence[Mark]) -> tuple[float, float, float, float]:
    """Least x and y, greatest x and y of the picture."""
    points = np.array([point for mark in marks for point in mark.line_mm] or [(0.0, 0.0)])
    low, high = points.min(axis=0) - _HALF_PICTURE_MM, points.max(axis=0) + _HALF_PICTURE_MM
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _port(pattern: Pattern, port: Port, is_last: bool, stated: Mapping[str, Any]) -> Mark:
    line = contour_points(port_contour(port))
    outline = port.outline
    size = f"{outline.width_mm:.1f} x {outline.height_mm:.1f} mm"
    other = "left" if stated.get(PORT_1, "left") == "right" else "right"
    ends = (Saying(words="port 1 is here, at this end", path=PORT_1, value=other),) if is_last else ()
    return Mark(
        name=port.name,
        at_mm=port.at_mm,
        line_mm=tuple((float(x), float(y)) for x, y in line),
        tone="sure" if pattern.sure_of(f"port {port.name}") >= NOT_SURE else "not sure",
        about=f"Port {port.name}, {outline.kind.replace('_', ' ')}, {size}, at {_place(port.at_mm)}.",
        sayings=ends,
    )


def _hole(pattern: Pattern, hole: HeadHole, rows: tuple[Row, ...] | None) -> Mark:
    assumed = any(place.taken and _same(place.at_mm, hole.at_mm) for place in pattern.probable)
    sure = not assumed and pattern.sure_of(f"hole {hole.name}") >= NOT_SURE
    doubt = "" if sure else " The scan hardly shows it."
    told = () if rows is None else _told_at(rows, hole.at_mm)
    if rows is None:
        sayings: tuple[Saying, ...] = ()
    elif told:
        sayings = (_without("as the scan shows it", rows, told),)
    else:
        certain = () if sure else (_added("it is a screw hole", rows, hole.at_mm, SCREW),)
        sayings = (*certain, _added("it is no screw hole", rows, hole.at_mm, NO_SCREW))
    return Mark(
        name=hole.name,
        at_mm=hole.at_mm,
        line_mm=_round(hole.at_mm, clearance_hole(hole.thread).medium_mm / 2.0),
        tone="sure" if sure else "not sure",
        about=f"Screw hole {hole.name}, {hole.thread}, at {_place(hole.at_mm)}.{doubt}",
        sayings=sayings,
    )


def _probable(place: ProbableHole, radius: float, rows: tuple[Row, ...] | None) -> Mark:
    sayings = () if rows is None else (_added("a screw hole is there", rows, place.at_mm, SCREW),)
    return Mark(
        name="", at_mm=place.at_mm, line_mm=_round(place.at_mm, radius), tone="not taken", sayings=sayings,
        about=f"No hole was found at {_place(place.at_mm)}, where the pattern would repeat itself ({place.why}).",
    )  # fmt: skip


def _left_out(row: Row, radius: float, rows: tuple[Row, ...] | None) -> Mark:
    at = _pair(row)
    return Mark(
        name="", at_mm=at, line_mm=_round(at, radius), tone="left out",
        about=f"The hole at {_place(at)} is left out: it is no screw hole, as told.",
        sayings=(_without("as the scan shows it", rows or (), (row,)),),
    )  # fmt: skip


def _told_at(rows: tuple[Row, ...], at_mm: Pair) -> tuple[Row, ...]:
    return tuple(row for row in rows if row["what"] == SCREW and _same(_pair(row), at_mm))


def _added(words: str, rows: tuple[Row, ...], at_mm: Pair, what: str) -> Saying:
    row = {"at": f"{at_mm[0]:.2f}, {at_mm[1]:.2f}", "what": what}
    return Saying(words=words, path=LIST, value=(*rows, row))


def _without(words: str, rows: tuple[Row, ...], gone: tuple[Row, ...]) -> Saying:
    return Saying(words=words, path=LIST, value=tuple(row for row in rows if row not in gone))


def _pair(row: Row) -> Pair:
    """A row's place; nowhere where it cannot be read: the fault stands beside its field."""
    try:
        x, y = (float(item.split()[0]) for item in row["at"].split(","))
    except (KeyError, ValueError, IndexError):
        return float("nan"), float("nan")
    return x, y


def _same(one: Pair, other: Pair) -> bool:
    return abs(one[0] - other[0]) < _SAME_MM and abs(one[1] - other[1]) < _SAME_MM


def _round(at_mm: Pair, radius: float) -> tuple[Pair, ...]:
    angle = np.linspace(0.0, 2.0 * np.pi, 33)
    return tuple((float(at_mm[0] + radius * np.cos(a)), float(at_mm[1] + radius * np.sin(a))) for a in angle)


def _place(at_mm: Pair) -> str:
    return f"x {at_mm[0]:.1f}, y {at_mm[1]:.1f} mm"
