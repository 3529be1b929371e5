"""The throttle neck: a flange on the plenum, a tube with rounded roots, a flange for the throttle body."""

from math import floor

import numpy as np

from tractwright.design.records import Design, Flange, Joint, Piece, Throttle
from tractwright.errors import KernelError
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame
from tractwright.geometry.offsets import is_smooth
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.shells import Slab, Tubing, flanged_tube, plate
from tractwright.shape.finish import Blends, finely_meshed, finished
from tractwright.shape.parts.bodies import body as bodied
from tractwright.shape.parts.bodies import turned
from tractwright.shape.parts.features import with_features
from tractwright.shape.parts.finishes import BEYOND_MM, BREAK_MM, ROOTS_MM
from tractwright.shape.parts.gates import axis_at, fed_by
from tractwright.shape.records import BuiltPiece

KIND = "neck"

_SQUARE = 1e-6
_SPARE_MM = 0.1


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The exact neck in the job frame. Raises KernelError naming the step that no rung of its ladder passes."""
    low_joint, low = _end(piece, "neck", design)
    high_joint, high = _end(piece, "body", design)
    throttle = fed_by(high_joint, design)
    start = axis_at(low_joint, throttle)
    _hold_straight(start, high_joint, throttle)
    length = float(start.to_local(high_joint.frame.origin_mm)[2])
    if length <= low.thickness_mm + high.thickness_mm + 1.0:
        body = _two_plates(low, high, start, throttle)
        note = "the neck is so short that its flanges lie on one another: no tube, no root"
        body = with_features(body, piece.name, design)
        return finished(piece, body, finely_meshed(body), Blends(), (note,))
    wall = next(plenum.wall_mm for plenum in design.plena if plenum.name == throttle.plenum)
    outer = throttle.bore_mm + 2.0 * wall
    slabs = _slab(low), _slab(high)
    roots = _roots(slabs, start, outer / 2.0, length - low.thickness_mm - high.thickness_mm)
    tubing = Tubing(axis=start, length_mm=length, bore_mm=throttle.bore_mm, outer_mm=outer, roots_mm=roots)
    body = with_features(bodied(flanged_tube(*slabs, tubing)), piece.name, design)
    notes = tuple(
        f"the neck's root at the {end} has {root:g} mm, not {ROOTS_MM[0]:g}: there is no more room"
        for end, root in zip(("plenum", "throttle"), roots, strict=True)
        if root < ROOTS_MM[0]
    )
    blends = Blends(wanted=2, made=sum(root > 0.0 for root in roots))
    return finished(piece, body, finely_meshed(body), blends, notes)


def _end(piece: Piece, kind: str, design: Design) -> tuple[Joint, Flange]:
    """The neck's joint of a kind and its flange there."""
    joints = {joint.name: joint for joint in design.joints if joint.kind == kind}
    found = [flange for flange in design.flanges if flange.piece == piece.name and flange.joint in joints]
    if not found:
        raise KernelError(f"piece {piece.name}", f"it has no flange on a {kind} joint")
    return joints[found[0].joint], found[0]


def _hold_straight(start: Frame, end: Joint, throttle: Throttle) -> None:
    x, y, _ = start.to_local(throttle.frame.origin_mm)
    square = abs(float(np.dot(start.z, throttle.frame.z))) > 1.0 - _SQUARE
    faced = abs(float(np.dot(start.z, end.frame.z))) > 1.0 - _SQUARE
    if not (square and faced) or max(abs(x), abs(y)) > 1e-3:
        raise KernelError("the throttle neck", "its two ends do not lie square on one straight line")


def _roots(slabs: tuple[Slab, Slab], start: Frame, outer_mm: float, between_mm: float) -> tuple[float, float]:
    """The root radius at each end that stays on its flange, in half millimetres; both share the length between."""
    rooms = [_room(slab, start) - outer_mm for slab in slabs]
    first, second = (floor(2.0 * min(ROOTS_MM[0], room, between_mm / 2.0 - 0.1)) / 2.0 for room in rooms)
    return max(first, 0.0), max(second, 0.0)


def _room(slab: Slab, start: Frame) -> float:
    """From the tube's line to the nearest point of a flange's flat."""
    x, y, _ = slab.frame.to_local(start.origin_mm)
    away = float(np.min(np.linalg.norm(polyline(slab.contour) - np.array([x, y]), axis=1)))
    return away - slab.break_mm - _SPARE_MM


def _two_plates(low: Flange, high: Flange, start: Frame, throttle: Throttle) -> Checked:
    """Flanges that touch: both as plates, joined and bored."""
    gap = float(start.to_local(high.frame.origin_mm)[2]) - low.thickness_mm
    upper = Slab(contour=high.contour, frame=high.frame, thickness_mm=max(gap, high.thickness_mm))
    body = fused(bodied(plate(_slab(low, edge_mm=0.0))), [bodied(plate(upper))], "the neck's two flanges")
    radius, end = throttle.bore_mm / 2.0, gap + low.thickness_mm + BEYOND_MM
    bore = ((0.0, -BEYOND_MM, 0.0), (radius, -BEYOND_MM, 0.0), (radius, end, 0.0), (0.0, end, 0.0))
    return cut(body, [turned(bore, start)], "the neck's bore")


def _slab(flange: Flange, edge_mm: float = BREAK_MM) -> Slab:
    edge = edge_mm if is_smooth(flange.contour) else 0.0
    return Slab(contour=flange.contour, frame=flange.frame, thickness_mm=flange.thickness_mm, break_mm=edge)
