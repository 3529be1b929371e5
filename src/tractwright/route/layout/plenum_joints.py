"""The joints of a plenum: runner joint under its floor, cover joint on its walls."""

from collections.abc import Sequence
from math import dist

from tractwright.design.file import Held
from tractwright.design.records import Dowel, Flange, Joint, Screw, Seal
from tractwright.geometry.contours import Contour, contour_length
from tractwright.geometry.frames import vec3
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.chamber import LAND_MM, RIM_MM, Chamber, column_thread_mm, groove_width
from tractwright.route.layout.outlines import Point, arm, box, disc, joined
from tractwright.route.layout.pads import Pad
from tractwright.route.layout.places import DOWEL_MM, Places, row_point
from tractwright.route.layout.screws import (
    head_radius,
    joint_screws,
    lug_radius,
    tapped,
)
from tractwright.standards.cords import cord, cord_length_mm, smallest_corner_radius_mm

_DOWEL_DEPTH_MM = 8.0
_UNDER_PIN_MM = 1.5
PIN_LAND_MM = 4.5
_ARM_GROWS = 0.15
"""How much an arm of the mouth flange widens towards the mouths, as a share of its length. Source: common_practice."""


def floor_flange(chamber: Chamber, joint: Joint, spots: Places, pads: Sequence[Pad]) -> Flange:
    """The floor: everything that stands on it with a rim round it, and lugs for the rim screws."""
    wall = chamber.wall_mm + RIM_MM
    base = box((0.0, 0.0), chamber.width_mm + 2 * wall, chamber.height_mm + 2 * wall, chamber.corner_mm + wall)
    lugs = [disc(place, lug_radius(chamber.screw)) for place in spots.rim]
    feet = [disc(place, lug_radius(chamber.screw) + RIM_MM) for place in spots.columns]
    pins = [disc(place, DOWEL_MM / 2 + PIN_LAND_MM) for place in spots.dowels]
    return Flange(
        name=joint.name.replace("runner", "floor"),
        piece=joint.pieces[1],
        joint=joint.name,
        frame=joint.frame,
        contour=joined([base, *lugs, *feet, *pins, *(pad.on_floor() for pad in pads)]),
        thickness_mm=chamber.floor_mm,
    )


def mouth_flange(chamber: Chamber, joint: Joint, spots: Places, sheet: JobSheet, held: Held) -> Flange:
    """The plate under the floor: round the mouths with their root blends and the seal, and out to each screw."""
    name = joint.name.replace("runner", "mouth")
    root = sheet.runner.wall_mm + sheet.runner.root_blend_mm + 1.0
    half = chamber.bore_mm / 2 + max(root, groove_width(chamber.cord_mm) + 2 * LAND_MM)
    shapes = [box((0.0, 0.0), chamber.row_mm + 2 * half, chamber.rows_mm + 2 * half, half)]
    radius = lug_radius(chamber.screw)
    for spot in spots.rim:
        foot = row_point(chamber, spot)
        shapes.append(arm(spot, radius, foot, min(half - 1.0, radius + _ARM_GROWS * dist(spot, foot))))
    shapes += [disc(pin, DOWEL_MM / 2 + PIN_LAND_MM) for pin in spots.dowels]
    below = from_behind(joint.frame)
    return Flange(
        name=name,
        piece=joint.pieces[0],
        joint=joint.name,
        frame=below,
        contour=carried(joined(shapes), joint.frame, below),
        thickness_mm=held.number(f"flange.{name}.thickness_mm", chamber.mouth_flange_mm),
    )


def rim_screws(chamber: Chamber, joint: Joint, spots: Places, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """Screws from the plenum's side through its rim into threads that go through the mouth flange."""
    fastening = tapped(joint, chamber.screw, sheet, chamber.mouth_flange_mm, through=True)
    sizes = (chamber.floor_mm, 2 * (head_radius(chamber.screw) + 0.5))
    return joint_screws(joint, fastening, held, spots.rim, sizes)


def cover_flange(chamber: Chamber, joint: Joint, spots: Places) -> Flange:
    """The cover: the outside of the box with discs over the columns."""
    outer = box(
        (0.0, 0.0),
        chamber.width_mm + 2 * chamber.wall_mm,
        chamber.height_mm + 2 * chamber.wall_mm,
        chamber.corner_mm + chamber.wall_mm,
    )
    discs = [disc(place, lug_radius(chamber.screw)) for place in spots.columns]
    return Flange(
        name=joint.name,
        piece=joint.pieces[1],
        joint=joint.name,
        frame=joint.frame,
        contour=joined([outer, *discs]),
        thickness_mm=chamber.cover_mm,
    )


def cover_screws(chamber: Chamber, joint: Joint, spots: Places, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """Screws through the cover into the columns; their post is the column."""
    fastening = tapped(joint, chamber.screw, sheet, column_thread_mm(chamber), through=False)
    return joint_screws(joint, fastening, held, spots.columns, (chamber.cover_mm, 2 * lug_radius(chamber.screw)))


def runner_seal(chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """One cord round all mouths, cut into the floor's underside."""
    groove_mm = groove_width(chamber.cord_mm)
    off = chamber.bore_mm / 2 + LAND_MM + groove_mm / 2
    width, height = chamber.row_mm + 2 * off, chamber.rows_mm + 2 * off
    return cord_seal(joint, joint.pieces[1], box((0.0, 0.0), width, height, off), sheet, held)


def cover_seal(chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """A cord over the middle of the walls, cut into the cover."""
    half = chamber.wall_mm / 2
    radius = max(chamber.corner_mm + half, smallest_corner_radius_mm(chamber.cord_mm))
    middle = box((0.0, 0.0), chamber.width_mm + 2 * half, chamber.height_mm + 2 * half, radius)
    return cord_seal(joint, joint.pieces[1], middle, sheet, held)


def dowels(chamber: Chamber, joint: Joint, spots: Places, held: Held) -> tuple[Dowel, ...]:
    """Two pins that place the plenum on the mouths."""
    plates = (chamber.mouth_flange_mm, chamber.floor_mm)
    return tuple(
        dowel(f"{joint.name}.d{k}", joint, place, plates, held) for k, place in enumerate(spots.dowels, start=1)
    )


def dowel(name: str, joint: Joint, place: Point, plates_mm: tuple[float, float], held: Held) -> Dowel:
    """A pin across a joint between two plates of those thicknesses, no deeper than leaves metal under it."""
    deep_mm = tuple(min(_DOWEL_DEPTH_MM, plate - _UNDER_PIN_MM) for plate in plates_mm)
    path = f"dowel.{name}"
    return Dowel(
        name=name,
        joint=joint.name,
        at_mm=vec3(joint.frame.to_world((*place, 0.0))),
        direction=joint.frame.z,
        diameter_mm=held.number(f"{path}.diameter_mm", DOWEL_MM),
        depth_first_mm=held.number(f"{path}.depth_first_mm", deep_mm[0]),
        depth_second_mm=held.number(f"{path}.depth_second_mm", deep_mm[1]),
    )


def cord_seal(joint: Joint, piece: str, middle: Contour, sheet: JobSheet, held: Held, name: str | None = None) -> Seal:
    """A cord in a groove of one of the joint's pieces, named as the joint unless it is one of several. middle : the groove's
    middle line, joint frame x-y.
    """
    groove = cord(sheet.joint.cord_mm)
    groove_mm = groove_width(sheet.joint.cord_mm)
    name = name or joint.name
    path = f"seal.{name}"
    return Seal(
        name=name,
        joint=joint.name,
        kind="cord",
        piece=piece,
        section_mm=sheet.joint.cord_mm,
        groove_width_mm=held.number(f"{path}.groove_width_mm", groove_mm),
        groove_depth_mm=held.number(f"{path}.groove_depth_mm", groove.depth_mm),
        path=middle,
        material=str(held.get(f"{path}.material", sheet.joint.seal_material or "")),
        length_mm=held.number(f"{path}.length_mm", cord_length_mm(contour_length(middle))),
    )
