"""A gasket's outline from a DXF drawing: circles as drawn, lines, arcs and curves joined to closed loops."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from ezdxf import path as ezpath
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFError

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array
from tractwright.scan.loops import Loop

ACCEPTED = "a DXF drawing of the gasket's outline, closed lines and circles, true to size"
CHORD_MM = 1e-4
"""Curves are broken into lines that stray no further than this."""
JOINED_MM = 0.02
"""Ends nearer than this are one corner; judgement."""
SPACING_MM = 0.4
MOST_BYTES = 80_000_000
_HEADER_UNITS = {1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
"""What $INSUNITS says [mm]. Source: the drawing exchange format's header variables (memory)."""
_FLAT = ("LINE", "ARC", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE")


def drawn_loops(path: Path, unit_mm: float | None) -> tuple[tuple[Loop, ...], tuple[str, ...]]:
    """The closed loops of a drawing [mm], and what to say of it. unit_mm : of its numbers; None for what it states.

    Raises ScanError where it is no drawing, or has no closed loop.
    """
    drawing = _opened(path)
    stated = _HEADER_UNITS.get(int(drawing.header.get("$INSUNITS", 0)))
    factor = unit_mm or stated or 1.0
    notes = () if unit_mm or stated else (f"{path.name} states no unit: taken as mm; [[gasket]] unit says otherwise",)
    circles, lines = _entities(drawing, CHORD_MM / factor)
    closed, open_count = _joined(lines, JOINED_MM / factor)
    loops = [_scaled_circle(item, factor) for item in circles]
    loops += [Loop(points_mm=_spread(points * factor)) for points in closed]
    if not loops:
        raise ScanError(path.name, "no circle and no closed line in it", ACCEPTED)
    if open_count:
        notes += (f"{path.name}: {open_count} lines that do not close are left out",)
    return tuple(loops), notes


def _opened(path: Path) -> Any:
    if not path.is_file():
        raise ScanError(path.name, "there is no such file", ACCEPTED)
    if not 0 < path.stat().st_size < MOST_BYTES:
        raise ScanError(path.name, "the file is empty, or far too large for a gasket", ACCEPTED)
    try:
        return readfile(path)
    except (DXFError, OSError, ValueError, KeyError, IndexError, TypeError, AttributeError) as fault:
        raise ScanError(path.name, "it is no DXF drawing, or damaged", ACCEPTED) from fault


def _entities(drawing: Any, chord: float) -> tuple[list[tuple[float, float, float]], list[Array]]:
    """Circles (centre x, y, radius) and lines (n, 2) of the drawing's model, blocks taken apart."""
    circles: list[tuple[float, float, float]] = []
    lines: list[Array] = []
    for entity in _taken_apart(drawing.modelspace(), 0):
        kind = entity.dxftype()
        if kind == "CIRCLE":
            centre = entity.ocs().to_wcs(entity.dxf.center)
            circles.append((float(centre.x), float(centre.y), float(entity.dxf.radius)))
        elif kind in _FLAT:
            points = [(point.x, point.y) for point in ezpath.make_path(entity).flattening(chord, segments=16)]
            if len(points) > 1:
                lines.append(np.array(points, dtype=float))
    return circles, lines


def _taken_apart(entities: Any, depth: int) -> Iterator[Any]:
    for entity in entities:
        if entity.dxftype() == "INSERT" and depth < 4:
            yield from _taken_apart(entity.virtual_entities(), depth + 1)
        else:
            yield entity


def _joined(lines: list[Array], near: float) -> tuple[list[Array], int]:
    """Lines put end to end to closed loops; how many are left open."""
    closed = [line for line in lines if len(line) > 2 and np.linalg.norm(line[0] - line[-1]) < near]
    rest = [line for line in lines if not (len(line) > 2 and np.linalg.norm(line[0] - line[-1]) < near)]
    left = 0
    while rest:
        chain = rest.pop()
        while np.linalg.norm(chain[0] - chain[-1]) >= near and (found := _next(chain[-1], rest, near)) is not None:
            chain = np.concatenate([chain, found[1:]])
        if len(chain) > 3 and np.linalg.norm(chain[0] - chain[-1]) < near:
            closed.append(chain)
        else:
            left += 1
    return closed, left


def _next(end: Array, rest: list[Array], near: float) -> Array | None:
    """The line that goes on from an end, taken out of the rest and turned to start there."""
    for i, line in enumerate(rest):
        if np.linalg.norm(line[0] - end) < near:
            return rest.pop(i)
        if np.linalg.norm(line[-1] - end) < near:
            return rest.pop(i)[::-1]
    return None


def _scaled_circle(item: tuple[float, float, float], factor: float) -> Loop:
    x, y, radius = (factor * value for value in item)
    angle = np.linspace(0.0, 2.0 * np.pi, 90, endpoint=False)
    points = np.stack([x + radius * np.cos(angle), y + radius * np.sin(angle)], axis=1)
    return Loop(points_mm=points, exact=(x, y, 2.0 * radius))


def _spread(points: Array) -> Array:
    """Points of a closed line set evenly along it: a long line counts as much as an arc."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    places = np.linspace(0.0, along[-1], max(60, int(along[-1] / SPACING_MM)), endpoint=False)
    return np.stack([np.interp(places, along, points[:, k]) for k in range(2)], axis=1)
