"""Points along kernel edges and wires, no chord straying further than asked."""

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GCPnts import GCPnts_QuasiUniformDeflection
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS_Edge

from tractwright.geometry.frames import Array


def edge_points(edge: TopoDS_Edge, chord_mm: float) -> Array:
    """Points (n, 3) along an edge in its own sense."""
    curve = BRepAdaptor_Curve(edge)
    sampler = GCPnts_QuasiUniformDeflection(curve, chord_mm)
    points = np.array([_xyz(sampler, i) for i in range(1, sampler.NbPoints() + 1)])
    return points[::-1] if edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else points


def joined(lines: list[Array], gap_mm: float) -> list[Array]:
    """Polylines put end to end wherever exactly two ends meet within the gap."""
    left = list(lines)
    whole: list[Array] = []
    while left:
        line = left.pop(0)
        while (found := _next(line, left, gap_mm)) is not None:
            k, piece = found
            left.pop(k)
            line = np.concatenate([line, piece[1:]])
        whole.append(line)
    return whole


def _next(line: Array, left: list[Array], gap_mm: float) -> tuple[int, Array] | None:
    """The first polyline that goes on from the end of this one, turned to run the same way."""
    if len(line) > 2 and np.linalg.norm(line[-1] - line[0]) <= gap_mm:
        return None
    for k, piece in enumerate(left):
        if np.linalg.norm(piece[0] - line[-1]) <= gap_mm:
            return k, piece
        if np.linalg.norm(piece[-1] - line[-1]) <= gap_mm:
            return k, piece[::-1]
    return None


def _xyz(sampler: GCPnts_QuasiUniformDeflection, index: int) -> tuple[float, float, float]:
    place = sampler.Value(index)
    return place.X(), place.Y(), place.Z()
