"""The joint to the head: flange with metal only where it works, screws at the head's own holes."""

from collections.abc import Sequence
from math import floor, inf, sqrt

import numpy as np
import shapely

from tractwright.design.channel import Channel
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Flange, HeadHole, Joint, Port, Screw, Seal
from tractwright.design.spacer import Spacer
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Frame, Vec3, vec3
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import KeyWay
from tractwright.route.layout.channels import arms, channels_on, lands, ways_to
from tractwright.route.layout.head_shapes import lugs, port_land, row_bars
from tractwright.route.layout.outlines import Point, joined, moved
from tractwright.route.layout.root_sizes import root_between
from tractwright.route.layout.screws import (
    Fastening,
    head_radius,
    joint_path,
    lift_for_stock_mm,
    make_screw,
)
from tractwright.standards.classes import class_in_system
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head

_PIECE = "head"
_BLEND_LAND_MM = 1.5
_LEAST_STANDOFF_MM = 3.0
_LEAST_BLEND_MM = 4.0
"""A lower post is no post: a cutter leaves less than its own corner. Source: common_practice."""
_MOST_MORE_MM = 2.0
_MORE_MM = 0.1
"""So much wider is a root's land than its port's, that no edges of the two coincide."""
_HEAD_ROOM_MM = 0.55
"""Between a head and a skin's blend: a hair over what the check asks for."""
_KEY_WAY_MM = 90.0
_HEAD_WAY_MM = 14.0
_ELLIPSE_MM = 0.3
"""The course takes sections for ellipses: that much a true skin may stand nearer."""


def suffix_of(bank: Bank, pattern: Pattern) -> str:
    """What the names of a head's joint and flange end in: the bank's name where there are several."""
    return bank.name if len(pattern.banks) > 1 else ""


def head_joint(bank: Bank, suffix: str) -> Joint:
    """The joint in the bank's face. One head piece lies on all heads."""
    return Joint(
        name=joint_path("head", suffix),
        kind="head",
        pieces=("engine", _PIECE),
        frame=bank.frame,
    )


def head_flange(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> Flange:
    """Lands round the ports, lugs round the screws, bars between: rounded into one outline."""
    name = joint_path("head", suffix)
    shapes = _shapes(bank, suffix, pattern, sheet, held)
    channels = head_channels(bank, suffix, pattern, sheet, held)
    ports = [port.at_mm for port in pattern.ports if port.bank == bank.name]
    return Flange(
        name=name,
        piece=_PIECE,
        joint=name,
        frame=bank.frame,
        contour=joined(shapes + arms(channels, ports, sheet)),
        thickness_mm=head_thickness(bank, suffix, pattern, sheet, held),
    )


def head_channels(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> tuple[Channel, ...]:
    """The channels through the flange on a head, their fittings clear of its outline."""
    facts = [item for item in sheet.channel if item.side is None or item.side == bank.name]
    if not facts:
        return ()
    thickness = head_thickness(bank, suffix, pattern, sheet, held)
    shapes = _shapes(bank, suffix, pattern, sheet, held)
    return channels_on(joint_path("head", suffix), facts, shapes, thickness, held)


def _shapes(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> list[Contour]:
    """Lands round the ports, lugs round the screws, bars between."""
    ports = [port for port in pattern.ports if port.bank == bank.name]
    holes = [hole for hole in pattern.head_holes if hole.bank == bank.name]
    land = sheet.runner.wall_mm + sheet.runner.root_blend_mm + _BLEND_LAND_MM
    thickness = head_thickness(bank, suffix, pattern, sheet, held)
    roots = [
        moved(port_land(port, land + _MORE_MM + _leaning(port, bank, sheet)), drift)
        for port, drift in zip(ports, _drifts(ports, bank, thickness), strict=True)
    ]
    return [port_land(port, land) for port in ports] + roots + row_bars(ports, land) + lugs(ports, holes)


def head_thickness(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> float:
    """Thickness of the head flange [mm]: the sheet's; where it is silent, a little more if that suits a stock length."""
    name = joint_path("head", suffix)
    thickness = sheet.head.flange_mm
    if "flange_mm" not in sheet.head.model_fields_set:
        holes = [hole for hole in pattern.head_holes if hole.bank == bank.name]
        more = max((lift_for_stock_mm(_fastening(name, hole, sheet), thickness) for hole in holes), default=0.0)
        thickness += more if more <= _MOST_MORE_MM else 0.0
    return held.number(f"flange.{name}.thickness_mm", thickness)


def head_screws(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """A screw at each hole of the head's pattern, its seat raised clear of root blends, and to suit a stock length."""
    name = joint_path("head", suffix)
    ports = [port for port in pattern.ports if port.bank == bank.name]
    holes = sorted((h for h in pattern.head_holes if h.bank == bank.name), key=lambda h: (h.at_mm[0], h.at_mm[1]))
    thickness = head_thickness(bank, suffix, pattern, sheet, held)
    blends = port_blends(bank, suffix, pattern, sheet, held)
    skins = _skins(ports, bank, sheet, thickness)
    radii, slopes = [blends[port.name] for port in ports], _drifts(ports, bank, 1.0)
    clear = [_clear_of_roots(hole, skins, radii, slopes) for hole in holes]
    found: list[Screw] = []
    for number, (hole, lift) in enumerate(zip(holes, clear, strict=True), start=1):
        screw = f"{name}.s{number}"
        fastening = _fastening(name, hole, sheet)
        fitting = lift + lift_for_stock_mm(fastening, thickness + lift)
        standoff = held.number(f"screw.{screw}.standoff_mm", fitting)
        seat = vec3(bank.frame.to_world((*hole.at_mm, thickness + standoff)))
        post = 2 * (head_radius(hole.thread) + 1.0)
        direction = vec3(-np.array(bank.frame.z))
        found.append(make_screw(screw, fastening, held, (seat, direction), (thickness + standoff, standoff, post)))
    return tuple(found)


def _fastening(joint: str, hole: HeadHole, sheet: JobSheet) -> Fastening:
    return Fastening(
        joint=joint,
        thread=hole.thread,
        property_class=class_in_system(hole.thread, sheet.joint.property_class),
        tapped_in="engine",
        metal=sheet.head.material,
        thread_mm=hole.depth_mm,
        through=False,
        nut_factor=sheet.joint.nut_factor,
        gasket_mm=before_thread_mm(sheet),
    )


def before_thread_mm(sheet: JobSheet) -> float:
    """Between the flange and the thread in the head [mm]: a gasket; with an insulating spacer that, and a gasket on either
    face of it.
    """
    gasket = sheet.head.gasket_mm
    return gasket if sheet.spacer is None else sheet.spacer.thickness_mm + 2.0 * gasket


def spacers_of(flanges: Sequence[Flange], sheet: JobSheet) -> tuple[Spacer, ...]:
    """An insulating spacer under each of these flanges, flush with it; none where the sheet asks for none."""
    facts = sheet.spacer
    if facts is None:
        return ()
    return tuple(
        Spacer(
            name=flange.name,
            joint=flange.joint,
            material=facts.material,
            thickness_mm=facts.thickness_mm,
            contour=flange.contour,
        )
        for flange in flanges
    )


def port_blends(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> dict[str, float]:
    """The root radius of the runner of each port [mm]: the sheet's, or as much as ports beside it leave room for; where the
    sheet is silent, as much less as lets the screw heads beside it stay on the flange, if a cutter worth having still goes
    round.
    """
    ports = [port for port in pattern.ports if port.bank == bank.name]
    holes = [hole for hole in pattern.head_holes if hole.bank == bank.name]
    skins = _skins(ports, bank, sheet, head_thickness(bank, suffix, pattern, sheet, held))
    silent = "root_blend_mm" not in sheet.runner.model_fields_set
    found: dict[str, float] = {}
    for port, skin in zip(ports, skins, strict=True):
        beside = min((float(skin.distance(other)) for other in skins if other is not skin), default=inf)
        wanted = root_between(sheet.runner.root_blend_mm, beside)
        room = floor(2 * min((_beside(skin, hole) for hole in holes), default=wanted)) / 2
        found[port.name] = min(wanted, room) if silent and room >= _LEAST_BLEND_MM else wanted
    return found


def _clear_of_roots(hole: HeadHole, skins: list[shapely.Polygon], radii_mm: list[float], slopes: list[Point]) -> float:
    """Height over the flange at which a screw's head clears the root blends of the skins beside it [mm].

    A blend of radius R is R - sqrt(R^2 - (R - h)^2) wide at height h; the skin itself leans by its port's slope. Where no
    height is clear, the top of the blends: the course has to lead away from there.
    """
    highest = max(radii_mm, default=0.0)
    heights = [0.0, *np.arange(_LEAST_STANDOFF_MM, max(highest, _LEAST_STANDOFF_MM) + 0.5, 0.5).tolist()]
    for height in heights:
        gaps = [
            _beside(skin, hole, (slope[0] * height, slope[1] * height)) - _blend_width(radius, height)
            for skin, radius, slope in zip(skins, radii_mm, slopes, strict=True)
        ]
        if min(gaps, default=0.0) >= 0.0:
            return height
    return heights[-1]


def _blend_width(radius_mm: float, height_mm: float) -> float:
    left = max(radius_mm - height_mm, 0.0)
    return radius_mm - sqrt(radius_mm**2 - left**2)


def _beside(skin: shapely.Polygon, hole: HeadHole, leant_mm: Point = (0.0, 0.0)) -> float:
    """Ground left between a skin, leant so far over, and a screw's washer, less the room a head wants [mm]."""
    place = shapely.Point(hole.at_mm[0] - leant_mm[0], hole.at_mm[1] - leant_mm[1])
    return float(skin.distance(place)) - head_radius(hole.thread) - _HEAD_ROOM_MM


def _skins(ports: list[Port], bank: Bank, sheet: JobSheet, thickness_mm: float) -> list[shapely.Polygon]:
    """Where each runner's skin goes through the flange's outer face."""
    return [
        shapely.Polygon(polyline(moved(port_land(port, sheet.runner.wall_mm), drift)))
        for port, drift in zip(ports, _drifts(ports, bank, thickness_mm), strict=True)
    ]


def _leaning(port: Port, bank: Bank, sheet: JobSheet) -> float:
    """How much further than wall and radius a root's blend reaches on the acute side of a leaning skin [mm].

    In the flange's face a wall that leans by t is 1 / cos t as wide; a ball of radius R between the two touches the face
    R tan(45 deg + t/2) from the wall.
    """
    square = float(np.clip(np.dot(port.axis, bank.frame.z), -1.0, 1.0))
    wider = sheet.runner.wall_mm * (1.0 / square - 1.0)
    return wider + sheet.runner.root_blend_mm * (float(np.tan(np.pi / 4 + np.arccos(square) / 2)) - 1.0)


def _drifts(ports: list[Port], bank: Bank, thickness_mm: float) -> list[tuple[float, float]]:
    """How far each slanting port's axis has moved in the face's x-y by the flange's outer face [mm]."""
    local = [bank.frame.matrix() @ np.array(port.axis) for port in ports]
    return [(float(a[0] / a[2]) * thickness_mm, float(a[1] / a[2]) * thickness_mm) for a in local]


def head_gasket(bank: Bank, suffix: str, pattern: Pattern, sheet: JobSheet, held: Held) -> Seal:
    """The sheet gasket between head and manifold, one on each face of a spacer; its path goes round ports and channels."""
    ports = [port for port in pattern.ports if port.bank == bank.name]
    name = joint_path("head", suffix)
    shapes = [port_land(port, 4.0) for port in ports] + row_bars(ports, 4.0)
    shapes += lands(head_channels(bank, suffix, pattern, sheet, held), [port.at_mm for port in ports], 4.0)
    return Seal(
        name=name,
        joint=name,
        kind="gasket",
        piece=_PIECE,
        section_mm=sheet.head.gasket_mm,
        groove_width_mm=0.0,
        groove_depth_mm=0.0,
        path=joined(shapes),
        material=sheet.joint.seal_material or "",
    )


def key_ways(screws: tuple[Screw, ...], channels: Sequence[tuple[Channel, Frame, float]]) -> tuple[KeyWay, ...]:
    """What runners leave free over each head screw, its head and the key straight over it, and over each channel's fitting.

    channels : each with the frame and the thickness of its flange.
    """
    found: list[KeyWay] = []
    for screw in screws:
        out: Vec3 = vec3(-np.array(screw.direction))
        head = head_radius(screw.thread) + _HEAD_ROOM_MM + _ELLIPSE_MM
        key = hex_key(screw_head("cap", screw.thread).key_mm).across_corners_mm / 2 + 1.0
        found.append(KeyWay(start_mm=screw.seat_mm, direction=out, length_mm=_HEAD_WAY_MM, radius_mm=head))
        found.append(KeyWay(start_mm=screw.seat_mm, direction=out, length_mm=_KEY_WAY_MM, radius_mm=key))
    found += [way for item in channels for way in ways_to(*item)]
    return tuple(found)
