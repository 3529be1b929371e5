"""Whether a split's flanges leave room: to what is kept out, to the other plates, to the keys of the head's screws."""

import numpy as np
from scipy.spatial import KDTree

from tractwright.design.outside import box_points, plate_points
from tractwright.design.pattern import Room
from tractwright.design.records import Design, Flange, Screw
from tractwright.design.room import clearance
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import envelope_of

_CUT_MM, _PASS_MM = 8.0, 3.0
"""Between a split's flange and another plate of its own piece, a cutter's width; of another piece, so that they go together.
Source: shop_judgement."""
_BOX_STEP_MM = 6.0
_HEAD_ROOM_MM = 0.5
_KEY_ROOM_MM = 0.5


def lacks(design: Design, room: Room, clearance_mm: float) -> tuple[str, ...]:
    """What a split's flanges come too near to, in words; none where they have room."""
    splits = {joint.name for joint in design.joints if joint.kind == "split"}
    flanges = [flange for flange in design.flanges if flange.joint in splits]
    own = np.concatenate([plate_points(flange) for flange in flanges])
    found = {name for flange in flanges for name in _near(design, flange)}
    if float(clearance(room, own)[0].min(initial=np.inf)) < clearance_mm:
        found.add("the room")
    engine = [screw for screw in design.screws if screw.tapped_in == "engine"]
    if not all(_key_goes_by(screw, own) for screw in engine):
        found.add("a head screw's key")
    return tuple(sorted(found))


def _near(design: Design, own: Flange) -> list[str]:
    """Plates and boxes that a split's flange stands too near to."""
    tree = KDTree(plate_points(own))
    plates = {
        f"flange {item.name}": (item.piece, plate_points(item)) for item in design.flanges if item.joint != own.joint
    }
    boxes = {
        f"plenum {item.name}": ("", box_points(item, 0.0, _BOX_STEP_MM, _BOX_STEP_MM).reshape(-1, 3))
        for item in design.plena
    }
    return [
        name
        for name, (piece, points) in (plates | boxes).items()
        if float(tree.query(points)[0].min()) < (_CUT_MM if piece == own.piece else _PASS_MM)
    ]


def _key_goes_by(screw: Screw, points: Array) -> bool:
    """Whether head and bent key of a screw keep clear of points (n, 3)."""
    space = envelope_of(screw.head, screw.thread, screw.washer)
    offset = points - np.array(screw.seat_mm)
    along = -(offset @ np.array(screw.direction))
    off = np.sqrt(np.maximum(np.einsum("nk,nk->n", offset, offset) - along**2, 0.0))
    head = (off < space.head_radius_mm + _HEAD_ROOM_MM) & (along > 0.0) & (along < space.head_height_mm)
    key = off < space.key_radius_mm + _KEY_ROOM_MM
    key &= (along > 0.0) & (along < space.head_height_mm + space.bent_mm)
    return not bool(head.any() or key.any())
