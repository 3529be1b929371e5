"""Demands on the plenums' bodies: in the room, clear of runners, behind their own face."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.room import clearance
from tractwright.geometry.frames import Array
from tractwright.route.course.kernels import body_distance
from tractwright.route.course.packed import Ints, Packed, body_corners
from tractwright.route.course.rows import FAR, KINDS, ROW_MM, Block, Rows, Strictness, belt, between, joined, on_curve
from tractwright.route.course.sight import Sight
from tractwright.route.course.stations import LEAD, Stations
from tractwright.route.course.unknowns import FACE, LOCAL, local_columns, size_of

_FRONT_MM, _ARRIVED = 6.0, 0.93
_NEAR_SHARE = 1.4
"""A runner is near its mouth from so many times the distance to its plenum on."""
_SHORT_ARM_MM, _ALONG_KEY = 46.0, 5
"""Over a head screw's seat: its head, and a short arm that just goes in (iso_2936); places looked at along it."""


def own_plenum(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """A runner stands clear of its own plenum's body until it is near its mouth, and from there in front of the face."""
    runners, count = sight.curve.shape[:2]
    value = np.empty((runners, count))
    on_points, on_local = np.empty((runners, count, 3)), np.zeros((runners, count, LOCAL))
    for f in range(len(packed.faces)):
        own = np.flatnonzero(packed.face_of == f)
        distance, slope, on_face = body_gap(packed, sight, f, sight.curve[own].reshape(-1, 3))
        value[own], on_points[own] = distance.reshape(-1, count), slope.reshape(-1, count, 3)
        on_local[own, :, :FACE] = on_face.reshape(-1, count, FACE)
    want = stations.outer[:, LEAD:-LEAD] + packed.problem.gap_mm + between(packed, stations, strict)
    want = want + belt(packed, stations)
    curve_mm = sight.place.length * packed.share - packed.lead - packed.mouth_lead
    late = (1.0 - stations.u) * curve_mm[:, None] < _NEAR_SHARE * (want - _aslant(packed, stations, sight, strict))
    front, z = _in_front(packed, sight)
    front_gap = np.where(stations.u < _ARRIVED, front[0] - _FRONT_MM * (1.0 - stations.u), FAR)
    value = np.where(late, front_gap, value - want)
    asked = np.where(stations.u < _ARRIVED, 1.0, 0.0)[:, None]
    on_points = np.where(late[..., None], -z[:, None, :] * asked, on_points)
    on_local[..., :FACE] = np.where(late[..., None], front[1] * asked, on_local[..., :FACE])
    on_poles = on_curve(stations, on_points / ROW_MM)
    on_poles[:, :, 8] += np.where(late[..., None], z[:, None, :] * asked, 0.0) / ROW_MM
    return Block(
        kind="own plenum", value=value / ROW_MM, on_poles=on_poles, on_local=on_local / ROW_MM, place=sight.curve
    )


def _aslant(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Array | float:
    """How much sooner than elsewhere runners are told to be near their mouth (n, m) [mm]: none where all come from one row.

    From two sides they arrive aslant and go on nearing the body from station to station: the last one asked about must
    lie no further off than the densest look finds it.
    """
    banks = [{packed.problem.runners[r].bank for r in np.flatnonzero(packed.face_of == f)} for f in packed.face_of]
    several = np.array([len(found) > 1 for found in banks])
    apart = sight.speed * strict.between / (len(stations.u) - 1)
    allowed = between(packed, stations, strict) + apart / _NEAR_SHARE
    return np.where(several[:, None], allowed, 0.0) if several.any() else 0.0


def _in_front(packed: Packed, sight: Sight) -> tuple[tuple[Array, Array], Array]:
    """How far curve points stand in front of the curve's end (n, m), its slope on the face's unknowns beyond the points
    (n, m, 6), and the faces' z by runner (n, 3).
    """
    z = sight.place.axes[packed.face_of, 2]
    back = sight.place.poles[:, 8][:, None, :] - sight.curve
    on_face = np.zeros((*back.shape[:2], FACE))
    for column, turned in ((3, sight.place.on_tilt), (4, sight.place.on_turn)):
        scale = sight.scale[FACE * packed.face_of + column][:, None]
        on_face[..., column] = np.einsum("nmd,nd->nm", back, turned[packed.face_of, 2]) * scale
    return (np.einsum("nmd,nd->nm", back, z), on_face), z


def body_limits(packed: Packed, sight: Sight, f: int) -> tuple[Array, Array]:
    """Low and high corner of a plenum's body about the middle of its mouths, face frame: mouth flange to cover."""
    low, high = body_corners(packed.problem, packed.faces[f])
    along = packed.faces[f].stretch * float(sight.place.pitch[f])
    longer = np.array([along, 0.0, 0.0])
    return low - longer, high + longer


def body_gap(packed: Packed, sight: Sight, f: int, points: Array) -> tuple[Array, Array, Array]:
    """Signed distance of points (n, 3) to a plenum's body, slope on the points (n, 3), on the face's unknowns (n, 6)."""
    return _box_gap(packed, sight, f, points, body_limits(packed, sight, f))


def _box_gap(
    packed: Packed, sight: Sight, f: int, points: Array, limits: tuple[Array, Array]
) -> tuple[Array, Array, Array]:
    """body_gap, to a box of its own: low and high corner, face frame about the middle of the mouths."""
    place, scale = sight.place, sight.scale[FACE * f : FACE * f + FACE]
    away = points - place.middle[f]
    local = away @ place.axes[f].T
    distance, on_box = body_distance(np.ascontiguousarray(local), *limits)
    on_points = on_box @ place.axes[f]
    on_face = np.empty((len(points), FACE))
    on_face[:, :3] = -on_points @ packed.base[f].T
    on_face[:, 3] = np.einsum("ni,ni->n", on_box, away @ place.on_tilt[f].T)
    on_face[:, 4] = np.einsum("ni,ni->n", on_box, away @ place.on_turn[f].T)
    on_face[:, 5] = -np.abs(on_box[:, 0]) * packed.faces[f].stretch
    return distance, on_points, on_face * scale


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BodyPoints:
    """Points over a body's surface: face frame about the middle of the mouths and job frame (s, 3) each, and how far each
    moves along the face's x for a millimetre of pitch (s,).
    """

    local: Array
    points: Array
    rate: Array

    def chosen(self, which: Ints) -> "BodyPoints":
        """Some of the points."""
        return BodyPoints(local=self.local[which], points=self.points[which], rate=self.rate[which])


def body_points(packed: Packed, sight: Sight, f: int) -> BodyPoints:
    """Points over a body's surface as it stands."""
    body = packed.bodies[f]
    local = body.fixed.copy()
    local[:, 0] += body.rate * sight.place.pitch[f]
    return BodyPoints(local=local, points=sight.place.middle[f] + local @ sight.place.axes[f], rate=body.rate)


def _through_points(packed: Packed, sight: Sight, f: int, body: BodyPoints, slope: Array) -> Array:
    """Slope on body points (s, 3) as slope on the face's scaled unknowns (s, 6)."""
    on_face = np.empty((len(slope), FACE))
    on_face[:, :3] = slope @ packed.base[f].T
    on_face[:, 3] = np.einsum("nd,nd->n", slope, body.local @ sight.place.on_tilt[f])
    on_face[:, 4] = np.einsum("nd,nd->n", slope, body.local @ sight.place.on_turn[f])
    on_face[:, 5] = slope @ sight.place.axes[f, 0] * body.rate
    return on_face * sight.scale[FACE * f : FACE * f + FACE]


def plenum_room(packed: Packed, sight: Sight, f: int) -> Rows:
    """The body stands in the room, the head faces counted: in each patch of its surface the nearest point.

    What is no piece of the part keeps off planes and boxes, but may stand out of the old part's space.
    """
    body, ours = body_points(packed, sight, f), packed.bodies[f].ours
    distance, slope = clearance(packed.whole_room, body.points)
    if not ours.all():
        distance[~ours], slope[~ours] = clearance(packed.hard_room, body.points[~ours])
    worst = packed.bodies[f].least_of_patches(distance)
    body = body.chosen(worst)
    value = np.minimum(distance[worst], FAR) - packed.problem.clearance_mm
    rows = _face_rows(packed, "plenum room", f, value, body.points)
    rows.slope[:, FACE * f : FACE * f + FACE] = _through_points(packed, sight, f, body, slope[worst]) / ROW_MM
    return rows


def flange_over_keys(packed: Packed, sight: Sight, f: int) -> Rows:
    """The mouth flange, which is on when the head's screws are turned, leaves a key's short arm its room over each."""
    low, high = body_limits(packed, sight, f)
    flange = low, np.array([high[0], high[1], -packed.faces[f].behind_mm])
    reach = np.minimum(packed.key_length, _SHORT_ARM_MM)[:, None] * np.linspace(0.0, 1.0, _ALONG_KEY)
    points = (packed.key_start[:, None, :] + reach[..., None] * packed.key_direction[:, None, :]).reshape(-1, 3)
    distance, _, on_face = _box_gap(packed, sight, f, points, flange)
    rows = _face_rows(packed, "flange over keys", f, distance - np.repeat(packed.key_radius, _ALONG_KEY), points)
    rows.slope[:, FACE * f : FACE * f + FACE] = on_face / ROW_MM
    return rows


def other_plenum(packed: Packed, stations: Stations, sight: Sight, strict: Strictness, f: int) -> Rows:
    """Runners of other faces, and the bodies after this one, stand clear of this body."""
    others = np.flatnonzero(packed.face_of != f)
    count = len(stations.u)
    points = sight.curve[others]
    distance, slope, on_face = body_gap(packed, sight, f, points.reshape(-1, 3))
    want = (stations.outer[:, LEAD:-LEAD] + packed.problem.gap_mm + between(packed, stations, strict))[others]
    rows = _face_rows(packed, "other plenum", f, distance - want.ravel(), points.reshape(-1, 3))
    on_poles = on_curve(stations, slope.reshape(points.shape)).reshape(len(others), count, -1)
    for i, r in enumerate(others):
        table = sight.place.slope[r].reshape(-1, LOCAL)
        rows.slope[i * count : (i + 1) * count, local_columns(packed, int(r))] = on_poles[i] @ table / ROW_MM
    rows.slope[:, FACE * f : FACE * f + FACE] += on_face / ROW_MM
    return joined([rows, *[_bodies_apart(packed, sight, f, g) for g in range(f + 1, len(packed.faces))]])


def _bodies_apart(packed: Packed, sight: Sight, f: int, g: int) -> Rows:
    body = body_points(packed, sight, g)
    distance, _, _ = body_gap(packed, sight, f, body.points)
    body = body.chosen(packed.bodies[g].least_of_patches(distance))
    distance, slope, on_face = body_gap(packed, sight, f, body.points)
    rows = _face_rows(packed, "other plenum", f, distance - packed.problem.gap_mm, body.points)
    rows.slope[:, FACE * f : FACE * f + FACE] = on_face / ROW_MM
    rows.slope[:, FACE * g : FACE * g + FACE] = _through_points(packed, sight, g, body, slope) / ROW_MM
    return rows


def _face_rows(packed: Packed, kind: str, f: int, value: Array, points: Array) -> Rows:
    """Rows about a face [mm], slopes still to be filled in."""
    return Rows(
        value=value / ROW_MM,
        slope=np.zeros((len(value), size_of(packed))),
        kind=np.full(len(value), KINDS.index(kind)),
        subject=np.full(len(value), f),
        place=points,
    )
