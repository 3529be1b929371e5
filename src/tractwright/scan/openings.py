"""Openings measured: the rims of a face fitted to the vertices of their walls."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import Outline
from tractwright.scan.loop_fit import FittedLoop, fit_loop
from tractwright.scan.rims import AT_LEAST, CutFace, Rim, Walls
from tractwright.scan.shapes import FittedShape, distance_to_outline, fit_circle, fit_outline

ROUGHEST_MM = 0.7
SCATTER_MM, COARSE_MM = 0.5, 0.15
"""Points that scatter so much, chords that run so far inside a hole, halve how sure it is; judgement."""
SLOT_LIKE_MM, SLOT_LONG, SLOT_REACH_MM = 0.8, 2.4, 0.8
"""A slot is as wide as the round screw holes within this, and at most so many times longer than wide; judgement."""
WIDEST_MM = 3.0
"""No outline strays further than this from the simple one that suits it best, or it is no port; judgement."""
LARGER = 1.3
"""A fitted outline is at most so many times larger than the points it was fitted to; judgement."""
LOOP_GAIN = 1.25
"""A loop is taken where the simple outlines leave so much more than it does; judgement."""
MOST_POINTS = 4000
SAME_DRIFT = 0.06
"""Passages whose drifts differ less than this (mm per mm) drift alike, but for noise; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Opening:
    """A hole in a face. at_mm (2,) at the face and turn [rad] in the face's frame; drift (2,): how its centre moves per
    mm of depth; middle_depth_mm : of the points it was fitted to; cover : share of its rim that was seen; sag_mm : how
    far the triangles' chords run inside it.
    """

    outline: Outline
    at_mm: Array
    turn: float
    drift: Array
    middle_depth_mm: float
    residual_mm: float
    cover: float
    sag_mm: float = 0.0

    @property
    def size_mm(self) -> float:
        """The larger of width and height."""
        return max(self.outline.width_mm, self.outline.height_mm)

    @property
    def drill_mm(self) -> float:
        """The smaller of width and height: of a drilled hole its diameter, of a slot its width."""
        return min(self.outline.width_mm, self.outline.height_mm)

    @property
    def sure(self) -> float:
        """How sure the fit is, 0..1: share of the rim seen, less where points scatter or triangles are coarse; judgement."""
        return float(self.cover / (1.0 + (self.residual_mm / SCATTER_MM) ** 2 + (self.sag_mm / COARSE_MM) ** 2))


def measured_screws(face: CutFace) -> tuple[Opening, ...]:
    """The small round holes: drilled square to the face, so without drift."""
    found = (_screw(rim, face.walls) for rim in face.rims if rim.is_screw)
    return tuple(opening for opening in found if opening is not None)


def measured_slot(face: CutFace, rim: Rim, width_mm: float) -> Opening | None:
    """A hole drawn out to a slot, drilled square to the face; None where it is no slot for screws of holes so wide."""
    some = rim.points_mm[:: max(1, len(rim.points_mm) // 800)]
    first = fit_outline(some, np.zeros(len(some)), False)
    near = np.abs(distance_to_outline(first, face.walls.at_mm)) < SLOT_REACH_MM
    if first.residual_mm > ROUGHEST_MM or near.sum() < AT_LEAST:
        return None
    depth = face.walls.depth_mm[near]
    shape = fit_outline(face.walls.at_mm[near], depth, False)
    narrow, long = sorted((shape.outline.width_mm, shape.outline.height_mm))
    slim = shape.outline.kind in ("oval", "rounded_rectangle") and long < SLOT_LONG * narrow
    wide = abs(narrow - width_mm) < SLOT_LIKE_MM and shape.residual_mm < ROUGHEST_MM
    return _opening(shape, depth, rim) if slim and wide else None


def measured_ports(face: CutFace, rims: tuple[Rim, ...]) -> tuple[Opening, ...]:
    """Larger openings of any outline. Where their passages drift alike, all take the mean drift."""
    found = tuple(opening for rim in rims if (opening := _port(rim, face.walls)) is not None)
    return _with_common_drift(found)


def _screw(rim: Rim, walls: Walls) -> Opening | None:
    away = np.linalg.norm(walls.at_mm - rim.circle.centre_mm, axis=1) - rim.circle.radius_mm
    near = np.abs(away) < 0.8
    if near.sum() < AT_LEAST:
        return None
    depth = walls.depth_mm[near]
    shape = fit_circle(walls.at_mm[near], depth, False)
    if shape.residual_mm > ROUGHEST_MM:
        return None
    sag = abs(shape.outline.width_mm / 2.0 - rim.circle.radius_mm)
    return replace(_opening(shape, depth, rim), sag_mm=sag)


def _port(rim: Rim, walls: Walls) -> Opening | None:
    """A first fit to the cuts, then to the walls' own vertices: they lie on the surface, chords between them do not."""
    some = rim.points_mm[:: max(1, len(rim.points_mm) // 800)]
    first = fit_outline(some, np.zeros(len(some)), False)
    reach = 1.8 if first.residual_mm < ROUGHEST_MM else WIDEST_MM
    near = np.abs(distance_to_outline(first, walls.at_mm)) < reach
    if first.residual_mm > WIDEST_MM or near.sum() < AT_LEAST or not _suits(first, rim):
        return None
    every = max(1, int(near.sum()) // MOST_POINTS)
    points, depth = walls.at_mm[near][::every], walls.depth_mm[near][::every]
    shape = fit_outline(points, depth, True)
    loop = fit_loop(points - depth[:, None] * shape.drift)
    if loop is not None and loop.residual_mm < ROUGHEST_MM and shape.residual_mm > LOOP_GAIN * loop.residual_mm + 0.03:
        return _loop_opening(loop, shape, depth, rim)
    return _opening(shape, depth, rim) if shape.residual_mm < ROUGHEST_MM and _suits(shape, rim) else None


def _suits(shape: FittedShape, rim: Rim) -> bool:
    """Whether a fit is no larger than what it was fitted to: of a part of a rim anything may be made."""
    return max(shape.outline.width_mm, shape.outline.height_mm) < LARGER * rim.size_mm


def _loop_opening(loop: FittedLoop, shape: FittedShape, depth: Array, rim: Rim) -> Opening:
    return Opening(
        outline=loop.outline,
        at_mm=loop.centre_mm,
        turn=0.0,
        drift=shape.drift,
        middle_depth_mm=float(depth.mean()),
        residual_mm=loop.residual_mm,
        cover=rim.cover,
    )


def _opening(shape: FittedShape, depth: Array, rim: Rim) -> Opening:
    return Opening(
        outline=shape.outline,
        at_mm=shape.centre_mm,
        turn=shape.turn,
        drift=shape.drift,
        middle_depth_mm=float(depth.mean()),
        residual_mm=shape.residual_mm,
        cover=rim.cover,
    )


def _with_common_drift(openings: tuple[Opening, ...]) -> tuple[Opening, ...]:
    """Centres carried back to the face along the mean drift: less noise than along each one's own."""
    if len(openings) < 2:
        return openings
    drifts = np.array([opening.drift for opening in openings])
    common = np.median(drifts, axis=0)
    if np.abs(drifts - common).max() > SAME_DRIFT:
        return openings
    common = drifts.mean(axis=0)
    return tuple(
        replace(opening, drift=common, at_mm=opening.at_mm + (opening.drift - common) * opening.middle_depth_mm)
        for opening in openings
    )
