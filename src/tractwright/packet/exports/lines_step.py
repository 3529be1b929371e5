"""hand_off/lines.step: centrelines, ends with their planes and directions, and sections, as curves to draw on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from tractwright.cache import kept
from tractwright.geometry.curves import DEGREE
from tractwright.packet.contents import Contents
from tractwright.packet.line_work import End, LineWork, line_work, lines_key

if TYPE_CHECKING:
    from tractwright.kernel.lines import Lines

AXES_MM = (15.0, 10.0, 30.0)
"""Lengths of the lines along an end's x, y and z: told apart by them."""


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file of curves; each runner's centreline, its two ends, its sections and its meeting line apart by name."""
    case = contents.case
    return kept("lines_step", lines_key(case), lambda: _file(line_work(case))) if case.design.runners else {}


def _file(work: Sequence[LineWork]) -> dict[str, bytes]:
    from tractwright.kernel.step import step_bytes  # loads the kernel: only where files are written anew

    return {"hand_off/lines.step": step_bytes([named for item in work for named in _named(item)], "lines")}


def _named(item: LineWork) -> list[tuple[str, Lines]]:
    from tractwright.kernel.lines import course, lines_of, ring

    found = [
        (f"{item.runner} centreline", lines_of([course(item.start_mm, item.poles_mm, item.end_mm, DEGREE)])),
        *((f"{item.runner} {end.name} end", _end(end)) for end in item.ends),
        (f"{item.runner} sections", lines_of([ring(points) for _, points in item.sections])),
    ]
    if item.meeting is not None:
        found.append((f"{item.runner} meeting line", lines_of([ring(item.meeting[1])])))
    return found


def _end(end: End) -> Lines:
    from tractwright.kernel.lines import lines_of, segment
    from tractwright.kernel.wires import contour_wire

    origin = np.array(end.frame.origin_mm)
    axes = [segment(origin, origin + np.array(way) * long) for way, long in zip(_ways(end), AXES_MM, strict=True)]
    return lines_of([*(contour_wire(outline, end.plane) for outline in end.outlines), *axes])


def _ways(end: End) -> tuple[tuple[float, float, float], ...]:
    return end.frame.x, end.frame.y, end.frame.z
