"""The sizes of a plenum and of what stands on it, before and after the courses are known."""

from dataclasses import dataclass, replace
from math import ceil, inf, pi, sqrt

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.records import Plenum
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.screws import head_radius, lug_radius, plate_for_stock_mm, thread_for_stock_mm
from tractwright.standards.classes import class_in_system
from tractwright.standards.cords import cord, smallest_corner_radius_mm, width_for_fill_mm
from tractwright.standards.holes import clearance_mm, drill_beyond_thread_mm
from tractwright.standards.materials import material
from tractwright.standards.threads import thread

ROOT_MM = 4.0
"""Root radius between walls and rim that screw heads keep off. Source: common_practice."""
BREAK_MM = 1.0
HEAD_ROOM_MM = 0.7
LAND_MM = 2.0
WALL_LAND_MM = 1.6
RIM_MM = 5.5
LIP_ROOM_MM = 0.6
FLOOR_RADIUS_MM = 3.0
PAD_CORNER_MM = 3.0
MOUTH_FLANGE_MM = 12.0
THREAD_DIAMETERS = 2.0
"""Full thread cut in our plate, in diameters, at least: more where class and metal ask for it. Source: common_practice."""
_DEEPEST = 1.35
_NECK_FLANGE_MM = 10.0
_BODY_FLANGE_MM = 12.0
_LEAST_FLOOR_MM = 12.0
_LEAST_COVER_MM = 8.0
_SKIN_MM = 2.0
_FLAT_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamber:
    """A plenum's sizes [mm]; pitch_mm from mouth to mouth, in `rows` rows rows_apart_mm from one to the next.

    column_mm, rim_screw_mm : screw centres outside the inner face. side_mm : how far the floor's contour stands out beyond
    the inner face at its screws; cord_mm : section of its cords. pad_mm : from the inner face to the face of a neck's pad;
    throttle_mm : the throttle's bore; neck_flange_mm, body_flange_mm : thickness of the neck's two flanges.
    """

    name: str
    mouths: int
    pitch_mm: float
    least_pitch_mm: float
    bore_mm: float
    lip_mm: float
    width_mm: float
    height_mm: float
    depth_mm: float
    corner_mm: float
    wall_mm: float
    floor_mm: float
    cover_mm: float
    mouth_flange_mm: float
    column_mm: float
    rim_screw_mm: float
    side_mm: float
    pad_mm: float
    throttle_mm: float
    neck_flange_mm: float
    body_flange_mm: float
    screw: str
    property_class: str
    metal: str
    cord_mm: float
    rows: int = 1

    @property
    def row_mm(self) -> float:
        """From the middle of a row's first mouth to its last one's [mm]."""
        return (self.mouths // self.rows - 1) * self.pitch_mm

    @property
    def rows_mm(self) -> float:
        """From the middle of the first row to the last one's [mm]."""
        return (self.rows - 1) * self.rows_apart_mm

    @property
    def rows_apart_mm(self) -> float:
        """From row to row [mm]: as near as mouths may be."""
        return self.least_pitch_mm if self.rows > 1 else 0.0

    @property
    def nearest_mm(self) -> float:
        """From a mouth's middle to the nearest other one's [mm]."""
        return inf if self.mouths == 1 else self.rows_apart_mm or self.pitch_mm

    @property
    def top_mm(self) -> float:
        """From the joint under the floor to the cover [mm]."""
        return self.floor_mm + self.depth_mm

    @property
    def inside_mm3(self) -> float:
        """Air inside the box [mm3]."""
        return self.floor_area_mm2 * self.depth_mm

    @property
    def floor_area_mm2(self) -> float:
        """Area of the inner floor [mm2]."""
        return self.width_mm * self.height_mm - (4 - pi) * self.corner_mm**2


def first_chamber(name: str, mouths: int, sheet: JobSheet, wanted: Wanted, held: Held, rows: int = 1) -> Chamber:
    """The chamber at the least pitch its mouths allow, in so many rows, each of as many."""
    path, metal = f"plenum.{name}", sheet.shop.material
    size, groove_mm = sheet.joint.thread, groove_width(sheet.joint.cord_mm)
    grade = class_in_system(size, sheet.joint.property_class)
    ways = [f"runner.r{number}.mouth" for number in range(1, mouths + 1)]
    lip = max(held.number(f"{way}.lip_radius_mm", wanted.lip_radius_mm) for way in ways)
    bore = max(held.number(f"{way}.bore_mm", wanted.bore_mm) for way in ways)
    wall = held.number(f"{path}.wall_mm", max(sheet.plenum.wall_mm, groove_mm + 2 * WALL_LAND_MM))
    corner = max(sheet.plenum.corner_radius_mm, smallest_corner_radius_mm(sheet.joint.cord_mm) - wall / 2)
    column = wall / 2 + groove_mm / 2 + LAND_MM + clearance_mm(size) / 2
    rim = wall + ROOT_MM + head_radius(size) + HEAD_ROOM_MM
    floor = held.number("flange.floor.thickness_mm", max(_LEAST_FLOOR_MM, lip + 2.0))
    floor = held.number(f"{path}.floor_mm", floor)
    mouth = plate_for_stock_mm(size, grade, metal, floor, MOUTH_FLANGE_MM)
    pitch = max(bore + 2 * (lip + LIP_ROOM_MM), bore + 2 * sheet.runner.wall_mm + sheet.runner.neighbour_gap_mm)
    chamber = Chamber(
        name=name,
        mouths=mouths,
        rows=rows,
        pitch_mm=pitch,
        least_pitch_mm=pitch,
        bore_mm=bore,
        lip_mm=lip,
        width_mm=0.0,
        height_mm=(rows - 1) * pitch + bore + 2 * (lip + LIP_ROOM_MM + FLOOR_RADIUS_MM),
        depth_mm=0.0,
        corner_mm=held.number(f"{path}.corner_radius_mm", corner),
        wall_mm=wall,
        floor_mm=floor,
        cover_mm=_LEAST_COVER_MM,
        mouth_flange_mm=held.number("flange.mouth.thickness_mm", mouth),
        column_mm=column,
        rim_screw_mm=rim,
        side_mm=rim + lug_radius(size),
        pad_mm=0.0,
        throttle_mm=_of_necks(held, f"throttle.{name}", "bore_mm", wanted.throttle_bore_mm),
        neck_flange_mm=_of_necks(held, "flange.neck", "thickness_mm", _NECK_FLANGE_MM),
        body_flange_mm=_of_necks(held, "flange.body", "thickness_mm", _BODY_FLANGE_MM),
        screw=size,
        property_class=grade,
        metal=metal,
        cord_mm=sheet.joint.cord_mm,
    )
    chamber = replace(
        chamber,
        height_mm=max(chamber.height_mm, _least_height(sheet, chamber), 2 * chamber.corner_mm + 2),
        pad_mm=max(column + lug_radius(size) + _FLAT_MM, drilled_mm(size, pad_thread_mm(chamber)) + _SKIN_MM),
    )
    return at_pitch(chamber, chamber.pitch_mm, sheet, wanted, held)


def _of_necks(held: Held, path: str, field: str, solved: float) -> float:
    """A number that the necks of a plenum share: held of the first, or of the second."""
    return held.number(f"{path}.{field}", held.number(f"{path}_2.{field}", solved))


def at_pitch(chamber: Chamber, pitch_mm: float, sheet: JobSheet, wanted: Wanted, held: Held) -> Chamber:
    """The chamber with its mouths at that pitch, as deep as the wanted volume asks and the throttle allows.

    Where the sheet is silent its corners are as wide as a cutter needs that reaches the floor.
    """
    path = f"plenum.{chamber.name}"
    margin = chamber.lip_mm + LIP_ROOM_MM + FLOOR_RADIUS_MM
    spread = replace(chamber, pitch_mm=pitch_mm)
    width = held.number(f"{path}.width_mm", spread.row_mm + chamber.bore_mm + 2 * margin)
    volume = held.number(f"{path}.volume_l", wanted.plenum_volume_l) * 1e6
    deep = max(_least_depth(sheet, chamber), sqrt(_DEEPEST * volume / width))
    height = held.number(f"{path}.height_mm", max(chamber.height_mm, volume / (width * deep)))
    sized = replace(spread, width_mm=width, height_mm=height)
    depth = held.number(f"{path}.depth_mm", max(volume / sized.floor_area_mm2, _least_depth(sheet, sized)))
    radius = max(sized.corner_mm, ceil(depth / sheet.shop.longest_stickout) / 2)
    if "corner_radius_mm" not in sheet.plenum.model_fields_set and radius <= height / 2 - 1.0:
        sized = replace(sized, corner_mm=held.number(f"{path}.corner_radius_mm", radius))
        depth = held.number(f"{path}.depth_mm", max(volume / sized.floor_area_mm2, _least_depth(sheet, sized)))
    return replace(sized, depth_mm=depth, cover_mm=held.number("flange.cover.thickness_mm", _cover(sheet, sized)))


def plenum_of(chamber: Chamber, frame: Frame, bank: str) -> Plenum:
    """The record of a plenum. frame : on the joint under its floor, midway between its mouths."""
    return Plenum(
        name=chamber.name,
        bank=bank,
        frame=frame,
        centre_mm=(0.0, 0.0),
        width_mm=chamber.width_mm,
        height_mm=chamber.height_mm,
        corner_radius_mm=chamber.corner_mm,
        depth_mm=chamber.depth_mm,
        floor_mm=chamber.floor_mm,
        wall_mm=chamber.wall_mm,
        volume_l=chamber.inside_mm3 / 1e6,
    )


def groove_width(section_mm: float) -> float:
    """Width of a cord's groove [mm], wide enough for the worst fill, to the next twentieth."""
    return ceil(width_for_fill_mm(cord(section_mm)) * 20.0) / 20.0


def column_thread_mm(chamber: Chamber) -> float:
    """Full thread in a column under the cover [mm]."""
    return _thread_mm(chamber, chamber.cover_mm)


def pad_thread_mm(chamber: Chamber) -> float:
    """Full thread in the pad or cover under a neck [mm]."""
    return _thread_mm(chamber, chamber.neck_flange_mm)


def _thread_mm(chamber: Chamber, grip_mm: float) -> float:
    least = THREAD_DIAMETERS * thread(chamber.screw).major_mm
    return thread_for_stock_mm(chamber.screw, chamber.property_class, chamber.metal, grip_mm, least)


def drilled_mm(size: str, full_mm: float) -> float:
    """Depth of a blind hole with so much full thread, its drill's point counted [mm]."""
    return full_mm + drill_beyond_thread_mm(size, full_mm) + 0.6 * thread(size).tap_drill_mm / 2


def neck_reach(chamber: Chamber) -> float:
    """Radius of a neck's flange over its sealing land and its tube's root [mm]."""
    seal = groove_width(chamber.cord_mm) + 2 * LAND_MM + 1.0
    return chamber.throttle_mm / 2 + max(seal, chamber.wall_mm + ROOT_MM + BREAK_MM)


def throttle_height(chamber: Chamber) -> float:
    """Height of a wall throttle's axis over the joint under the floor [mm].

    In the middle of the chamber, but so that the neck's flange lies over the rim's root, and its opening over the floor's.
    """
    lowest, highest = _throttle_limits(chamber)
    return min(max(chamber.floor_mm + chamber.depth_mm / 2, lowest), max(lowest, chamber.top_mm - highest))


def _throttle_limits(chamber: Chamber) -> tuple[float, float]:
    """Least heights of a wall throttle's axis: over the joint, and under the cover [mm]."""
    radius, reach = chamber.throttle_mm / 2, neck_reach(chamber)
    low = chamber.floor_mm + max(radius + FLOOR_RADIUS_MM + _FLAT_MM, reach + ROOT_MM + _FLAT_MM)
    return low, max(radius + LAND_MM, reach + _FLAT_MM)


def _least_height(sheet: JobSheet, chamber: Chamber) -> float:
    """So that a throttle in an end wall finds its opening between the long walls, one on the cover its pad on it."""
    walls = sheet.throttle.walls
    on_cover = 2 * (neck_reach(chamber) + ROOT_MM + _FLAT_MM - chamber.wall_mm) if "top" in walls else 0.0
    return max(on_cover, chamber.throttle_mm + 8.0 if any(wall.startswith("end") for wall in walls) else 0.0)


def _least_depth(sheet: JobSheet, chamber: Chamber) -> float:
    throttle = sum(_throttle_limits(chamber)) - chamber.floor_mm
    return max(1.1 * chamber.bore_mm, 0.0 if sheet.throttle.walls == ("top",) else throttle)


def _cover(sheet: JobSheet, chamber: Chamber) -> float:
    """Thickness of the flat cover [mm]: a long clamped plate, stress 0.5 p (b/t)^2 at most the allowable stress.

    Source key: roark_table_11_4 (the limit of long plates). Rounded up to a whole millimetre.
    """
    pressure = max(1.5 * sheet.air.boost_bar, sheet.air.backfire_bar) / 10.0
    allowable = material(sheet.shop.material).allowable_mpa
    least = chamber.height_mm * sqrt(0.5 * pressure / allowable)
    return max(_LEAST_COVER_MM, float(-(-least // 1)))
