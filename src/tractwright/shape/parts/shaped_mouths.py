"""Mouths that are not round: their cutters, with the entry rounded like a root turned inside out."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.mouths import mouth_contour, mouth_opening
from tractwright.design.records import Mouth, Plenum
from tractwright.errors import KernelError
from tractwright.geometry.contours import polyline, spread_points
from tractwright.geometry.frames import unit
from tractwright.geometry.offsets import is_smooth, offset_contour
from tractwright.geometry.placing import carried, from_behind
from tractwright.kernel.checked import Checked
from tractwright.kernel.shells import Slab, Stand, plate
from tractwright.kernel.skins import skin_solid
from tractwright.shape.parts.bodies import body, prism
from tractwright.shape.parts.finishes import BEYOND_MM

_SUNK_MM = 0.05
"""The lip begins a little before the floor's face, so that the two cross and do not merely touch."""
_OVER_MM = 0.5
_LEAST_LIP_MM = 0.5
_POINTS, _STRAIGHT_ROWS, _LIP_ROWS, _STEEPEST_DEG = 96, 12, 10, 80.0
"""Points round a leaning mouth, rows along it; its lip is left where it is so steep against the floor's face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapedMouth:
    """What is cut out for a mouth, and what a reader should know."""

    cutter: Checked
    notes: tuple[str, ...]


def reach_mm(mouth: Mouth) -> float:
    """From a mouth's middle to the farthest point of its opening."""
    return float(np.hypot(*polyline(mouth_opening(mouth)).T).max())


def shaped_mouth(mouth: Mouth, plenum: Plenum, lip_mm: float) -> ShapedMouth:
    """Through the floor, its inner edge rounded where the outline has no corners, or where it leans."""
    lip = min(lip_mm, plenum.floor_mm - 1.0)
    if mouth.lean != (0.0, 0.0):
        return ShapedMouth(cutter=_leaning(mouth, plenum, lip if lip >= _LEAST_LIP_MM else 0.0), notes=())
    if lip >= _LEAST_LIP_MM and is_smooth(mouth.contour):
        for radius in (lip, lip / 2.0):
            try:
                return ShapedMouth(cutter=_lipped(mouth, plenum, radius), notes=_smaller(radius, lip))
            except KernelError:
                continue
    under = plenum.frame.moved((0.0, 0.0, -BEYOND_MM))
    straight = prism(mouth_contour(mouth), under, plenum.floor_mm + 2.0 * BEYOND_MM)
    return ShapedMouth(cutter=straight, notes=("its entry is sharp: round it by hand",))


def _leaning(mouth: Mouth, plenum: Plenum, lip: float) -> Checked:
    """A skin through rows of points: the opening moved along with its lean, and grown by the lip's quarter circle."""
    ring = spread_points(mouth_opening(mouth), _POINTS)
    along = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    outwards = unit(np.stack([along[:, 1], -along[:, 0]], axis=1))
    angle = np.radians(np.linspace(0.0, _STEEPEST_DEG, _LIP_ROWS)) if lip else np.zeros(1)
    start = plenum.floor_mm + _SUNK_MM - lip * float(np.sin(angle[-1])) if lip else plenum.floor_mm + BEYOND_MM
    straight = np.linspace(-BEYOND_MM, start, _STRAIGHT_ROWS)
    heights = np.concatenate([straight, start + lip * np.sin(angle[1:])])
    grown = np.concatenate([np.zeros(_STRAIGHT_ROWS), lip * (1.0 - np.cos(angle[1:]))])
    middle = np.array(mouth.at_mm) + np.outer(heights - plenum.floor_mm, mouth.lean)
    flat = middle[:, None, :] + ring + grown[:, None, None] * outwards
    rows = np.concatenate([flat, np.broadcast_to(heights[:, None, None], (*flat.shape[:2], 1))], axis=2)
    return body(skin_solid(plenum.frame.to_world(rows)))


def _smaller(radius: float, wanted: float) -> tuple[str, ...]:
    return () if radius == wanted else (f"its entry is rounded {radius:.1f} mm, not {wanted:.1f}",)


def _lipped(mouth: Mouth, plenum: Plenum, lip: float) -> Checked:
    """Seen from the plenum: a plate over the floor's face, and the mouth standing on it, its root the lip."""
    face = from_behind(plenum.frame.moved((0.0, 0.0, plenum.floor_mm + _SUNK_MM + _OVER_MM)))
    outline = carried(mouth_contour(mouth), plenum.frame, face)
    slab = Slab(contour=offset_contour(outline, lip + 1.0), frame=face, thickness_mm=_OVER_MM)
    height = _OVER_MM + _SUNK_MM + plenum.floor_mm + BEYOND_MM
    return body(plate(slab, (Stand(outline=outline, root_mm=lip, height_mm=height),)))
