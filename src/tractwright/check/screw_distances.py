"""Distances between screws, with their heads, keys and holes, and the skins and passages of runners."""

from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.design.records import Runner, Screw
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.standards.keys import hex_key, socket
from tractwright.standards.screws import screw_head, washer
from tractwright.standards.threads import thread

_SOCKET_MM = 60.0  # a short socket on its ratchet; judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """The space a screw takes over its seat [mm]: head with washer, then the key or socket that turns it.

    straight_mm : free length over the head for a key held straight; bent_mm : the least that will do, the short arm in.
    """

    head_radius_mm: float
    head_height_mm: float
    key_radius_mm: float
    straight_mm: float
    bent_mm: float


def envelope(screw: Screw) -> Envelope:
    """What the tables say of a screw's head, washer and key. Raises TableError for a size they do not hold."""
    head = screw_head(screw.head, screw.thread)
    ring = washer(screw.thread) if screw.washer else None
    radius = max(head.across_mm, ring.outer_mm if ring else 0.0) / 2
    height = head.height_mm + (ring.thickness_max_mm if ring else 0.0)
    if screw.head == "hex":
        turned_by = socket(head.key_mm)
        return Envelope(
            head_radius_mm=radius,
            head_height_mm=height,
            key_radius_mm=turned_by.outside_mm / 2,
            straight_mm=_SOCKET_MM,
            bent_mm=_SOCKET_MM,
        )
    key = hex_key(head.key_mm)
    return Envelope(
        head_radius_mm=radius,
        head_height_mm=height,
        key_radius_mm=key.across_corners_mm / 2,
        straight_mm=key.long_arm_mm,
        bent_mm=key.short_arm_mm - (head.key_depth_mm or 0.0),
    )


def skin_with_blend(case: Case, runner: Runner) -> Array:
    """Points (n, 3) of a runner's skin as metal will really stand: with the full root blends a cutter leaves."""
    model = case.tubes[runner.name]
    head = _flange_face(case, runner, "head")
    return np.concatenate([model.outer_mm.reshape(-1, 3), _blend_points(model, runner, head)])


def along_and_off(points: Array, origin: Array, direction: Array) -> tuple[Array, Array]:
    """For points (n, 3): distance along an axis from its origin and distance off it (n,)."""
    offset = points - origin
    along = offset @ direction
    off = np.sqrt(np.maximum(np.sum(offset * offset, axis=1) - along * along, 0.0))
    return along, off


def least_off(points: Array, screw: Screw, start_mm: float, end_mm: float, radius_mm: float) -> tuple[float, Array]:
    """The least gap between points and a cylinder about the screw's axis, from start to end behind its seat; and where.

    Positive numbers lie behind the head (where the key comes from), negative towards the tip.
    """
    along, off = along_and_off(points, np.array(screw.seat_mm), -np.array(screw.direction))
    inside = (along > start_mm) & (along < end_mm)
    if not inside.any():
        return np.inf, points[0]
    gap = np.where(inside, off - radius_mm, np.inf)
    worst = int(np.argmin(gap))
    return float(gap[worst]), points[worst]


def holes_of(screw: Screw) -> list[tuple[float, float, float]]:
    """The cylinders a screw takes out of the metal: (from, to) along its direction from the seat, radius [mm]."""
    holes = [(0.0, screw.grip_mm, screw.clearance_mm / 2)]
    if screw.tapped_in != "engine":
        holes.append((screw.grip_mm, screw.grip_mm + screw.drill_depth_mm, thread(screw.thread).major_mm / 2))
    if screw.counterbore_mm > 0:
        holes.append((min(screw.standoff_mm, 0.0), 0.0, screw.counterbore_mm / 2))
    return holes


def hole_to_passage(screw: Screw, model: Tube) -> tuple[float, Array]:
    """Least metal between a screw's holes and a passage [mm], and where."""
    points = model.inner_mm.reshape(-1, 3)
    along, off = along_and_off(points, np.array(screw.seat_mm), np.array(screw.direction))
    least, place = np.inf, points[0]
    for start, end, radius in holes_of(screw):
        beyond = np.maximum(np.maximum(start - along, along - end), 0.0)
        gap = np.hypot(np.maximum(off - radius, 0.0), beyond) + np.minimum(off - radius, 0.0) * (beyond == 0.0)
        worst = int(np.argmin(gap))
        if gap[worst] < least:
            least, place = float(gap[worst]), points[worst]
    return least, place


def _flange_face(case: Case, runner: Runner, kind: str) -> tuple[Array, Array, float]:
    """Normal, origin and height of the face that a skin leaves the head flange by."""
    flange = next(
        item
        for item in case.design.flanges
        for joint in case.design.joints
        if joint.name == item.joint and joint.kind == kind and _bank_of(case, joint.frame.origin_mm) == runner.bank
    )
    return np.array(flange.frame.z), np.array(flange.frame.origin_mm), flange.thickness_mm


def _bank_of(case: Case, origin_mm: tuple[float, float, float]) -> str:
    """The bank whose face a head joint lies on."""
    return min(
        case.design.banks,
        key=lambda bank: abs(float((np.array(origin_mm) - bank.frame.origin_mm) @ np.array(bank.frame.z))),
    ).name


def _blend_points(model: Tube, runner: Runner, face: tuple[Array, Array, float]) -> Array:
    """The root blend at the head flange: skin points near the face moved outwards as a rolling ball leaves them."""
    normal, origin, thickness = face
    radius = runner.port_blend_mm
    height = (model.outer_mm - origin) @ normal - thickness
    near = (height >= 0.0) & (height < radius)
    outward = model.outer_mm - model.centre_mm[:, None, :]
    outward /= np.maximum(np.linalg.norm(outward, axis=2, keepdims=True), 1e-9)
    rise = radius - np.sqrt(np.maximum(radius**2 - (radius - np.clip(height, 0.0, radius)) ** 2, 0.0))
    return (model.outer_mm + outward * rise[..., None])[near]
