"""What lies in the plane of a joint, in the joint's own x-y: outlines, openings, grooves, holes."""

from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.design.records import Design, Dowel, Joint, Plenum, Port, Screw
from tractwright.design.tube import Tube, tube_at
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.packet.drawing.sheet import contour_points
from tractwright.standards.threads import thread

_ON_PLANE_MM = 1.0
_ROUND = 96


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
    """A joint's face as points (n, 2): outlines by piece, openings, grooves as (centreline, width; 0 for a gasket)."""

    joint: Joint
    outlines: tuple[tuple[str, Array], ...]
    openings: tuple[Array, ...]
    grooves: tuple[tuple[Array, float], ...]
    holes: tuple[Hole, ...]


def face_of(case: Case, joint: Joint) -> Face:
    """Everything in the plane of a joint."""
    design = case.design
    flanges = [flange for flange in design.flanges if flange.joint == joint.name]
    seals = [seal for seal in design.seals if seal.joint == joint.name and seal.path]
    return Face(
        joint=joint,
        outlines=tuple((f.piece, _moved(contour_points(f.contour), f.frame, joint.frame)) for f in flanges),
        openings=_openings(case, joint),
        grooves=tuple((contour_points(seal.path), seal.groove_width_mm) for seal in seals),
        holes=_holes(design, joint),
    )


def _moved(points: Array, frame: Frame, into: Frame) -> Array:
    return into.to_local(frame.to_world(points))[:, :2]


def _openings(case: Case, joint: Joint) -> tuple[Array, ...]:
    makers = {"head": _ports, "runner": _passages, "cover": _boxes, "neck": _bores, "body": _bores}
    return makers[joint.kind](case, joint)


def _ports(case: Case, joint: Joint) -> tuple[Array, ...]:
    frames = {bank.name: bank.frame for bank in case.design.banks}
    found: list[Array] = []
    for port in case.design.ports:
        frame = frames[port.bank]
        if abs(joint.frame.to_local(frame.origin_mm)[2]) < _ON_PLANE_MM:
            found.append(_moved(port_points(port), frame, joint.frame))
    return tuple(found)


def port_points(port: Port) -> Array:
    """A port's outline as points (n, 2) in its bank's x-y."""
    turn = np.radians(port.turn_deg)
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return contour_points(outline_contour(port.outline)) @ spin + np.array(port.at_mm)


def _passages(case: Case, joint: Joint) -> tuple[Array, ...]:
    """Where runners pass through the plane inside a flange of the joint."""
    reach = _half_size(case.design, joint)
    found: list[Array] = []
    for runner in case.design.runners:
        station = _crossing(case.tubes[runner.name], joint.frame)
        if station is not None:
            cut = joint.frame.to_local(tube_at(runner, case.design, np.array([station]), _ROUND).inner_mm[0])[:, :2]
            if np.all(np.abs(cut.mean(axis=0)) < reach):
                found.append(cut)
    return tuple(found)


def _half_size(design: Design, joint: Joint) -> Array:
    corners = [
        _moved(contour_points(flange.contour), flange.frame, joint.frame)
        for flange in design.flanges
        if flange.joint == joint.name
    ]
    return np.abs(np.concatenate(corners)).max(axis=0) if corners else np.zeros(2)


def _crossing(model: Tube, frame: Frame) -> float | None:
    """The station at which a centreline passes a plane last, None where it does not."""
    height = frame.to_local(model.centre_mm)[:, 2]
    passes = np.flatnonzero(height[:-1] * height[1:] <= 0.0)
    if not len(passes):
        return None
    k = int(passes[-1])
    share = height[k] / (height[k] - height[k + 1]) if height[k] != height[k + 1] else 0.0
    return float(model.s_mm[k] + share * (model.s_mm[k + 1] - model.s_mm[k]))


def _boxes(case: Case, joint: Joint) -> tuple[Array, ...]:
    return tuple(
        _moved(contour_points(_box(plenum)) + np.array(plenum.centre_mm), plenum.frame, joint.frame)
        for plenum in case.design.plena
        if abs(plenum.frame.to_local(joint.frame.origin_mm)[2] - plenum.floor_mm - plenum.depth_mm) < _ON_PLANE_MM
    )


def _box(plenum: Plenum) -> Contour:
    return outline_contour(
        Outline(
            kind="rounded_rectangle",
            width_mm=plenum.width_mm,
            height_mm=plenum.height_mm,
            corner_radius_mm=plenum.corner_radius_mm,
        )
    )


def _bores(case: Case, joint: Joint) -> tuple[Array, ...]:
    around = np.linspace(0.0, 2 * np.pi, _ROUND, endpoint=False)
    ring = np.stack([np.cos(around), np.sin(around)], axis=1)
    reach = _half_size(case.design, joint)
    found: list[Array] = []
    for throttle in case.design.throttles:
        x, y, _ = joint.frame.to_local(throttle.frame.origin_mm)
        along = abs(float(np.dot(throttle.frame.z, joint.frame.z))) > 0.999
        if along and abs(x) < reach[0] and abs(y) < reach[1]:
            found.append(ring * throttle.bore_mm / 2 + np.array([x, y]))
    return tuple(found)


def _holes(design: Design, joint: Joint) -> tuple[Hole, ...]:
    screws = [screw for screw in design.screws if screw.joint == joint.name]
    dowels = [dowel for dowel in design.dowels if dowel.joint == joint.name]
    found = [_screw_hole(screw, joint, number) for number, screw in enumerate(screws, start=1)]
    found += [_dowel_hole(dowel, joint, number) for number, dowel in enumerate(dowels, start=1)]
    return (*found, *(_body_holes(design, joint) if joint.kind == "body" else ()))


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
    for throttle in design.throttles:
        if abs(joint.frame.to_local(throttle.frame.origin_mm)[2]) >= _ON_PLANE_MM:
            continue
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
