"""Whether a split's flanges leave room: to what is kept out, to the other plates, to head screws' keys, to bosses."""

import numpy as np
from scipy.spatial import KDTree

from tractwright.design.boss import Boss
from tractwright.design.boss_space import boss_frame, outside_points
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
_OVER_TOP_MM = 0.6
BOSS = "a boss on the runners"
"""What a split's flange stands in the way of, in words."""


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
    across = [screw for screw in design.screws if screw.joint in splits]
    if not all(_boss_goes_by(boss, own, across, _root_mm(boss, design)) for boss in design.bosses):
        found.add(BOSS)
    return tuple(sorted(found))


def _root_mm(boss: Boss, design: Design) -> float:
    """The root of the runner that a boss stands on, at a split."""
    return max((item.split_blend_mm for item in design.runners if item.name == boss.runner), default=0.0)


def _boss_goes_by(boss: Boss, plates: Array, screws: list[Screw], root_mm: float) -> bool:
    """Whether a boss keeps off points (n, 3) of a split's plates by both root blends, its way clear of them, and the heads
    and keys of the split's screws clear of it.
    """
    outside = outside_points(boss)
    if float(KDTree(outside).query(plates)[0].min()) < root_mm + boss.blend_mm:
        return False
    local = boss_frame(boss).to_local(plates)
    over, off = local[:, 2] - boss.height_mm, np.hypot(local[:, 0], local[:, 1])
    barred = (over > _OVER_TOP_MM) & (over < boss.reach_mm) & (off < max(boss.swing_mm, boss.top_mm) / 2.0)
    return not bool(barred.any()) and all(_key_goes_by(screw, outside) for screw in screws)


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
