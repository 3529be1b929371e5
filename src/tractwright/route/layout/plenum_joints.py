"""The joints of a plenum: runner joint under its floor, cover joint on its walls. Screws alternate along the long sides."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.file import Held
from tractwright.design.records import Dowel, Flange, Joint, Screw, Seal
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import vec3
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.chamber import LAND_MM, RIM_MM, ROOT_MM, Chamber, groove_width
from tractwright.route.layout.outlines import Point, bar, box, disc, joined
from tractwright.route.layout.screws import Fastening, head_radius, lug_radius, make_screw
from tractwright.standards.cords import cord, smallest_corner_radius_mm
from tractwright.standards.threads import thread

_WIDEST_MM = 72.0
"""Screw to screw along a sealed edge, before the bow is computed. Source: common_practice."""
_DOWEL_MM = 6.0
_DOWEL_DEPTH_MM = 8.0
_PIN_LAND_MM = 4.5
_ARM_SHARE = 0.8
_WANTED_DIAMETERS = 1.6
_COVER_THREAD_DIAMETERS = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where the screws of a plenum stand, plenum frame x-y: rim screws, cover columns, dowels."""

    rim: tuple[Point, ...]
    columns: tuple[Point, ...]
    dowels: tuple[Point, ...]


def places(chamber: Chamber, blocked_ends: frozenset[str]) -> Places:
    """Columns at even steps along both long sides, rim screws midway between them and round the corners.

    blocked_ends : 'end_1' (-x) or 'end_2' (+x), where a throttle stands: no column in the middle of that end. The two
    dowels stand off the middle by different amounts, so that the pieces go together one way only.
    """
    half_x = chamber.width_mm / 2 - chamber.corner_mm
    least = 2 * (lug_radius(chamber.screw) + ROOT_MM + head_radius(chamber.screw) + 1.0)
    intervals = max(1, min(int(np.ceil(2 * half_x / _WIDEST_MM)), int(2 * half_x / least)))
    steps = np.linspace(-half_x, half_x, intervals + 1)
    column_y, rim_y = chamber.height_mm / 2 + chamber.column_mm, chamber.height_mm / 2 + chamber.rim_screw_mm
    columns = [(float(x), side * column_y) for side in (-1.0, 1.0) for x in steps]
    middles = (steps[:-1] + steps[1:]) / 2
    rim = [(float(x), side * rim_y) for side in (-1.0, 1.0) for x in middles]
    rim += _corners(chamber)
    for end, way in (("end_1", -1.0), ("end_2", 1.0)):
        if end not in blocked_ends:
            columns.append((way * (chamber.width_mm / 2 + chamber.column_mm), 0.0))
    first, last = float(middles[0] + steps[0]) / 2, float(middles[-1] + steps[-1]) / 2
    dowels = ((first, rim_y), (last, -rim_y))
    return Places(rim=tuple(sorted(rim)), columns=tuple(sorted(columns)), dowels=dowels)


def floor_flange(chamber: Chamber, joint: Joint, spots: Places, pad: Contour | None) -> Flange:
    """The floor: everything that stands on it with a rim round it, and lugs for the rim screws.

    pad : the outline of a neck's pad on one of the walls, grown by the rim; None where the neck stands on the cover.
    """
    wall = chamber.wall_mm + RIM_MM
    base = box((0.0, 0.0), chamber.width_mm + 2 * wall, chamber.height_mm + 2 * wall, chamber.corner_mm + wall)
    lugs = [disc(place, lug_radius(chamber.screw)) for place in spots.rim]
    feet = [disc(place, lug_radius(chamber.screw) + RIM_MM) for place in spots.columns]
    pins = [disc(place, _DOWEL_MM / 2 + _PIN_LAND_MM) for place in spots.dowels]
    return Flange(
        name=joint.name.replace("runner", "floor"),
        piece=joint.pieces[1],
        joint=joint.name,
        frame=joint.frame,
        contour=joined([base, *lugs, *feet, *pins, *([pad] if pad else [])]),
        thickness_mm=chamber.floor_mm,
    )


def mouth_flange(chamber: Chamber, joint: Joint, spots: Places, sheet: JobSheet, held: Held) -> Flange:
    """The plate under the floor: round the mouths with their root blends and the seal, and out to each screw."""
    name = joint.name.replace("runner", "mouth")
    root = sheet.runner.wall_mm + sheet.runner.root_blend_mm + 1.0
    half = chamber.bore_mm / 2 + max(root, groove_width(chamber.cord_mm) + 2 * LAND_MM)
    row = (chamber.mouths - 1) * chamber.pitch_mm / 2
    shapes = [bar((-row, 0.0), (row, 0.0), half)]
    for spot, radius in [(spot, lug_radius(chamber.screw)) for spot in spots.rim] + [
        (spot, _DOWEL_MM / 2 + _PIN_LAND_MM) for spot in spots.dowels
    ]:
        inner = (min(max(spot[0], -row), row), 0.0)
        shapes += [disc(spot, radius), bar(spot, inner, radius * _ARM_SHARE)]
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
    fastening = Fastening(
        joint=joint.name,
        thread=chamber.screw,
        property_class=sheet.joint.property_class,
        tapped_in=joint.pieces[0],
        thread_mm=chamber.mouth_flange_mm,
        wanted_mm=min(_WANTED_DIAMETERS * thread(chamber.screw).major_mm, chamber.mouth_flange_mm),
        through=True,
        nut_factor=sheet.joint.nut_factor,
    )
    down = vec3(-np.array(joint.frame.z))
    seats = [vec3(joint.frame.to_world((*place, chamber.floor_mm))) for place in spots.rim]
    sizes = (chamber.floor_mm, 0.0, 2 * (head_radius(chamber.screw) + 0.5))
    return tuple(
        make_screw(f"{joint.name}.s{k}", fastening, held, (seat, down), sizes) for k, seat in enumerate(seats, start=1)
    )


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
    depth = _COVER_THREAD_DIAMETERS * thread(chamber.screw).major_mm + 2.0
    fastening = Fastening(
        joint=joint.name,
        thread=chamber.screw,
        property_class=sheet.joint.property_class,
        tapped_in=joint.pieces[0],
        thread_mm=depth,
        wanted_mm=_WANTED_DIAMETERS * thread(chamber.screw).major_mm,
        through=False,
        nut_factor=sheet.joint.nut_factor,
    )
    down = vec3(-np.array(joint.frame.z))
    seats = [vec3(joint.frame.to_world((*place, chamber.cover_mm))) for place in spots.columns]
    sizes = (chamber.cover_mm, 0.0, 2 * lug_radius(chamber.screw))
    return tuple(
        make_screw(f"{joint.name}.s{k}", fastening, held, (seat, down), sizes) for k, seat in enumerate(seats, start=1)
    )


def runner_seal(chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """One cord round all mouths, cut into the floor's underside."""
    groove_mm = groove_width(chamber.cord_mm)
    off = chamber.bore_mm / 2 + LAND_MM + groove_mm / 2
    width, height = (chamber.mouths - 1) * chamber.pitch_mm + 2 * off, 2 * off
    return _cord(joint, joint.pieces[1], (width, height, off), sheet, held)


def cover_seal(chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """A cord over the middle of the walls, cut into the cover."""
    half = chamber.wall_mm / 2
    radius = max(chamber.corner_mm + half, smallest_corner_radius_mm(chamber.cord_mm))
    sizes = (chamber.width_mm + 2 * half, chamber.height_mm + 2 * half, radius)
    return _cord(joint, joint.pieces[1], sizes, sheet, held)


def dowels(joint: Joint, spots: Places) -> tuple[Dowel, ...]:
    """Two pins that place the plenum on the mouths."""
    return tuple(
        Dowel(
            name=f"{joint.name}.d{k}",
            joint=joint.name,
            at_mm=vec3(joint.frame.to_world((*place, 0.0))),
            direction=joint.frame.z,
            diameter_mm=_DOWEL_MM,
            depth_first_mm=_DOWEL_DEPTH_MM,
            depth_second_mm=_DOWEL_DEPTH_MM,
        )
        for k, place in enumerate(spots.dowels, start=1)
    )


def _cord(joint: Joint, piece: str, sizes: tuple[float, float, float], sheet: JobSheet, held: Held) -> Seal:
    groove = cord(sheet.joint.cord_mm)
    groove_mm = groove_width(sheet.joint.cord_mm)
    width, height, radius = sizes
    path = f"seal.{joint.name}"
    return Seal(
        name=joint.name,
        joint=joint.name,
        kind="cord",
        piece=piece,
        section_mm=sheet.joint.cord_mm,
        groove_width_mm=held.number(f"{path}.groove_width_mm", groove_mm),
        groove_depth_mm=held.number(f"{path}.groove_depth_mm", groove.depth_mm),
        path=box((0.0, 0.0), width, height, radius),
        material=sheet.joint.seal_material or "",
    )


def _corners(chamber: Chamber) -> list[Point]:
    """A rim screw round each corner, as far out of the wall as the others."""
    out = (chamber.corner_mm + chamber.rim_screw_mm) / np.sqrt(2.0)
    x = chamber.width_mm / 2 - chamber.corner_mm + out
    y = chamber.height_mm / 2 - chamber.corner_mm + out
    return [(float(sx * x), float(sy * y)) for sx in (-1.0, 1.0) for sy in (-1.0, 1.0)]
