"""Room that a boss on a plenum's wall or on the cover has for its foot."""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_space import boss_frame
from tractwright.design.housing import cover_screws_of
from tractwright.design.records import Design, Plenum, Screw
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import envelope_of

_COLUMN_ROOT_MM = 9.0
"""The widest round between a column and its wall. Source: common_practice."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Nearest:
    """The least of several distances [mm], what it is to ('' for nothing), and where."""

    mm: float
    what: str
    place: Array


def wall_room(design: Design, boss: Boss, plenum: Plenum) -> Nearest:
    """How far its foot keeps inside the flat of its wall: off the corners, the floor's rim, the cover, columns."""
    local = plenum.frame.to_local(boss.at_mm)
    half = np.array([plenum.width_mm, plenum.height_mm]) / 2.0 - plenum.corner_radius_mm
    aside = np.abs(local[:2] - np.array(plenum.centre_mm))
    wide = boss.foot_mm / 2.0 + boss.blend_mm
    top, rim = plenum.floor_mm + plenum.depth_mm, _rim_mm(design, plenum)
    rooms: dict[str, float] = {}
    if boss.place == "top":
        half += plenum.corner_radius_mm
        rooms["the cover's edge"] = float((half - aside).min()) - wide
    else:
        along = 0 if boss.place.startswith("side") else 1
        rooms["the wall's rounded corner"] = float(half[along] - aside[along]) - wide
        rooms["the floor's rim"] = float(local[2]) - rim - wide
        rooms["the cover"] = top - float(local[2]) - wide
    rooms |= _to_columns(design, boss, wide)
    what = min(rooms, key=lambda name: rooms[name])
    return Nearest(mm=rooms[what], what=what, place=np.array(boss.at_mm))


def _rim_mm(design: Design, plenum: Plenum) -> float:
    kinds = {joint.name: joint.kind for joint in design.joints}
    thick = [flange.thickness_mm for flange in design.flanges if kinds[flange.joint] == "runner"]
    return min([plenum.floor_mm, *thick]) if thick else plenum.floor_mm


def _to_columns(design: Design, boss: Boss, wide: float) -> dict[str, float]:
    """Off the columns of cover screws beside it, or off their heads on the cover, with what stands round a column."""
    screws = [screw for item in design.plena if item.name == boss.plenum for screw in cover_screws_of(item, design)]
    if not screws:
        return {}
    frame = boss_frame(boss)
    places = frame.to_local(np.array([screw.seat_mm for screw in screws]))
    if boss.place == "top":
        off = np.hypot(places[:, 0], places[:, 1]) - wide
        return {f"screw {s.name}": float(gap) - _head_mm(s) for s, gap in zip(screws, off, strict=True)}
    ways = np.array([screw.direction for screw in screws]) @ frame.matrix().T
    off = np.abs(places[:, 0] * ways[:, 1] - places[:, 1] * ways[:, 0])
    found: dict[str, float] = {}
    for screw, gap, high in zip(screws, off, places[:, 2], strict=True):
        column = screw.post_mm / 2.0
        if abs(high) <= column + _COLUMN_ROOT_MM:
            taken = sqrt(max((column + _COLUMN_ROOT_MM) ** 2 - (_COLUMN_ROOT_MM - float(high)) ** 2, column**2))
            found[f"the column of screw {screw.name}"] = float(gap) - taken - wide
    return found


def _head_mm(screw: Screw) -> float:
    return envelope_of(screw.head, screw.thread, screw.washer).head_radius_mm
