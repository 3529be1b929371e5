"""The pattern on the head as a drawing: ports and holes with their names, to a stated scale."""

import numpy as np

from tractwright.design.pattern import Pattern
from tractwright.design.spacer_space import port_contour
from tractwright.geometry.frames import Array
from tractwright.packet.colours import COPPER, SAND
from tractwright.packet.drawing.sheet import Sheet, Stroke, contour_points
from tractwright.standards.threads import thread

_EDGE_MM = 14.0
_CENTRE = Stroke(width=0.12, colour=COPPER, dashes=(4.0, 0.8, 0.8, 0.8))


def pattern_sheet(pattern: Pattern, bank: str, factor: float = 0.5) -> bytes:
    """One bank's pattern as SVG, seen out of the head's face; factor : of true size."""
    ports = [(port.name, contour_points(port_contour(port))) for port in pattern.ports if port.bank == bank]
    holes = [hole for hole in pattern.head_holes if hole.bank == bank]
    points = np.concatenate([*(points for _, points in ports), *(np.array([hole.at_mm]) for hole in holes)])
    low, high = points.min(axis=0), points.max(axis=0)
    paper = (high - low) * factor + 2 * _EDGE_MM
    sheet = Sheet(width=float(paper[0]), height=float(paper[1]))

    def place(at: Array) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in (np.atleast_2d(at) - low) * factor + _EDGE_MM]

    middle = place(np.zeros(2))[0]
    sheet.line(((3.0, middle[1]), (sheet.width - 3.0, middle[1])), _CENTRE)
    sheet.line(((middle[0], 3.0), (middle[0], sheet.height - 3.0)), _CENTRE)
    for name, outline in ports:
        sheet.line(place(outline), Stroke(width=0.35, fill=SAND), closed=True)
        centre = place(outline.mean(axis=0))[0]
        sheet.text((centre[0], centre[1] + 1.0), name, anchor="middle")
    for hole in holes:
        at = place(np.array(hole.at_mm))[0]
        size = thread(hole.thread).major_mm * factor
        sheet.circle(at, size, Stroke(width=0.3, fill="#ffffff"))
        sheet.text((at[0], at[1] + size / 2 + 1.0), f"{hole.name} {hole.thread}", size=2.2, anchor="middle")
    sheet.text((2.0, 2.0), f"bank {bank}, scale 1 : {1 / factor:.4g}, x to the right, y up, z towards you", size=2.4)
    return sheet.svg()
