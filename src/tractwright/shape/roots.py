"""The outer skin of a runner as rows of points, its root blends part of it.

At each end the skin meets the face of a flange, square or leaning. The blend is what a ball of the root radius leaves
when it rolls round: at each clock angle the ball touches the wall and the face at once, so the blend is tangent to both
all round, however much the runner leans. Where a neighbour, a screw's seat or the flange's edge stands too near, the
radius comes down at those clock angles only, so that two blends never meet.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely
from scipy.interpolate import CubicSpline
from shapely.geometry.base import BaseGeometry

from tractwright.design.records import Design, Runner
from tractwright.design.tube import centreline, tube_at
from tractwright.errors import KernelError
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.shape.row_steps import steps_between

_FINE_STEP_MM = 1.0
BEYOND_ENDS_MM = 60.0
_LEAST_FORWARD = 0.05
_SHARES = np.linspace(1.0, 0.1, 19)
_APART_MM = 0.3
_ON_FACE_MM = 0.05
_MORE_INSIDE = 13
"""Rows of a passage over those of the middle of its skin."""
_PROBE_MM = 0.5
_HALVINGS = 3
"""Steps of false position between two samples of a sheet: where a bend begins the wall has a kink between them."""
LEAST_BLEND_MM = 0.8
"""A blend is not modelled smaller than this: what stands so near is taken to run into the skin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The part of a runner that one piece holds, as stations [mm]: where its centreline goes through the two joint faces,
    and from where to where its skin is looked at for them, so that no other pass through the same planes is taken.
    """

    first_mm: float
    last_mm: float
    from_mm: float
    to_mm: float

    @property
    def middle_mm(self) -> float:
        """Half the way from face to face."""
        return (self.first_mm + self.last_mm) / 2.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Sheet:
    """A runner's plain skin, finely sampled, the whole of it whatever part a piece holds: both sides of a joint are cut from
    one sheet.

    s_mm (n,) from before the head face to past the mouth; points_mm and outward unit normals (n, m, 3); pieces : cubic
    pieces along each clock angle, of points and normals, (4, n - 1, m, 6); span : the part that is looked at.
    """

    s_mm: Array
    points_mm: Array
    normals: Array
    pieces: Array
    span: Span


End = Literal[0, 1]
"""Which end of a runner: 0 where it starts, 1 where it ends."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Foot:
    """Where a skin meets a flange.

    end : which end of the runner stands there; face : frame on the flange's face, z away from the flange into the air;
    radius_mm : the root radius wanted; limits : shapes in the face's x-y that the blend shares the ground with; edge :
    what it stays inside of.
    """

    end: End
    face: Frame
    radius_mm: float
    limits: tuple[shapely.Polygon, ...]
    edge: BaseGeometry


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampling:
    """How many points.

    crease_deg : slope left between blend and face (0: tangent); sink_mm : how deep under the face the skin ends, for
    solids that are joined by a boolean rather than sewn.
    """

    angles: int = 64
    arc_rows: int = 8
    easing_rows: int = 7
    middle_rows: int = 22
    crease_deg: float = 0.0
    sink_mm: float = 0.0


def whole_span(length_mm: float) -> Span:
    """A runner from head face to mouth, and the straight lines that its skin goes on in past both."""
    return Span(first_mm=0.0, last_mm=length_mm, from_mm=-BEYOND_ENDS_MM, to_mm=length_mm + BEYOND_ENDS_MM)


def sheet_of(
    runner: Runner, design: Design, angles: int, side: Literal["outer", "inner"] = "outer", span: Span | None = None
) -> Sheet:
    """The plain skin with its true normals. span : the part of it that a piece holds, else all.

    Raises KernelError where it runs back into itself.
    """
    length = centreline(runner, design).length_mm
    s = np.linspace(-BEYOND_ENDS_MM, length + BEYOND_ENDS_MM, int((length + 2 * BEYOND_ENDS_MM) / _FINE_STEP_MM) + 1)
    tube = tube_at(runner, design, s, angles)
    points = tube.outer_mm if side == "outer" else tube.inner_mm
    along = np.gradient(points, s, axis=0)
    if np.einsum("nmk,nk->nm", along, tube.tangent).min() < _LEAST_FORWARD:
        raise KernelError(f"skin of {runner.name}", "it bends tighter than its own half width")
    return _sheet(s, points, span or whole_span(length))


def resampled(sheet: Sheet, points_mm: Array) -> Sheet:
    """The sheet with its points moved (n, m, 3), normals found again."""
    return _sheet(sheet.s_mm, points_mm, sheet.span)


def _sheet(s: Array, points: Array, span: Span) -> Sheet:
    along = np.gradient(points, s, axis=0)
    around = np.roll(points, -1, axis=1) - np.roll(points, 1, axis=1)
    normals = unit(np.cross(around, along))
    pieces = CubicSpline(s, np.concatenate([points, normals], axis=2)).c
    return Sheet(s_mm=s, points_mm=points, normals=normals, pieces=pieces, span=span)


def base_outline(sheet: Sheet, face: Frame, end: End) -> shapely.Polygon:
    """Where one end of the plain skin goes through a flange's face, in the face's x-y.

    Raises KernelError where part of it stays behind the face.
    """
    places = _crossing(sheet, face, end, np.zeros(sheet.points_mm.shape[1]))
    points = face.to_local(_on_sheet(sheet, places[None])[0][0])
    if np.abs(points[:, 2]).max() > _ON_FACE_MM:
        raise KernelError("skin of a runner", "part of it never comes out of its flange")
    return shapely.Polygon(points[:, :2])


def blend_radius(sheet: Sheet, foot: Foot) -> Array:
    """The root radius there is room for at each clock angle (m,) [mm], smoothed; 0 where there is none."""
    own = base_outline(sheet, foot.face, foot.end)
    shapely.prepare(own)
    angles = sheet.points_mm.shape[1]
    fits = np.ones((len(_SHARES), angles), dtype=bool)
    for row, share in enumerate(_SHARES):
        radius = np.full(angles, share * foot.radius_mm)
        touch = foot.face.to_local(_ball_parts(sheet, foot, radius, np.zeros_like(radius))[1])
        fits[row] = _has_ground(touch[:, :2], own, foot) & (np.abs(touch[:, 2]) < _ON_FACE_MM)
    smaller_fit = np.logical_and.accumulate(fits[::-1], axis=0)[::-1]
    radius = np.where(smaller_fit.any(axis=0), _SHARES[np.argmax(smaller_fit, axis=0)], 0.0) * foot.radius_mm
    return _eased(radius)


def rows_of(sheet: Sheet, feet: tuple[Foot, Foot], sampling: Sampling) -> Array:
    """The outer skin with both blends: points (rows, angles, 3) from the head flange's face to the mouth flange's."""
    (first_arc, first_s), (last_arc, last_s) = (_arc_rows(sheet, foot, sampling) for foot in feet)
    ends = _arc_steps(sheet, first_arc, first_s), _arc_steps(sheet, last_arc, last_s)
    ease = np.linspace(0.0, 1.0, sampling.easing_rows + 2)[1:-1]
    share = np.concatenate([ease, np.ones(sampling.middle_rows + 1), ease[::-1]])
    body, _ = _on_sheet(sheet, first_s + steps_between(ends, share, last_s - first_s))
    return np.concatenate([first_arc[::-1], body, last_arc])


def _arc_steps(sheet: Sheet, arc: Array, stations: Array) -> Array:
    """How far along the runner (m,) the wall comes in a step as long as those of the blend; on the inside of a bend, far."""
    near, _ = _on_sheet(sheet, np.stack([stations - _PROBE_MM, stations + _PROBE_MM]))
    stretch = np.linalg.norm(near[1] - near[0], axis=1) / (2.0 * _PROBE_MM)
    return np.linalg.norm(arc[1] - arc[0], axis=1) / np.maximum(stretch, _LEAST_FORWARD)


def _arc_rows(sheet: Sheet, foot: Foot, sampling: Sampling) -> tuple[Array, Array]:
    """Rows from the wall (first) down to the face (last), and the station where the blend leaves the wall (m,)."""
    radius = np.maximum(blend_radius(sheet, foot), LEAST_BLEND_MM)
    crease, sink = np.radians(sampling.crease_deg), sampling.sink_mm
    drop = sink + radius * (1.0 - np.cos(crease))
    station, _, centre, wall_normal = _ball_parts(sheet, foot, radius, drop)
    up = np.array(foot.face.z)
    opening = np.arccos(np.clip(wall_normal @ up, -1.0, 1.0))
    share = np.linspace(0.0, 1.0, sampling.arc_rows)[:, None]
    turned = share * (opening - crease)
    spoke = (np.sin(opening - turned)[..., None] * wall_normal + np.sin(turned)[..., None] * up) / np.sin(opening)[
        :, None
    ]
    arc = centre - radius[:, None] * spoke
    arc[-1] -= ((arc[-1] - np.array(foot.face.origin_mm)) @ up + sink)[:, None] * up
    return arc, station


def _ball_parts(sheet: Sheet, foot: Foot, radius: Array, drop: Array) -> tuple[Array, Array, Array, Array]:
    """Ball touching wall and lowered face: station on the wall, touch point on the face, centre, wall normal."""
    up = np.array(foot.face.z)
    station = _crossing(sheet, foot.face, foot.end, radius, drop)
    (point,), (normal,) = _on_sheet(sheet, station[None])
    centre = point + normal * radius[:, None]
    return station, centre - radius[:, None] * up, centre, normal


def _crossing(sheet: Sheet, face: Frame, end: End, radius: Array, drop: Array | float = 0.0) -> Array:
    """Station at each clock angle where a ball of that radius on the wall also touches the face.

    Radius 0: the wall's own crossing. The first one counted from behind the face, where the sheet runs out straight: a
    long runner may come back through the same plane further on.
    """
    span, s = sheet.span, sheet.s_mm
    half = (s >= span.from_mm) & (s <= span.middle_mm) if end == 0 else (s >= span.middle_mm) & (s <= span.to_mm)
    way = slice(None) if end == 0 else slice(None, None, -1)
    s = s[half][way]
    h = _over(face, radius, drop, (sheet.points_mm[half], sheet.normals[half]))[way]
    over = np.argmax(h[1:] >= 0.0, axis=0)
    column = np.arange(h.shape[1])
    station = [s[over], s[over + 1]]
    height = [h[over, column], h[over + 1, column]]
    for _ in range(_HALVINGS):
        middle = _between(station, height)
        found = _over(face, radius, drop, _on_sheet(sheet, middle[None]))[0]
        upper = found >= 0.0
        station = [np.where(upper, station[0], middle), np.where(upper, middle, station[1])]
        height = [np.where(upper, height[0], found), np.where(upper, found, height[1])]
    return _between(station, height)


def _between(station: list[Array], height: list[Array]) -> Array:
    """Where the chord between two stations comes to height 0."""
    (low_s, high_s), (low, high) = station, height
    return low_s + (high_s - low_s) * np.clip(low / np.where(low == high, -1.0, low - high), 0.0, 1.0)


def _over(face: Frame, radius: Array, drop: Array | float, skin: tuple[Array, Array]) -> Array:
    """Height over the lowered face of the lowest point of a ball on the wall. skin : points and normals (rows, m, 3)."""
    up = np.array(face.z)
    points, normals = skin
    return (points - np.array(face.origin_mm)) @ up + radius * (normals @ up - 1.0) + drop


def _on_sheet(sheet: Sheet, stations: Array) -> tuple[Array, Array]:
    """Points and unit normals (rows, m, 3) at stations that differ from clock angle to clock angle (rows, m)."""
    index = np.clip(np.searchsorted(sheet.s_mm, stations, side="right") - 1, 0, len(sheet.s_mm) - 2)
    step = (stations - sheet.s_mm[index])[..., None]
    c = sheet.pieces[:, index, np.arange(stations.shape[1])]
    found = ((c[0] * step + c[1]) * step + c[2]) * step + c[3]
    return found[..., :3], unit(found[..., 3:])


def _has_ground(touch_mm: Array, own: shapely.Polygon, foot: Foot) -> npt.NDArray[np.bool_]:
    """Whether the blend's foot (m, 2) stays on its own side of each neighbour and inside the flange's edge."""
    touch = shapely.points(touch_mm)
    to_own = shapely.distance(touch, own)
    fits = shapely.contains(foot.edge, touch) & (shapely.distance(touch, foot.edge.boundary) >= _APART_MM)
    for limit in foot.limits:
        fits &= shapely.distance(touch, limit) - to_own >= _APART_MM
    return np.asarray(fits, dtype=bool)


def _eased(radius: Array) -> Array:
    """Never more than the radius given, changing gently round the clock."""
    count = len(radius)
    apart = np.abs(np.arange(count)[:, None] - np.arange(count))
    apart = np.minimum(apart, count - apart) * (64.0 / count)
    step = 0.12 * radius.max() if radius.max() > 0 else 1.0
    lower = (radius[None, :] + np.maximum(apart - 1.0, 0.0) * step).min(axis=1)
    weight = np.maximum(0.0, 1.0 - apart / 3.0)
    return np.minimum((lower[None, :] * weight).sum(axis=1) / weight.sum(axis=1), radius)


def passage_rows(sheet: Sheet, planes: tuple[Frame, Frame], sampling: Sampling) -> Array:
    """A passage as rows of points (rows, angles, 3) from the first plane to the last; z of each points into the piece."""
    none = np.zeros(sheet.points_mm.shape[1])
    first, last = _crossing(sheet, planes[0], 0, none), _crossing(sheet, planes[1], 1, none)
    along = np.linspace(0.0, 1.0, sampling.middle_rows + _MORE_INSIDE)[:, None]
    rows, _ = _on_sheet(sheet, first + along * (last - first))
    for row, plane in ((0, planes[0]), (-1, planes[1])):
        rows[row] -= plane.to_local(rows[row])[:, 2:] * np.array(plane.z)
    return rows
