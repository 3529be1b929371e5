"""Closed outlines of ports: circle, oval, rounded rectangle, D, measured loop. Area, and points evenly spread round them."""

from dataclasses import dataclass
from math import hypot, pi
from typing import Literal

import numpy as np

from tractwright.geometry.contours import Contour, Vertex, contour_area, spread_points
from tractwright.geometry.frames import Array

OutlineKind = Literal["circle", "oval", "rounded_rectangle", "d", "loop"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A port's outline about its own centre, width along x, height along y.

    kind : 'circle' (width = height = diameter); 'oval' (two half circles joined by straight lines);
        'rounded_rectangle' (all corners corner_radius_mm); 'd' (the two corners at +y have corner_radius_mm,
        the two at -y lower_corner_radius_mm); 'loop' (points_mm, counter-clockwise, joined by straight lines).
    """

    kind: OutlineKind
    width_mm: float
    height_mm: float
    corner_radius_mm: float = 0.0
    lower_corner_radius_mm: float = 0.0
    points_mm: tuple[tuple[float, float], ...] = ()


def circle(diameter_mm: float) -> Outline:
    """A circle."""
    return Outline(kind="circle", width_mm=diameter_mm, height_mm=diameter_mm)


def outline_contour(outline: Outline) -> Contour:
    """The outline as lines and arcs, counter-clockwise, starting at or next to the +x side."""
    if outline.kind == "loop":
        return tuple((x, y, 0.0) for x, y in outline.points_mm)
    upper, lower = _corner_radii(outline)
    return _rounded_box(outline.width_mm, outline.height_mm, upper, lower)


def outline_area(outline: Outline) -> float:
    """Area [mm2], exact for lines and arcs."""
    return contour_area(outline_contour(outline))


def outline_points(outline: Outline, count: int, offset_mm: float = 0.0) -> Array:
    """Points (count, 2) [mm] evenly spread by arc length from +x, counter-clockwise; offset outwards keeps them facing."""
    return spread_points(outline_contour(outline), count, offset_mm)


def _corner_radii(outline: Outline) -> tuple[float, float]:
    most = min(outline.width_mm, outline.height_mm) / 2
    if outline.kind in ("circle", "oval"):
        return most, most
    if outline.kind == "rounded_rectangle":
        radius = min(outline.corner_radius_mm, most)
        return radius, radius
    upper = min(outline.corner_radius_mm, outline.width_mm / 2)
    lower = min(outline.lower_corner_radius_mm, outline.width_mm / 2)
    squeeze = min(1.0, outline.height_mm / (upper + lower)) if upper + lower > 0 else 1.0
    return upper * squeeze, lower * squeeze


def _rounded_box(width: float, height: float, upper: float, lower: float) -> Contour:
    """Lines and quarter arcs; the bulge of a quarter circle is tan(90 deg / 4)."""
    w, h = width / 2, height / 2
    quarter = float(np.tan(pi / 8))
    vertices: list[Vertex] = [
        (w, 0.0, 0.0),
        (w, h - upper, quarter if upper > 0 else 0.0),
        (w - upper, h, 0.0),
        (-w + upper, h, quarter if upper > 0 else 0.0),
        (-w, h - upper, 0.0),
        (-w, -h + lower, quarter if lower > 0 else 0.0),
        (-w + lower, -h, 0.0),
        (w - lower, -h, quarter if lower > 0 else 0.0),
        (w, -h + lower, 0.0),
    ]
    return _without_repeats(vertices)


def _without_repeats(vertices: list[Vertex]) -> Contour:
    """Vertices that coincide with the one after them carry no segment and go."""
    kept: list[Vertex] = []
    for i, vertex in enumerate(vertices):
        after = vertices[(i + 1) % len(vertices)]
        if hypot(vertex[0] - after[0], vertex[1] - after[1]) > 1e-9:
            kept.append(vertex)
    return tuple(kept)
