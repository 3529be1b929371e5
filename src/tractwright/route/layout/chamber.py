"""The sizes of a plenum and of what stands on it, before and after the courses are known."""

from dataclasses import dataclass, replace
from math import ceil, pi, sqrt

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.records import Throttle
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.screws import head_radius, lug_radius
from tractwright.standards.cords import cord, width_for_fill_mm
from tractwright.standards.holes import clearance_mm
from tractwright.standards.materials import material

ROOT_MM = 4.0
BREAK_MM = 1.0
"""Root radius between walls and rim that screw heads keep off. Source: common_practice."""
HEAD_ROOM_MM = 0.7
LAND_MM = 2.0
WALL_LAND_MM = 1.6
RIM_MM = 5.5
LIP_ROOM_MM = 0.6
FLOOR_RADIUS_MM = 3.0
NECK_FLANGE_MM = 10.0
BODY_FLANGE_MM = 12.0
PAD_MM = 21.0
PAD_CORNER_MM = 3.0
TOP_PAD_MM = 12.0
MOUTH_FLANGE_MM = 12.0
_DEEPEST = 1.35
_LEAST_FLOOR_MM = 12.0
_LEAST_COVER_MM = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamber:
    """A plenum's sizes [mm]; pitch_mm from mouth to mouth. column_mm, rim_screw_mm : screw centres outside the inner face.

    side_mm : how far the floor's contour stands out beyond the inner face at its screws; cord_mm : section of its cords.
    """

    name: str
    mouths: int
    pitch_mm: float
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
    screw: str
    cord_mm: float

    @property
    def inside_mm3(self) -> float:
        """Air inside the box [mm3]."""
        return self.floor_area_mm2 * self.depth_mm

    @property
    def floor_area_mm2(self) -> float:
        """Area of the inner floor [mm2]."""
        return self.width_mm * self.height_mm - (4 - pi) * self.corner_mm**2


def first_chamber(name: str, mouths: int, sheet: JobSheet, wanted: Wanted, held: Held) -> Chamber:
    """The chamber at the least pitch its mouths allow."""
    path = f"plenum.{name}"
    size, groove_mm = sheet.joint.thread, groove_width(sheet.joint.cord_mm)
    lip, bore = wanted.lip_radius_mm, wanted.bore_mm
    pitch = max(bore + 2 * (lip + LIP_ROOM_MM), bore + 2 * sheet.runner.wall_mm + sheet.runner.neighbour_gap_mm)
    corner = held.number(f"{path}.corner_radius_mm", sheet.plenum.corner_radius_mm)
    wall = held.number(f"{path}.wall_mm", max(sheet.plenum.wall_mm, groove_mm + 2 * WALL_LAND_MM))
    floor = held.number(f"{path}.floor_mm", max(_LEAST_FLOOR_MM, lip + 2.0))
    height = max(bore + 2 * (lip + LIP_ROOM_MM + FLOOR_RADIUS_MM), _least_height(sheet))
    chamber = Chamber(
        name=name,
        mouths=mouths,
        pitch_mm=pitch,
        bore_mm=bore,
        lip_mm=lip,
        width_mm=0.0,
        height_mm=height,
        depth_mm=0.0,
        corner_mm=min(corner, height / 2 - 1.0),
        wall_mm=wall,
        floor_mm=floor,
        cover_mm=_LEAST_COVER_MM,
        mouth_flange_mm=held.number("flange.mouth.thickness_mm", MOUTH_FLANGE_MM),
        column_mm=wall / 2 + groove_mm / 2 + LAND_MM + clearance_mm(size) / 2,
        rim_screw_mm=wall + ROOT_MM + head_radius(size) + HEAD_ROOM_MM,
        side_mm=wall + ROOT_MM + head_radius(size) + HEAD_ROOM_MM + lug_radius(size),
        screw=size,
        cord_mm=sheet.joint.cord_mm,
    )
    return at_pitch(chamber, pitch, sheet, wanted, held)


def at_pitch(chamber: Chamber, pitch_mm: float, sheet: JobSheet, wanted: Wanted, held: Held) -> Chamber:
    """The chamber with its mouths at that pitch, as deep as the wanted volume asks and the throttle allows."""
    path = f"plenum.{chamber.name}"
    margin = chamber.lip_mm + LIP_ROOM_MM + FLOOR_RADIUS_MM
    width = held.number(f"{path}.width_mm", (chamber.mouths - 1) * pitch_mm + chamber.bore_mm + 2 * margin)
    volume = wanted.plenum_volume_l * 1e6
    height = max(chamber.height_mm, sqrt(volume / (_DEEPEST * width)))
    height = held.number(f"{path}.height_mm", height)
    sized = replace(chamber, pitch_mm=pitch_mm, width_mm=width, height_mm=height)
    depth = max(volume / sized.floor_area_mm2, _least_depth(sheet, sized))
    depth = held.number(f"{path}.depth_mm", depth)
    return replace(sized, depth_mm=depth, cover_mm=held.number("flange.cover.thickness_mm", _cover(sheet, sized)))


def groove_width(section_mm: float) -> float:
    """Width of a cord's groove [mm], wide enough for the worst fill, to the next twentieth."""
    return ceil(width_for_fill_mm(cord(section_mm)) * 20.0) / 20.0


def neck_reach(sheet: JobSheet, wall_mm: float) -> float:
    """Radius of a neck's flange over its sealing land and its tube's root [mm]."""
    seal = groove_width(sheet.joint.cord_mm) + 2 * LAND_MM + 1.0
    return sheet.throttle.bore_mm / 2 + max(seal, wall_mm + ROOT_MM + BREAK_MM)


def throttle_height(chamber: Chamber, throttle: Throttle | None, sheet: JobSheet) -> float:
    """Height of a wall throttle's axis over the joint under the floor [mm]: the middle of the piece where it fits."""
    radius = (throttle.bore_mm if throttle else sheet.throttle.bore_mm) / 2
    top = chamber.floor_mm + chamber.depth_mm
    lowest, highest = chamber.floor_mm + radius + FLOOR_RADIUS_MM + 0.5, top - radius - 2.0
    return min(max(top / 2, lowest), highest)


def _least_height(sheet: JobSheet) -> float:
    """So that a throttle in an end wall finds its opening between the long walls."""
    return sheet.throttle.bore_mm + 8.0 if sheet.throttle.place.startswith("end") else 0.0


def _least_depth(sheet: JobSheet, chamber: Chamber) -> float:
    opening = sheet.throttle.bore_mm + FLOOR_RADIUS_MM + 4.0
    flange = 2 * neck_reach(sheet, chamber.wall_mm) + 1.0 - chamber.floor_mm
    return max(1.1 * chamber.bore_mm, 0.0 if sheet.throttle.place == "top" else max(opening, flange))


def _cover(sheet: JobSheet, chamber: Chamber) -> float:
    """Thickness of the flat cover [mm]: a long clamped plate, stress 0.5 p (b/t)^2 at most the allowable stress.

    Source key: roark_table_11_4 (the limit of long plates). Rounded up to a whole millimetre.
    """
    pressure = max(1.5 * sheet.air.boost_bar, sheet.air.backfire_bar) / 10.0
    allowable = material(sheet.shop.material).allowable_mpa
    least = chamber.height_mm * sqrt(0.5 * pressure / allowable)
    return max(_LEAST_COVER_MM, float(-(-least // 1)))
