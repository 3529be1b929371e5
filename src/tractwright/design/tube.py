"""The fast model of a runner: its centreline and its inner and outer skin as stations x angles of points."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.mouths import arrival, ground_of
from tractwright.design.records import Design, Port, Runner, Schedule
from tractwright.geometry.contours import contour_area, spread_points
from tractwright.geometry.curves import course_at
from tractwright.geometry.frames import Array, Frame, carried_frames, unit
from tractwright.geometry.outlines import circle, outline_area, outline_contour, outline_points

_FINE = 801


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Centreline:
    """A runner's centreline finely sampled: arc length s_mm (n,) from the head face, points and unit tangents (n, 3)."""

    s_mm: Array
    points_mm: Array
    tangents: Array

    @property
    def length_mm(self) -> float:
        """From the head face to the plenum floor's inner face."""
        return float(self.s_mm[-1])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Tube:
    """Stations along a runner from the head face to the mouth.

    s_mm, area_mm2, wall_mm, curvature_per_mm, half_mm (largest inner half size) : (n,); centre_mm, tangent, u, v : (n, 3),
    u cross v = tangent, u starts along the bank's x; inner_mm, outer_mm : (n, m, 3), rows facing each other.
    """

    s_mm: Array
    centre_mm: Array
    tangent: Array
    u: Array
    v: Array
    area_mm2: Array
    wall_mm: Array
    curvature_per_mm: Array
    half_mm: Array
    inner_mm: Array
    outer_mm: Array


def schedule_at(schedule: Schedule, fraction: Array) -> Array:
    """A schedule's value at fractions of the length."""
    places, values = np.array(schedule).T
    return np.interp(fraction, places, values)


def centreline(runner: Runner, design: Design) -> Centreline:
    """The whole centreline: port lead, curve, mouth lead. A runner fed by several ports starts at their middle."""
    start, axis = _port_start(runner, design)
    into = arrival(runner.mouth, ground_of(runner, design))
    points, first, _ = course_at(np.array(runner.poles_mm), np.linspace(0.0, 1.0, _FINE))
    lead = np.linspace(0.0, 1.0, 33)[:, None]
    head = start + axis * (lead[:-1] if runner.port_lead_mm > 0 else lead[:0]) * runner.port_lead_mm
    tail = points[-1] + into * (lead[1:] if runner.mouth_lead_mm > 0 else lead[:0]) * runner.mouth_lead_mm
    path = np.concatenate([head, points, tail])
    tangents = np.concatenate([np.tile(axis, (len(head), 1)), unit(first), np.tile(into, (len(tail), 1))])
    s = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    return Centreline(s_mm=s, points_mm=path, tangents=tangents)


def tube(runner: Runner, design: Design, stations: int = 65, angles: int = 48) -> Tube:
    """The fast model at evenly spread stations."""
    line = centreline(runner, design)
    return tube_at(runner, design, np.linspace(0.0, line.length_mm, stations), angles)


def tube_at(runner: Runner, design: Design, s_mm: Array, angles: int, extra_mm: Array | float = 0.0) -> Tube:
    """The fast model at chosen stations; before 0 and past the end the tube goes on straight.

    extra_mm : added to the outer skin's offset at each station, for root blends.
    """
    line = centreline(runner, design)
    centre, tangent = _along(line, s_mm)
    first_x = np.array(_bank_frame(runner, design).x)
    u, v = _cross_axes(line, s_mm, first_x)
    fraction = np.clip(s_mm / line.length_mm, 0.0, 1.0)
    area = schedule_at(runner.area_mm2, fraction)
    wall = schedule_at(runner.wall_mm, fraction)
    inner, outer = _section_points(runner, design, fraction, area, wall + extra_mm, angles)
    axes = np.stack([u, v], axis=1)
    return Tube(
        s_mm=s_mm,
        centre_mm=centre,
        tangent=tangent,
        u=u,
        v=v,
        area_mm2=area,
        wall_mm=wall,
        curvature_per_mm=_curvature(line, s_mm),
        half_mm=np.linalg.norm(inner, axis=2).max(axis=1),
        inner_mm=centre[:, None, :] + inner @ axes,
        outer_mm=centre[:, None, :] + outer @ axes,
    )


def sections_at(runner: Runner, design: Design, fraction: Array, angles: int) -> tuple[Array, Array]:
    """Inner and outer section (n, m, 2) in the cross axes at fractions of the length, without a centreline.

    Section 0 is the port's opening in the head face, seen along the port's axis; rows of both face each other.
    """
    area, wall = schedule_at(runner.area_mm2, fraction), schedule_at(runner.wall_mm, fraction)
    return _section_points(runner, design, fraction, area, wall, angles)


def runner_ports(runner: Runner, design: Design) -> tuple[Port, ...]:
    """The ports a runner feeds."""
    return tuple(port for port in design.ports if port.name in runner.ports)


def _bank_frame(runner: Runner, design: Design) -> Frame:
    return next(bank.frame for bank in design.banks if bank.name == runner.bank)


def _port_start(runner: Runner, design: Design) -> tuple[Array, Array]:
    ports = runner_ports(runner, design)
    frame = _bank_frame(runner, design)
    start = frame.to_world(np.array([port.at_mm for port in ports])).mean(axis=0)
    axis = unit(np.array([port.axis for port in ports]).mean(axis=0))
    return start, axis


def _along(line: Centreline, s_mm: Array) -> tuple[Array, Array]:
    inside = np.clip(s_mm, 0.0, line.length_mm)
    centre = np.stack([np.interp(inside, line.s_mm, line.points_mm[:, k]) for k in range(3)], axis=1)
    tangent = unit(np.stack([np.interp(inside, line.s_mm, line.tangents[:, k]) for k in range(3)], axis=1))
    return centre + tangent * (s_mm - inside)[:, None], tangent


def _cross_axes(line: Centreline, s_mm: Array, first_x: Array) -> tuple[Array, Array]:
    u_fine, _ = carried_frames(line.points_mm, line.tangents, first_x)
    inside = np.clip(s_mm, 0.0, line.length_mm)
    _, tangent = _along(line, s_mm)
    u = np.stack([np.interp(inside, line.s_mm, u_fine[:, k]) for k in range(3)], axis=1)
    u = unit(u - tangent * np.sum(u * tangent, axis=1, keepdims=True))
    return u, np.cross(tangent, u)


def _curvature(line: Centreline, s_mm: Array) -> Array:
    change = np.linalg.norm(np.gradient(line.tangents, line.s_mm, axis=0), axis=1)
    return np.interp(s_mm, line.s_mm, change)


def _section_points(
    runner: Runner, design: Design, fraction: Array, area: Array, offset: Array, angles: int
) -> tuple[Array, Array]:
    """Section points in the cross axes (n, m, 2): the port's opening, seen along its axis, turned into the mouth's, a circle
    unless that has an outline of its own, scaled to the exact area.

    The change of shape is a smooth step over the course between the leads; the outline of a runner with several ports is
    the first port's. Points face each other because all are spread by share of the perimeter.
    """
    port = runner_ports(runner, design)[0]
    length = runner.length_mm
    first, last = runner.port_lead_mm / length, 1.0 - runner.mouth_lead_mm / length
    share = np.clip((fraction - first) / (last - first), 0.0, 1.0)
    share = share**3 * (10.0 - 15.0 * share + 6.0 * share**2)
    turn = np.radians(port.turn_deg)
    rotation = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    lean = _seen_along_axis(runner, design)
    start_radius = np.sqrt(outline_area(port.outline) * np.linalg.det(lean) / np.pi)
    base = outline_points(port.outline, angles) @ rotation @ lean
    normal = (
        (spread_points(outline_contour(port.outline), angles, 1.0) - outline_points(port.outline, angles))
        @ rotation
        @ np.linalg.inv(lean).T
    )
    end = _mouth_shape(runner, design, base) if runner.mouth.contour else _circle_facing(base, start_radius)
    blend = share[:, None, None]
    shape = base * (1.0 - blend) + end.points * blend
    scale = np.sqrt(area / _polygon_areas(shape) * _chord_loss(shape, port, end, share))
    inner = shape * scale[:, None, None]
    normals = unit(unit(normal) * (1.0 - blend) + end.normals * blend)
    return inner, inner + normals * offset[:, None, None]


def _seen_along_axis(runner: Runner, design: Design) -> Array:
    """What a place in the bank's x-y becomes in the cross axes at the start: place @ this (2, 2); its determinant is the
    cosine of the port's lean, so a passage along the axis opens in the head face exactly as the port does.
    """
    frame = _bank_frame(runner, design)
    _, axis = _port_start(runner, design)
    x, y = np.array(frame.x), np.array(frame.y)
    u = unit(x - axis * (axis @ x))
    v = np.cross(axis, u)
    return np.array([[x @ u, x @ v], [y @ u, y @ v]])


@dataclass(frozen=True, eq=False, slots=True)
class _End:
    """The shape a section turns into: points and outward unit normals (m, 2) in the cross axes at the mouth, true area."""

    points: Array
    normals: Array
    area_mm2: float


def _circle_facing(base: Array, radius: float) -> _End:
    """A circle whose first point faces the outline's first."""
    turn = np.arctan2(base[0, 1], base[0, 0])
    c, s = np.cos(turn), np.sin(turn)
    points = outline_points(circle(2 * radius), len(base)) @ np.array([[c, s], [-s, c]])
    return _End(points, unit(points), np.pi * radius**2)


def _mouth_shape(runner: Runner, design: Design, base: Array) -> _End:
    """The mouth's own opening as seen along the passage, its points begun where the outline's first faces them."""
    line = centreline(runner, design)
    s_mm = np.array([line.length_mm])
    u, v = _cross_axes(line, s_mm, np.array(_bank_frame(runner, design).x))
    frame = ground_of(runner, design).frame
    seen = np.array([[frame.x, frame.y] @ u[0], [frame.x, frame.y] @ v[0]]).T
    contour = runner.mouth.contour
    flat = spread_points(contour, len(base))
    out = spread_points(contour, len(base), 1.0) - flat
    points, normals = flat @ seen, unit(out @ np.linalg.inv(seen).T)
    turns = np.angle(np.exp(1j * (np.arctan2(points[:, 1], points[:, 0]) - np.arctan2(base[0, 1], base[0, 0]))))
    first = -int(np.argmin(np.abs(turns)))
    area = contour_area(contour) * abs(float(np.linalg.det(seen)))
    return _End(np.roll(points, first, axis=0), np.roll(normals, first, axis=0), area)


def _polygon_areas(points: Array) -> Array:
    x, y = points[..., 0], points[..., 1]
    return 0.5 * np.abs(np.sum(x * np.roll(y, -1, axis=-1) - np.roll(x, -1, axis=-1) * y, axis=-1))


def _chord_loss(shape: Array, port: Port, end: _End, share: Array) -> Array:
    """The true outline is larger than the polygon of its points: the polygon's share of the true area, both ends known."""
    at_port = _polygon_areas(shape[:1] * 0 + outline_points(port.outline, shape.shape[1]))[0] / outline_area(
        port.outline
    )
    return at_port * (1.0 - share) + float(_polygon_areas(end.points)) / end.area_mm2 * share
