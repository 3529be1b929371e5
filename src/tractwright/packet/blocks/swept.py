"""Metal taken off from one way: outside the piece's shadow, level by level, never into the piece."""

from collections.abc import Sequence

import numpy as np
import shapely
from manifold3d import Manifold

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, Vec3, frame_from_normal
from tractwright.kernel.checked import Checked
from tractwright.shape.parts.bodies import prism

ALLOWANCE_MM = 1.0
"""Left all round an outside that is only roughed here. Source: shop_judgement."""
LEVELS = 6
"""Steps in which an outside is taken off. Source: judgement."""
_FINE_MM, _SLICES, _LEAST_STEP_MM, _BEYOND_MM, _LEAST_MM2 = 0.25, 24, 2.0, 5.0, 20.0


def swept_off(piece: Manifold, block: tuple[Frame, Vec3], way: Vec3, above_mm: float, count: int) -> list[Checked]:
    """Cutters of what a tool takes off a block (its lowest face's frame, its size) from one way [job frame], down to a
    height along it: everything outside the piece's shadow at each of count levels, the allowance left round it.
    """
    frame = frame_from_normal((0.0, 0.0, 0.0), way, np.eye(3)[int(np.argmin(np.abs(way)))])
    seen = _as_seen(piece, frame)
    corners = frame.to_local(_corners(*block))
    top = float(corners[:, 2].max()) + _BEYOND_MM
    levels = _levels(seen, above_mm, top, count)
    ground = shapely.box(*(corners[:, :2].min(axis=0) - _BEYOND_MM), *(corners[:, :2].max(axis=0) + _BEYOND_MM))
    tools: list[Checked] = []
    for low, high in zip(levels, [*levels[1:], top], strict=True):
        for part in _parts(ground.difference(_shadow(seen, low))):
            outer, *holes = (_contour(ring) for ring in (part.exterior, *part.interiors))
            tools.append(prism(outer, frame.moved((0.0, 0.0, low)), high - low + _FINE_MM, holes))
    return tools


def _as_seen(piece: Manifold, frame: Frame) -> Manifold:
    """The piece in a frame's axes."""
    return piece.transform(np.ascontiguousarray(np.column_stack([frame.matrix(), np.zeros(3)])))


def _corners(block: Frame, size_mm: Vec3) -> Array:
    w, h = size_mm[0] / 2.0, size_mm[1] / 2.0
    places = [(x, y, z) for x in (-w, w) for y in (-h, h) for z in (0.0, size_mm[2])]
    return block.to_world(np.array(places))


def _levels(seen: Manifold, above: float, top: float, count: int) -> list[float]:
    """Heights that share out best where the shadow shrinks: of many, the few whose steps waste least."""
    highest = float(seen.bounding_box()[5])
    if count == 1 or highest - above < _LEAST_STEP_MM:
        return [above]
    heights = np.linspace(above, highest, _SLICES + 1)[:-1]
    areas = np.array([_shadow(seen, float(z)).area for z in heights])
    chosen = [0]
    for _ in range(count - 1):
        waste = [(_waste(heights, areas, [*chosen, k], top), k) for k in range(len(heights)) if k not in chosen]
        chosen.append(min(waste)[1])
    return [float(heights[k]) for k in sorted(chosen)]


def _waste(heights: Array, areas: Array, chosen: Sequence[int], top: float) -> float:
    """Metal left standing over what finer levels would leave."""
    order = sorted(chosen)
    held = areas[[max(k for k in order if k <= place) for place in range(len(heights))]]
    return float(np.sum((held - areas) * np.diff([*heights, top])))


def _shadow(seen: Manifold, low: float) -> shapely.Polygon | shapely.MultiPolygon:
    """Of what stands over a height, the allowance round it, few corners."""
    part = seen.trim_by_plane((0.0, 0.0, 1.0), low)
    rings = [np.asarray(ring) for ring in part.project().to_polygons()] if not part.is_empty() else []
    if not rings:
        return shapely.Polygon()
    outside = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in rings if _turns_left(ring)])
    holes = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in rings if not _turns_left(ring)])
    grown = outside.difference(holes).buffer(ALLOWANCE_MM, quad_segs=4)
    return grown.simplify(_FINE_MM).buffer(0.0)


def _turns_left(ring: Array) -> bool:
    return bool(shapely.LinearRing(ring).is_ccw)


def _parts(shape: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and part.area > _LEAST_MM2]


def _contour(ring: shapely.LinearRing) -> Contour:
    points = shapely.get_coordinates(ring)[:-1]
    ordered = points if ring.is_ccw else points[::-1]
    return tuple((float(x), float(y), 0.0) for x, y in ordered)
