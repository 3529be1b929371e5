"""The runners' lines as tables: hand_off/centrelines.csv, ends.csv and sections.csv, in the job frame [mm]."""

from collections.abc import Mapping

import numpy as np

from tractwright.cache import kept
from tractwright.check.case import Case
from tractwright.packet.contents import Contents
from tractwright.packet.line_work import line_work, lines_key
from tractwright.packet.tables import csv_text

_LINE = (
    "runner", "s_mm", "x_mm", "y_mm", "z_mm", "along_x", "along_y", "along_z", "across_x", "across_y", "across_z",
    "area_mm2", "wall_mm", "bend_radius_mm",
)  # fmt: skip
_ENDS = (
    "runner", "end", "x_mm", "y_mm", "z_mm", "x_axis_x", "x_axis_y", "x_axis_z", "y_axis_x", "y_axis_y", "y_axis_z",
    "z_axis_x", "z_axis_y", "z_axis_z", "opening_mm2",
)  # fmt: skip
_SECTIONS = ("runner", "s_mm", "point", "x_mm", "y_mm", "z_mm")
_STRAIGHT_PER_MM = 1e-6


def write(contents: Contents) -> Mapping[str, bytes]:
    """Where every centreline runs with its section's size, how the ends lie, and points round the sections.

    Unit vectors are written to nine places, for a direction read from three would be off by millimetres a metre on.
    """
    case = contents.case
    return kept("lines_tables", lines_key(case), lambda: _files(case)) if case.design.runners else {}


def _files(case: Case) -> dict[str, bytes]:
    work = line_work(case)
    ends = [
        (item.runner, end.name, *end.frame.origin_mm, *_exact(*end.frame.x, *end.frame.y, *end.frame.z), end.area_mm2)
        for item in work
        for end in item.ends
    ]
    around = [
        (item.runner, s, number, *map(float, place))
        for item in work
        for s, points in item.sections
        for number, place in enumerate(points, start=1)
    ]
    return {
        "hand_off/centrelines.csv": csv_text(_LINE, _stations(case)),
        "hand_off/ends.csv": csv_text(_ENDS, ends),
        "hand_off/sections.csv": csv_text(_SECTIONS, around),
    }


def _stations(case: Case) -> list[tuple[object, ...]]:
    rows: list[tuple[object, ...]] = []
    for name, model in case.tubes.items():
        curvature = model.curvature_per_mm
        radius = np.where(curvature > _STRAIGHT_PER_MM, 1.0 / np.maximum(curvature, _STRAIGHT_PER_MM), np.inf)
        for k, s in enumerate(model.s_mm):
            along = _exact(*model.tangent[k], *model.u[k])
            sizes = (float(model.area_mm2[k]), float(model.wall_mm[k]), float(radius[k]))
            rows.append((name, float(s), *map(float, model.centre_mm[k]), *along, *sizes))
    return rows


def _exact(*values: float) -> tuple[str, ...]:
    return tuple(f"{float(value) + 0.0:.9f}" for value in values)
