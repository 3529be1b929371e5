"""What meets a piece of the user's own: its plates, the floor on its outline, the cord round its mouths."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from tractwright.design.file import Held
from tractwright.design.records import Flange, Joint, Seal
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, counter_clockwise, polyline
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.outlines import outline_contour
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.sheet import JobSheet
from tractwright.own.head_records import OwnHead, OwnRunner
from tractwright.route.layout.chamber import LAND_MM, RIM_MM, Chamber, groove_width
from tractwright.route.layout.outlines import bar, box, disc, joined
from tractwright.route.layout.pads import Pad
from tractwright.route.layout.places import DOWEL_MM, Places
from tractwright.route.layout.plenum_joints import PIN_LAND_MM, cord_seal
from tractwright.route.layout.screws import lug_radius
from tractwright.route.onto.holes import rim_holes
from tractwright.standards.cords import cord

_OUT_OF_ROW_MM = 0.3
"""Mouths so little out of one row are taken to stand in it."""
_ROW = 2


def own_flanges(own: OwnHead, joint: Joint) -> tuple[Flange, Flange]:
    """The two plates that the piece has: on the head, and round the mouths."""
    below = from_behind(joint.frame)
    head = Flange(
        name="head",
        piece="head",
        joint="head",
        frame=own.bank.frame,
        contour=own.head_outline,
        thickness_mm=own.head_mm,
    )
    mouth = Flange(
        name="mouth",
        piece="head",
        joint=joint.name,
        frame=below,
        contour=carried(own.mouth_outline, joint.frame, below),
        thickness_mm=own.mouth_mm,
    )
    return head, mouth


def floor_onto(own: OwnHead, chamber: Chamber, joint: Joint, spots: Places, pads: Sequence[Pad]) -> Flange:
    """The floor: the piece's own outline, and whatever stands on the floor with its rim where that reaches further."""
    wall = chamber.wall_mm + RIM_MM
    base = box((0.0, 0.0), chamber.width_mm + 2 * wall, chamber.height_mm + 2 * wall, chamber.corner_mm + wall)
    lugs = [disc(hole.at_mm, lug_radius(hole.thread)) for hole in rim_holes(own)]
    feet = [disc(place, lug_radius(chamber.screw) + RIM_MM) for place in spots.columns]
    pins = [disc(place, DOWEL_MM / 2 + PIN_LAND_MM) for place in spots.dowels]
    shapes = [base, *lugs, *feet, *pins, *(pad.on_floor() for pad in pads)]
    return Flange(
        name="floor",
        piece=joint.pieces[1],
        joint=joint.name,
        frame=joint.frame,
        contour=_round_all(own.mouth_outline, shapes),
        thickness_mm=chamber.floor_mm,
    )


def _round_all(own: Contour, shapes: list[Contour]) -> Contour:
    """The piece's outline where it holds all the shapes; else the outline round it and them; else round them alone."""
    ground = shapely.Polygon(polyline(own, 0.01)).buffer(0.01)
    if all(ground.contains(shapely.Polygon(polyline(shape, 0.01))) for shape in shapes):
        return own
    try:
        return joined([own, *shapes])
    except KernelError:
        return joined(shapes)


def seal_onto(own: OwnHead, chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """The cord in the piece's own groove round all mouths, where it has one; else in a groove of the floor."""
    mouths = [shapely.Point(runner.mouth_mm) for runner in own.runners]
    for groove in own.grooves:
        if all(shapely.Polygon(polyline(groove.path)).contains(mouth) for mouth in mouths):
            seal = cord_seal(joint, joint.pieces[0], groove.path, sheet, held)
            return replace(seal, groove_width_mm=groove.width_mm, groove_depth_mm=groove.depth_mm)
    return cord_seal(joint, joint.pieces[1], _round_mouths(own, chamber), sheet, held)


def _round_mouths(own: OwnHead, chamber: Chamber) -> Contour:
    """Round all mouths, a land off them, down to where the groove ends, and nowhere turning inwards."""
    off, deep = LAND_MM + groove_width(chamber.cord_mm) / 2, cord(chamber.cord_mm).depth_mm
    reach = max(_reach(runner) + deep * float(np.tan(np.radians(runner.lean_deg))) for runner in own.runners)
    middles = shapely.MultiPoint([runner.mouth_mm for runner in own.runners])
    hull = shapely.get_coordinates(shapely.simplify(middles.convex_hull, _OUT_OF_ROW_MM))
    places = [(float(x), float(y)) for x, y in hull]
    radius = reach + off + _OUT_OF_ROW_MM
    if len(places) <= _ROW:
        return bar(places[0], places[-1], radius)
    return offset_contour(counter_clockwise(tuple((x, y, 0.0) for x, y in places[:-1])), radius)


def _reach(runner: OwnRunner) -> float:
    points = polyline(outline_contour(runner.outline))
    return float(np.hypot(*points.T).max())
