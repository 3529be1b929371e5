"""What lies in the plane of a joint, in the joint's own x-y: outlines, openings, grooves, holes, as lines and arcs."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.check.case import Case
from tractwright.design.channel import Channel
from tractwright.design.channel_space import end_mm, flange_of, flat_half_mm, opening, way
from tractwright.design.housing import cover_of
from tractwright.design.mouths import mouth_in
from tractwright.design.passing import pass_through
from tractwright.design.records import Design, Dowel, Flange, Joint, Plenum, Screw
from tractwright.design.spacer import Spacer
from tractwright.design.spacer_space import port_contour, spacer_name, through
from tractwright.design.throttled import throttle_at
from tractwright.design.tube import Tube, centreline, tube_at
from tractwright.geometry.clipping import flattened
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.outlines import Outline, circle, outline_contour
from tractwright.geometry.placing import carried
from tractwright.packet.drawing.sheet import contour_points
from tractwright.standards.threads import thread

_ON_PLANE_MM = 1.0
_ALONG = 0.999
_ROUND = 96
_ROUND_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A hole of a joint: its number on the drawing, the description's name, place and diameter as drawn [mm], and what it
    is in the piece behind the face and in the piece in front of it.
    """

    number: str
    name: str
    x_mm: float
    y_mm: float
    diameter_mm: float
    in_first: str
    in_second: str


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Face:
    """A joint's face: outlines by piece, openings, grooves as (centreline, width; 0 for a gasket). behind : openings as they
    come out on the far side, where they lean through the plate.
    """

    joint: Joint
    outlines: tuple[tuple[str, Contour], ...]
    openings: tuple[Contour, ...]
    grooves: tuple[tuple[Contour, float], ...]
    holes: tuple[Hole, ...]
    behind: tuple[Contour, ...] = ()


def faces_of(case: Case) -> tuple[Face, ...]:
    """The face of every joint, and of every insulating spacer."""
    joints = tuple(face_of(case, joint) for joint in case.design.joints)
    return (*joints, *(spacer_face(case, spacer) for spacer in case.design.spacers))


def spacer_face(case: Case, spacer: Spacer) -> Face:
    """A spacer as seen from the manifold: its outline, its openings here and on the head, its holes."""
    design = case.design
    joint = next(item for item in design.joints if item.name == spacer.joint)
    plate = through(spacer, design)
    name = spacer_name(spacer.name)
    return Face(
        joint=replace(joint, name=name, pieces=(name, joint.pieces[1])),
        outlines=((name, spacer.contour),),
        openings=plate.openings,
        grooves=tuple((seal.path, 0.0) for seal in design.seals if seal.joint == joint.name and seal.path),
        holes=tuple(replace(hole, in_first=_in_spacer(hole)) for hole in _holes(design, joint)),
        behind=plate.on_head if plate.leans else (),
    )


def _in_spacer(hole: Hole) -> str:
    return hole.in_second.partition(", seat")[0].partition(", counterbore")[0]


def face_of(case: Case, joint: Joint) -> Face:
    """Everything in the plane of a joint."""
    design = case.design
    flanges = [flange for flange in design.flanges if flange.joint == joint.name]
    seals = [seal for seal in design.seals if seal.joint == joint.name and seal.path]
    return Face(
        joint=joint,
        outlines=tuple((f.piece, carried(_as_cut(f, design), f.frame, joint.frame)) for f in flanges),
        openings=_openings(case, joint),
        grooves=tuple((seal.path, seal.groove_width_mm) for seal in seals),
        holes=_holes(design, joint),
    )


def _as_cut(flange: Flange, design: Design) -> Contour:
    """A flange's outline with the flats milled round the mouths of its channels' drillings."""
    contour = flange.contour
    for channel in design.channels:
        if channel.edge_mm > 0.0 and flange_of(channel, design) is flange:
            along = way(channel)
            contour = flattened(contour, end_mm(channel), (float(along[0]), float(along[1])), flat_half_mm(channel))
    return contour


def _openings(case: Case, joint: Joint) -> tuple[Contour, ...]:
    makers = {"head": _ports, "split": _passages, "runner": _passages, "cover": _boxes, "neck": _bores, "body": _bores}
    return makers[joint.kind](case, joint)


def _ports(case: Case, joint: Joint) -> tuple[Contour, ...]:
    frames = {bank.name: bank.frame for bank in case.design.banks}
    found: list[Contour] = []
    for port in case.design.ports:
        frame = frames[port.bank]
        if abs(joint.frame.to_local(frame.origin_mm)[2]) < _ON_PLANE_MM:
            found.append(carried(port_contour(port), frame, joint.frame))
    return (*found, *(opening(channel) for channel in case.design.channels if channel.joint == joint.name))


def _passages(case: Case, joint: Joint) -> tuple[Contour, ...]:
    """Where runners pass through the plane inside a flange of the joint."""
    flanges = [flange for flange in case.design.flanges if flange.joint == joint.name]
    found: list[Contour] = []
    for runner in case.design.runners:
        if joint.kind == "runner" and runner.mouth.contour:
            found.append(mouth_in(runner, case.design, joint.frame))
            continue
        line = centreline(runner, case.design)
        ways = (pass_through(line, flange) for flange in flanges)
        way = next((item for item in ways if item is not None), None)
        if way is not None:
            model = tube_at(runner, case.design, np.array([way.station_mm]), _ROUND)
            found.append(_round_or_loop(_onto(joint.frame, model)))
    return tuple(found)


def _onto(frame: Frame, model: Tube) -> Array:
    """The one section of a tube moved along its own middle line into the frame's plane: (m, 2), frame x-y."""
    ring, way, normal = model.inner_mm[0], model.tangent[0], np.array(frame.z)
    height = (ring - np.array(frame.origin_mm)) @ normal
    return frame.to_local(ring - way * (height / float(way @ normal))[:, None])[:, :2]


def _round_or_loop(points: Array) -> Contour:
    """A circle where points (n, 2) evenly spread lie on one, else the closed run of lines through them, counter-clockwise."""
    middle = points.mean(axis=0)
    radii = np.linalg.norm(points - middle, axis=1)
    if float(np.ptp(radii)) < _ROUND_MM:
        return _circle_at(middle, 2.0 * float(radii.mean()))
    loop: Contour = tuple((float(x), float(y), 0.0) for x, y in points)
    return loop if contour_area(loop) > 0.0 else loop[::-1]


def _circle_at(middle: Array, diameter_mm: float) -> Contour:
    x0, y0 = float(middle[0]), float(middle[1])
    return tuple((x0 + x, y0 + y, bulge) for x, y, bulge in outline_contour(circle(diameter_mm)))


def _half_size(design: Design, joint: Joint) -> Array:
    corners = [
        contour_points(carried(flange.contour, flange.frame, joint.frame))
        for flange in design.flanges
        if flange.joint == joint.name
    ]
    return np.abs(np.concatenate(corners)).max(axis=0) if corners else np.zeros(2)


def _boxes(case: Case, joint: Joint) -> tuple[Contour, ...]:
    return tuple(
        carried(_box(plenum), plenum.frame, joint.frame)
        for plenum in case.design.plena
        if cover_of(plenum, case.design) in joint.pieces
    )


def _box(plenum: Plenum) -> Contour:
    outline = Outline(
        kind="rounded_rectangle",
        width_mm=plenum.width_mm,
        height_mm=plenum.height_mm,
        corner_radius_mm=plenum.corner_radius_mm,
    )
    x0, y0 = plenum.centre_mm
    return tuple((x0 + x, y0 + y, bulge) for x, y, bulge in outline_contour(outline))


def _bores(case: Case, joint: Joint) -> tuple[Contour, ...]:
    throttle = throttle_at(joint, case.design)
    if throttle is None or abs(float(np.dot(throttle.frame.z, joint.frame.z))) <= _ALONG:
        return ()
    x, y, _ = joint.frame.to_local(throttle.frame.origin_mm)
    reach = _half_size(case.design, joint)
    return (_circle_at(np.array([x, y]), throttle.bore_mm),) if abs(x) < reach[0] and abs(y) < reach[1] else ()


def _holes(design: Design, joint: Joint) -> tuple[Hole, ...]:
    screws = [screw for screw in design.screws if screw.joint == joint.name]
    dowels = [dowel for dowel in design.dowels if dowel.joint == joint.name]
    found = [_screw_hole(screw, joint, number) for number, screw in enumerate(screws, start=1)]
    found += [_dowel_hole(dowel, joint, number) for number, dowel in enumerate(dowels, start=1)]
    found += [
        _channel_hole(channel, number)
        for number, channel in enumerate((item for item in design.channels if item.joint == joint.name), start=1)
    ]
    return (*found, *(_body_holes(design, joint) if joint.kind == "body" else ()))


def _channel_hole(channel: Channel, number: int) -> Hole:
    """A channel's opening: its middle, and where its fitting stands."""
    x, y = channel.port_mm if channel.place == "out" else end_mm(channel)
    where = "on the outer face" if channel.place == "out" else "in the edge"
    return Hole(
        number=f"C{number}",
        name=channel.name,
        x_mm=channel.at_mm[0],
        y_mm=channel.at_mm[1],
        diameter_mm=channel.bore_mm,
        in_first="its opening (there already)",
        in_second=f"opening {channel.recess_mm:.4g} deep; {channel.thread} at {x:.2f}, {y:.2f} {where}, see Channels",
    )


def _screw_hole(screw: Screw, joint: Joint, number: int) -> Hole:
    x, y, _ = joint.frame.to_local(screw.seat_mm)
    clamped, tapped = _passed(screw), _tapped(screw)
    first = joint.pieces[0] == screw.tapped_in
    return Hole(
        number=str(number),
        name=screw.name,
        x_mm=float(x),
        y_mm=float(y),
        diameter_mm=screw.clearance_mm,
        in_first=tapped if first else clamped,
        in_second=clamped if first else tapped,
    )


def _passed(screw: Screw) -> str:
    text = f"ø{screw.clearance_mm:.4g} through"
    if screw.slot_mm > 0:
        text = f"slot {screw.clearance_mm:.4g} x {screw.clearance_mm + screw.slot_mm:.4g} through, away from the middle"
    if screw.counterbore_mm > 0:
        depth = f" x {-screw.standoff_mm:.1f}" if screw.standoff_mm < 0 else ""
        return f"{text}, counterbore ø{screw.counterbore_mm:.4g}{depth}"
    return f"{text}, seat {screw.standoff_mm:.1f} over the flange" if screw.standoff_mm > 0 else text


def _tapped(screw: Screw) -> str:
    if screw.tapped_in == "engine":
        return f"{screw.thread}, {screw.tapped_depth_mm:.4g} full thread (there already)"
    drill = thread(screw.thread).tap_drill_mm
    return f"{screw.thread}, {screw.tapped_depth_mm:.4g} full thread, drill ø{drill:.4g} x {screw.drill_depth_mm:.4g}"


def _dowel_hole(dowel: Dowel, joint: Joint, number: int) -> Hole:
    x, y, _ = joint.frame.to_local(dowel.at_mm)
    return Hole(
        number=f"D{number}",
        name=dowel.name,
        x_mm=float(x),
        y_mm=float(y),
        diameter_mm=dowel.diameter_mm,
        in_first=f"ø{dowel.diameter_mm:.4g} dowel, {dowel.depth_first_mm:.4g} deep",
        in_second=f"ø{dowel.diameter_mm:.4g} dowel, {dowel.depth_second_mm:.4g} deep",
    )


def _body_holes(design: Design, joint: Joint) -> tuple[Hole, ...]:
    """The throttle body's own screws: tapped in our flange."""
    found: list[Hole] = []
    throttle = throttle_at(joint, design)
    if throttle is not None and abs(joint.frame.to_local(throttle.frame.origin_mm)[2]) < _ON_PLANE_MM:
        size = thread(throttle.hole_thread)
        for number, place in enumerate(throttle.holes_mm, start=1):
            x, y, _ = joint.frame.to_local(throttle.frame.to_world(place))
            found.append(
                Hole(
                    number=str(number),
                    name=f"{throttle.name} throttle {number}",
                    x_mm=float(x),
                    y_mm=float(y),
                    diameter_mm=size.tap_drill_mm,
                    in_first=f"{size.designation}, drill ø{size.tap_drill_mm:.4g}",
                    in_second="the throttle body's own",
                )
            )
    return tuple(found)
