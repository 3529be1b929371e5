"""Shapes that the head flange's outline goes round: lands, bars, lugs."""

from itertools import pairwise
from math import dist

import numpy as np

from tractwright.design.records import HeadHole, Port
from tractwright.geometry.contours import Contour
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.outlines import outline_contour
from tractwright.route.layout.outlines import bar, disc, moved, round_box
from tractwright.route.layout.screws import lug_radius

_BAR_SHARE = 0.75


def port_land(port: Port, width_mm: float) -> Contour:
    """The port's outline grown by a land, turned and placed as the port is; round a measured one the neatest box."""
    measured = port.outline.kind == "loop"
    outline = round_box(port.outline.points_mm) if measured else outline_contour(port.outline)
    grown = offset_contour(outline, width_mm)
    turn = np.radians(port.turn_deg)
    c, s = float(np.cos(turn)), float(np.sin(turn))
    return moved(tuple((x * c - y * s, x * s + y * c, bulge) for x, y, bulge in grown), port.at_mm)


def row_bars(ports: list[Port], land_mm: float) -> list[Contour]:
    """Bars from port to port along the row."""
    row = sorted(ports, key=lambda port: port.at_mm[0])
    half = 0.5 * min((port.outline.height_mm / 2 + land_mm for port in row), default=0.0)
    return [bar(a.at_mm, b.at_mm, half) for a, b in pairwise(row)]


def lugs(ports: list[Port], holes: list[HeadHole]) -> list[Contour]:
    """A disc round each screw and bars to the nearest ports: to both neighbours where they stand about equally near."""
    shapes: list[Contour] = []
    for hole in holes:
        radius = lug_radius(hole.thread)
        shapes.append(disc(hole.at_mm, radius))
        near = sorted(ports, key=lambda port: dist(port.at_mm, hole.at_mm))[:2]
        nearest = dist(near[0].at_mm, hole.at_mm)
        shapes += [
            bar(hole.at_mm, port.at_mm, radius * _BAR_SHARE)
            for port in near
            if dist(port.at_mm, hole.at_mm) < 1.15 * nearest
        ]
    return shapes
