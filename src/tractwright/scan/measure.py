"""What a scan's faces give, in the job frame: ports, head holes, throttle face, and each figure with how sure it is."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.pattern import Measurement, ProbableHole, ThrottleFace
from tractwright.design.records import HeadHole, Port
from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit, vec3
from tractwright.geometry.outlines import Outline
from tractwright.scan.faces import HeadFace, ThrottleSeat
from tractwright.scan.facts import BANK, SCREW_DEPTH_MM, cylinders_of, head_holes_at
from tractwright.scan.openings import Opening
from tractwright.scan.shapes import least_turn
from tractwright.standards.holes import clearance_hole

SAME_OUTLINE_MM = 0.4
"""Ports whose sizes differ by less than this are cut to one drawing: all take the mean outline; judgement."""
SQUARE_DEG = 1.0
"""A passage that leans less than this counts as square to the face; judgement."""
ONE_READING_MM, SLACK_MM = 0.03, 0.03
"""How far one fitted diameter scatters, and what a hole's wear and paint may add; judgement."""
FACE_SURE = 0.9
UNLIKE_MM, UNLIKE_SURE = 0.4, 0.45
"""A hole so much wider or narrower than most may be a dowel's: how sure it is a screw's at most; judgement."""
HEAD_THREADS = ("M5", "M6", "M7", "M8", "M10", "M12")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The scan's own pattern, before the sheet's facts."""

    ports: tuple[Port, ...]
    holes: tuple[HeadHole, ...]
    throttle: ThrottleFace | None
    measurements: tuple[Measurement, ...]
    notes: tuple[str, ...]
    probable: tuple[ProbableHole, ...] = ()


def measured_pattern(head: HeadFace, seat: ThrottleSeat | None, frame: Frame, cylinders: int | None) -> Measured:
    """The pattern in the job frame (frame, given in the scan's axes). cylinders : of the engine, if known."""
    found = sorted(head.ports, key=lambda port: _place(port, head, frame)[0])
    ports = one_outline(_ports(tuple(found), head, frame, cylinders))
    holes, stray = _holes(head, frame)
    throttle = _throttle(seat, frame) if seat else None
    return Measured(
        ports=ports,
        holes=holes,
        throttle=throttle,
        measurements=(
            _flatness(head),
            *_port_figures(tuple(found), ports, head.sure),
            *_hole_figures(head, holes, frame),
            *(_seat_figures(seat) if seat else ()),
        ),
        notes=(*stray, *_other_notes(head, frame), *([] if seat else ["the scan shows no throttle face"])),
    )


def _place(opening: Opening, head: HeadFace, frame: Frame) -> Array:
    """Its centre in the job frame's x-y."""
    return frame.to_local(head.cut.frame.to_world(opening.at_mm))[:2]


def _ports(found: tuple[Opening, ...], head: HeadFace, frame: Frame, cylinders: int | None) -> tuple[Port, ...]:
    feeds = cylinders_of(len(found), cylinders)
    ports: list[Port] = []
    for i, opening in enumerate(found):
        outline, turn = _turned(opening, head.cut.frame, frame)
        x, y = _place(opening, head, frame)
        ports.append(
            Port(
                name=f"p{i + 1}",
                bank=BANK,
                cylinders=feeds[i],
                at_mm=(float(x), float(y)),
                outline=outline,
                turn_deg=turn,
                axis=vec3(_axis(opening, head.cut.frame, frame)),
            )
        )
    return tuple(ports)


def _turned(opening: Opening, face: Frame, frame: Frame) -> tuple[Outline, float]:
    """The outline and its turn [deg] seen in the job frame, which looks at the face from the other side."""
    if opening.outline.kind == "loop":
        return _loop_turned(opening.outline, face, frame), 0.0
    up = frame.matrix() @ face.turn([-np.sin(opening.turn), np.cos(opening.turn), 0.0])
    outline, turn = least_turn(opening.outline, float(np.arctan2(-up[0], up[1])))
    return outline, float(np.degrees(turn))


def _loop_turned(outline: Outline, face: Frame, frame: Frame) -> Outline:
    """A loop's points about its middle, seen from the other side and still counter-clockwise."""
    flat = np.array(outline.points_mm) @ face.matrix()[:2]
    there = (flat @ frame.matrix().T)[::-1, :2]
    size = np.ptp(there, axis=0)
    return replace(
        outline,
        width_mm=float(size[0]),
        height_mm=float(size[1]),
        points_mm=tuple((float(x), float(y)) for x, y in there),
    )


def _axis(opening: Opening, face: Frame, frame: Frame) -> Array:
    """The passage's direction under the face, or the face's normal where it hardly leans."""
    lean = frame.matrix() @ face.turn([*opening.drift, 0.0])
    if np.hypot(lean[0], lean[1]) < np.tan(np.radians(SQUARE_DEG)):
        return np.array([0.0, 0.0, 1.0])
    return unit([lean[0], lean[1], 1.0])


def one_outline(ports: tuple[Port, ...]) -> tuple[Port, ...]:
    """Ports of one drawing share the mean outline and turn."""
    sizes = np.array([(port.outline.width_mm, port.outline.height_mm) for port in ports])
    kinds = {port.outline.kind for port in ports}
    turns = np.array([port.turn_deg for port in ports])
    if len(kinds) > 1 or "loop" in kinds or np.ptp(sizes, axis=0).max() > SAME_OUTLINE_MM or np.ptp(turns) > 2.0:
        return ports
    mean = replace(
        ports[0].outline,
        width_mm=float(sizes[:, 0].mean()),
        height_mm=float(sizes[:, 1].mean()),
        corner_radius_mm=float(np.mean([port.outline.corner_radius_mm for port in ports])),
        lower_corner_radius_mm=float(np.mean([port.outline.lower_corner_radius_mm for port in ports])),
    )
    return tuple(replace(port, outline=mean, turn_deg=float(turns.mean())) for port in ports)


def _holes(head: HeadFace, frame: Frame) -> tuple[tuple[HeadHole, ...], tuple[str, ...]]:
    """Head holes of the thread that most holes suit; what is left over, or unlike the others, is noted."""
    threads = [thread_for(hole.drill_mm) for hole in head.screws]
    known = [thread for thread in threads if thread]
    thread = max(set(known), key=lambda item: (known.count(item), item), default="M8")
    places = [_place(hole, head, frame) for hole in head.screws]
    fitting = tuple((float(at[0]), float(at[1])) for at, own in zip(places, threads, strict=True) if own == thread)
    usual = _usual_mm(head)
    notes: list[str] = []
    for hole, at, own in zip(head.screws, places, threads, strict=True):
        where = f"at x {at[0]:.1f}, y {at[1]:.1f} on the head face"
        if own != thread:
            notes.append(f"a round hole of {hole.size_mm:.1f} mm {where} is no {thread} hole")
        elif abs(hole.drill_mm - usual) > UNLIKE_MM:
            notes.append(
                f"the hole {where} is {hole.drill_mm:.1f} mm wide, most are {usual:.1f}: a dowel's? Look at the head"
            )
        elif hole.size_mm - hole.drill_mm > UNLIKE_MM:
            notes.append(
                f"the hole {where} is a slot of {hole.drill_mm:.1f} x {hole.size_mm:.1f} mm: its middle is taken"
            )
    return head_holes_at(fitting, thread, SCREW_DEPTH_MM, ()), tuple(notes)


def _usual_mm(head: HeadFace) -> float:
    """The width that most screw holes have: of all widths the one that most others are near to."""
    sizes = np.array([hole.drill_mm for hole in head.screws])
    near = (np.abs(sizes[:, None] - sizes) < UNLIKE_MM).sum(axis=1) if len(sizes) else np.zeros(0)
    return float(np.mean(sizes[near == near.max()])) if len(sizes) else 0.0


def thread_for(diameter_mm: float) -> str:
    """The thread whose clearance hole (ISO 273, fine to coarse, 0.25 mm more or less) this is; '' for none."""
    near: list[tuple[float, str]] = []
    for size in HEAD_THREADS:
        hole = clearance_hole(size)
        if hole.fine_mm - 0.25 <= diameter_mm <= hole.coarse_mm + 0.25:
            near.append((abs(hole.medium_mm - diameter_mm), size))
    return min(near)[1] if near else ""


def standard_hole(sizes_mm: Array, thread: str) -> float | None:
    """The clearance hole (ISO 273) that the sizes' mean is near enough to, for how much they scatter; None for none."""
    row = clearance_hole(thread)
    return nearest_standard(sizes_mm, np.array([row.fine_mm, row.medium_mm, row.coarse_mm]))


def nearest_standard(sizes_mm: Array, standards_mm: Array) -> float | None:
    """The standard size that the mean of the sizes is taken for, where there is evidence; None where there is none.

    Evidence: nearer than three standard deviations of the mean and SLACK_MM, and that is at most a fifth of the way to
    the next standard size, so that hitting one by chance is unlikely (judgement).
    """
    off = np.abs(standards_mm - sizes_mm.mean())
    best = int(np.argmin(off))
    scatter = float(sizes_mm.std(ddof=1)) if len(sizes_mm) > 1 else ONE_READING_MM
    near = 3.0 * scatter / np.sqrt(len(sizes_mm)) + SLACK_MM
    gap = float(np.min(np.abs(np.delete(standards_mm, best) - standards_mm[best])))
    return float(standards_mm[best]) if off[best] <= near <= 0.2 * gap else None


def standard_bore(size_mm: float) -> float | None:
    """The whole millimetre that a throttle's bore is taken for; None where it is not near one."""
    whole = np.round(size_mm) + np.array([-1.0, 0.0, 1.0])
    return nearest_standard(np.array([size_mm]), whole)


def _throttle(seat: ThrottleSeat, frame: Frame) -> ThrottleFace:
    """The throttle's face in the job frame: x level where it can be, else along the row."""
    origin = frame.to_local(seat.cut.frame.to_world(seat.bore.at_mm))
    z = frame.matrix() @ seat.cut.face.normal
    level = np.cross([0.0, 1.0, 0.0], z)
    own = frame_from_normal(origin, z, level if np.linalg.norm(level) > 0.2 else [1.0, 0.0, 0.0])
    holes = [own.to_local(frame.to_local(seat.cut.frame.to_world(hole.at_mm)))[:2] for hole in seat.holes]
    turn = sorted(((float(x), float(y)) for x, y in holes), key=lambda at: np.arctan2(at[1], at[0]))
    bore = standard_bore(seat.bore.size_mm) or seat.bore.size_mm
    return ThrottleFace(frame=own, bore_mm=bore, holes_mm=tuple(turn))


def _flatness(head: HeadFace) -> Measurement:
    face = head.cut.face
    sure = min(FACE_SURE, head.sure)
    return Measurement(what="head face flatness", value=face.flatness_mm, unit="mm", residual=face.spread_mm, sure=sure)


def _figure(what: str, value: float, opening: Opening, most: float, standard: float | None = None) -> Measurement:
    """One figure of an opening, no surer than most: for what the opening belongs to."""
    sure = min(opening.sure, most)
    return Measurement(what=what, value=value, unit="mm", residual=opening.residual_mm, sure=sure, standard=standard)


def _port_figures(found: tuple[Opening, ...], ports: tuple[Port, ...], most: float) -> tuple[Measurement, ...]:
    """Place and size of each port; sizes as measured, not the mean."""
    figures: list[Measurement] = []
    for opening, port in zip(found, ports, strict=True):
        width, height = _sizes_as(port, opening)
        pairs = (("x", port.at_mm[0]), ("y", port.at_mm[1]), ("width", width), ("height", height))
        figures += [_figure(f"port {port.name} {name}", value, opening, most) for name, value in pairs]
        if port.outline.kind in ("rounded_rectangle", "d"):
            figures.append(_figure(f"port {port.name} corner radius", opening.outline.corner_radius_mm, opening, most))
    return tuple(figures)


def _sizes_as(port: Port, opening: Opening) -> tuple[float, float]:
    """Width and height as measured, in the order the port has them."""
    own = opening.outline
    if own.kind == "loop":
        return port.outline.width_mm, port.outline.height_mm
    level = (own.width_mm >= own.height_mm) == (port.outline.width_mm >= port.outline.height_mm)
    return (own.width_mm, own.height_mm) if level else (own.height_mm, own.width_mm)


def _hole_figures(head: HeadFace, holes: tuple[HeadHole, ...], frame: Frame) -> tuple[Measurement, ...]:
    found = [(hole, _opening_at(head, frame, hole)) for hole in holes]
    sizes = np.array([opening.drill_mm for _, opening in found])
    usual = _usual_mm(head)
    standard = standard_hole(sizes, holes[0].thread) if holes else None
    figures: list[Measurement] = []
    for hole, opening in found:
        most = UNLIKE_SURE if abs(opening.drill_mm - usual) > UNLIKE_MM else head.sure
        pairs = (("x", hole.at_mm[0], None), ("y", hole.at_mm[1], None), ("diameter", opening.drill_mm, standard))
        figures += [_figure(f"hole {hole.name} {name}", value, opening, most, size) for name, value, size in pairs]
    return tuple(figures)


def _opening_at(head: HeadFace, frame: Frame, hole: HeadHole) -> Opening:
    away = [float(np.linalg.norm(_place(opening, head, frame) - hole.at_mm)) for opening in head.screws]
    return head.screws[int(np.argmin(away))]


def _seat_figures(seat: ThrottleSeat) -> tuple[Measurement, ...]:
    return (
        _figure("throttle bore", seat.bore.size_mm, seat.bore, seat.sure, standard_bore(seat.bore.size_mm)),
        *(
            _figure(f"throttle hole {n + 1} diameter", hole.size_mm, hole, seat.sure)
            for n, hole in enumerate(seat.holes)
        ),
    )


def _other_notes(head: HeadFace, frame: Frame) -> tuple[str, ...]:
    """Openings that are no ports, and faces that may be the head's as well, are said, so that none is forgotten."""
    notes: list[str] = []
    for opening in head.others:
        size = f"{opening.outline.width_mm:.1f} x {opening.outline.height_mm:.1f} mm"
        notes.append(f"a further opening of {size} {_where(opening.at_mm, head, frame)}: keep, move or drop it")
    for rim in head.vague:
        middle = (rim.points_mm.max(axis=0) + rim.points_mm.min(axis=0)) / 2.0
        size = f"about {rim.size_mm:.0f} mm {_where(middle, head, frame)}"
        notes.append(f"a further opening of {size} could not be measured: keep, move or drop it")
    if head.sure < FACE_SURE:
        points = " or ".join(f"[{', '.join(f'{value:.0f}' for value in at)}]" for at in face_points(head)[1:])
        notes.append(
            f"not sure which face is the head's: the one with a port at {points} mm in the scan's axes may be it as "
            "well; [scan] head_face_at, a point on it, says"
        )
    return tuple(notes)


def face_points(head: HeadFace) -> tuple[Array, ...]:
    """The first port's middle (3,) on a head face and on each face like it, in the scan's axes: what a person may pick."""
    return tuple(face.cut.frame.to_world(face.ports[0].at_mm) for face in (head, *head.likes) if face.ports)


def _where(at: Array, head: HeadFace, frame: Frame) -> str:
    x, y = frame.to_local(head.cut.frame.to_world(at))[:2]
    return f"at x {x:.1f}, y {y:.1f} on the head face"
