"""[pattern], [scan] and [room]: where the ports are and where the part may be."""

from typing import Literal

from tractwright.job.fields import (
    Angle,
    Count,
    Direction,
    Length,
    Name,
    Part,
    Place,
    Switch,
    Vec2,
    Vec3,
    assumed,
    needed,
    silent,
)
from tractwright.job.source_tables import Unit


class PortFacts(Part):
    """One opening, where the row is not regular: the first is p1, the next p2, and so on."""

    at_mm: Vec2 = needed("its middle: x along the row, y up, on the head face", [-141, 0])
    cylinders: tuple[Count, ...] = silent(
        (), "cylinder numbers it feeds", "ports shared out evenly, in order", example=[1]
    )


class ScrewFacts(Part):
    """One screw of the head's pattern. With these, screw_rise makes no rows."""

    at_mm: Vec2 = needed("its middle: x along the row, y up, on the head face", [-188, 34])
    stud: Switch = silent(False, "true for a stud standing in the head", "a screw")


class PatternFacts(Part):
    """Ports and screws of the head face. Needed where there is no scan; with a scan, these values win over it."""

    port_shape: Literal["circle", "oval", "rounded_rectangle", "d", "loop"] = assumed(
        "oval",
        "outline of a port: oval is two half circles joined by straight lines; d has its own radius at the lower two "
        "corners; loop goes through port_points",
        "usual",
        0.05,
    )
    port_width_mm: Length = needed("width of a port along the row; the diameter of a circle", "50 mm", gt=8, lt=150)
    port_height_mm: Length = assumed(
        lambda d: d["port_width_mm"], "height of a port", "as high as wide", 0.05, gt=8, lt=150
    )
    port_corner_radius_mm: Length = assumed(
        lambda d: min(6.0, 0.25 * d["port_height_mm"], 0.25 * d["port_width_mm"]),
        "radius of the corners of a rounded rectangle, of the upper two of a d",
        "6 mm, or a quarter of the port where that is less",
        0.01,
        ge=0,
    )
    port_lower_corner_radius_mm: Length = assumed(
        lambda d: max(0.0, min(6.0, 0.25 * d["port_width_mm"], d["port_height_mm"] - d["port_corner_radius_mm"])),
        "radius of the lower two corners of a d",
        "6 mm, a quarter of the width, or the height that the upper ones leave, whichever is least",
        0.01,
        ge=0,
    )
    port_points_mm: tuple[Vec2, ...] = silent(
        (),
        "points round a loop about the port's middle, counter-clockwise seen from in front of the head",
        "no loop",
        example=[[20, -14], [22, 12], [-22, 12], [-20, -14]],
    )
    port_turn_deg: Angle = silent(
        0.0,
        "outline turned counter-clockwise, seen from in front of the head",
        "level",
        example="5 deg",
        ge=-180,
        le=180,
    )
    port_rise_deg: Angle = assumed(
        0.0, "how far a port's axis climbs (+y) as it comes out of the head", "square to the face", 0.02, ge=-50, le=50
    )
    pitch_mm: Length | None = silent(
        None,
        "port to port in a regular row, one port a cylinder, centred on x = 0, y = 0",
        "[[pattern.port]] or the scan places the ports",
        example="94 mm",
        gt=15,
        lt=250,
    )
    port: tuple[PortFacts, ...] = silent((), "ports one by one", "a regular row")
    screw_thread: Name = assumed("M8", "thread of the head's own holes", "usual", 0.03)
    screw_depth_mm: Length = assumed(22.0, "full thread in the head, from its face", "usual", 0.02, gt=3, le=80)
    screw_rise_mm: Length | None = silent(
        None,
        "two rows of screws this far above and below the row of ports: one each midway between neighbouring ports, and "
        "one each half a pitch outside the end ports",
        "[[pattern.screw]] or the scan places the screws",
        example="34 mm",
        gt=5,
        lt=150,
    )
    screw: tuple[ScrewFacts, ...] = silent((), "screws one by one", "two rows, by screw_rise")
    places_rough: Switch = silent(
        False, "true: the places given here are rough, and [[reading]] puts them right without asking", "they are exact"
    )


class MoreScan(Part):
    """A further scan, such as the bay, the bonnet or a brace: the new part stays off what it shows."""

    file: Name = needed("the mesh, beside the sheet", "bay.stl")
    name: Name = needed("what it shows: findings say it", "bay")
    unit: Unit | None = silent(None, "unit of its numbers", "as with the scan of the old part", example="mm")
    by: Literal["same_axes", "points", "surface"] = silent(
        "same_axes",
        "how it is brought to the scan of the old part: both lie in the same axes; by picked points; or by the surface they "
        "share, from the picked points or, without any, from where it lies",
        "same_axes",
    )
    points_here_mm: tuple[Vec3, ...] = silent(
        (), "three or more picked points in this file, mm", "none", example=[[0, 0, 0]]
    )
    points_there_mm: tuple[Vec3, ...] = silent(
        (), "the same points in the scan of the old part, mm", "none", example=[[0, 0, 0]]
    )


class ScanOpening(Part):
    """What is at a place of the head face, where the scan shows it wrongly or not at all: the word of whoever looked."""

    at_mm: Vec2 = needed(
        "the place on the head face, job axes x and y; within 6 mm of a hole it means that hole", [94, 34]
    )
    what: Literal["screw hole", "no screw hole"] = needed("what is there", "screw hole")


class Scan(Part):
    """A scan of the old part, in any pose: its head face gives ports and screws, its body the room."""

    file: Name = needed("the mesh, beside the sheet: STL, PLY (binary or text), OBJ or 3MF", "scan.stl")
    unit: Unit | None = silent(
        None,
        "unit of the numbers in the file",
        "the one a 3MF file states, else guessed from the part's size, and told",
        example="mm",
    )
    more: tuple[MoreScan, ...] = silent((), "further scans to stay off", "none")
    shows_ports: tuple[Count, ...] = silent(
        (),
        "numbers of the ports that the scan shows, where it is of a part of the manifold only, such as a broken half",
        "all of them",
        example=[1, 2],
    )
    opening: tuple[ScanOpening, ...] = silent((), "openings of the head face put right", "as the scan shows them")
    head_face_at_mm: Vec3 | None = silent(
        None,
        "a point on the head face, picked in the scan's own axes, mm; needed where the scan shows more faces like it, as "
        "both banks of a vee or both faces of a middle piece",
        "the face with most ports and screw holes",
        example=[12, -140, 55],
    )
    port_1: Literal["left", "right"] = assumed(
        "left",
        "standing in front of the engine, facing the side the manifold bolts to: is port 1 at your left or your right?",
        "at the left",
        0.01,
    )
    upside_down: Switch = assumed(
        False,
        "true where the old part, on the engine, hangs below its ports instead of rising above them",
        "it rises above them",
        0.01,
    )


class KeepOut(Part):
    """A box the part stays out of, its edges along the job axes."""

    name: Name = needed("what stands there: findings say it", "alternator")
    low_mm: Vec3 = needed("its corner with the least x, y and z", [-60, -150, 80])
    high_mm: Vec3 = needed("its corner with the greatest x, y and z", [60, -70, 200])


class KeepOutSide(Part):
    """A plane the part stays on one side of: where normal . point >= offset."""

    name: Name = needed("what stands there: findings say it", "bonnet")
    normal: Direction = needed("square to the plane, into the side the part may be on; best of length 1", [0, -1, 0])
    offset_mm: Place = needed(
        "normal . point of every point on the plane: for a normal of length 1 its distance from the origin, so a bonnet "
        "140 mm up has normal [0, -1, 0] and offset -140",
        "-140 mm",
    )


class Hose(Part):
    """A hose, pipe or cable that stays where it is: straight from one point to another."""

    name: Name = needed("what it is: findings say it", "heater hose")
    start_mm: Vec3 = needed("one end of its middle line", [-150, 60, 40])
    end_mm: Vec3 = needed("the other end", [150, 60, 40])
    diameter_mm: Length = needed("outside, with its clips", "26 mm", gt=1, lt=200)


class Corridor(Part):
    """A straight way that stays free: for a key, fingers, a plug, a connector."""

    name: Name = needed("what goes along it: findings say it", "plug of the sensor")
    start_mm: Vec3 = needed("one end of its middle line", [120, 40, 60])
    end_mm: Vec3 = needed("the other end", [120, 40, 200])
    diameter_mm: Length = needed("how wide it is", "40 mm", gt=1, lt=300)


class Carried(Part):
    """A thing the old part carried, such as a fuel-rail post, a bracket or a breather: decided, never forgotten."""

    name: Name = needed("what it is: findings say it", "fuel-rail post 1")
    fate: Literal["kept", "moved", "dropped"] | None = silent(
        None, "what becomes of it", "undecided: a stop until it is decided", example="moved"
    )


class RoomFacts(Part):
    """Where the part may be: in front of the head, out of every box, on the free side of every plane, near the old part."""

    clearance_mm: Length = assumed(4.0, "air left to everything kept out", "usual", 0.03, ge=0, le=50)
    around_old_part_mm: Length = assumed(
        15.0, "how far the new part may stand out of the old one's space", "a guess", 0.10, ge=0, le=1000
    )
    bridge_mm: Length = assumed(
        60.0, "hollows of the old part narrower than twice this count as its space", "a guess", 0.05, ge=0, le=500
    )
    use_scan: Switch = silent(True, "false: the scan places the ports but does not limit the room", "true")
    box: tuple[KeepOut, ...] = silent((), "boxes to stay out of", "none")
    plane: tuple[KeepOutSide, ...] = silent((), "planes to stay on one side of", "none")
    hose: tuple[Hose, ...] = silent((), "hoses to stay off", "none")
    corridor: tuple[Corridor, ...] = silent((), "ways that stay free", "none")
    carried: tuple[Carried, ...] = silent((), "what else the old part carried", "not said")
    carried_all: Switch = silent(
        False,
        "true where [[room.carried]] lists everything that the old part carried, or it carried nothing else",
        "not known",
    )
