"""Measurements on the fast model that several rules and the packet share."""

from dataclasses import replace
from itertools import combinations

import numpy as np
from scipy.spatial import KDTree

from tractwright.check.case import Case
from tractwright.design.pattern import Room
from tractwright.design.records import Plenum, Runner
from tractwright.design.room import clearance
from tractwright.design.tube import Tube
from tractwright.geometry.contours import Contour, arc_of
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.geometry.outlines import Outline, outline_points

_NEAR_FACE_MM = 2.0


def room_along(case: Case, runner: Runner) -> Array:
    """Free room outside the skin at each station (n,) [mm]; inf where the skin still stands on the head's face.

    The head face bounds the room by its nature: points nearer to it than the clearance are not asked.
    """
    model = case.tubes[runner.name]
    frame = next(bank.frame for bank in case.design.banks if bank.name == runner.bank)
    distance, _ = clearance(case.room, model.outer_mm.reshape(-1, 3))
    height = frame.to_local(model.outer_mm)[..., 2]
    free = np.where(height < case.sheet.room.clearance_mm + _NEAR_FACE_MM, np.inf, distance.reshape(height.shape))
    return free.min(axis=1)


def free_stations(case: Case, runner: Runner) -> Array:
    """Which stations (n,) stand clear of the flanges at both ends."""
    s = case.tubes[runner.name].s_mm
    return (s >= runner.port_lead_mm) & (s <= runner.length_mm - runner.mouth_lead_mm)


def neighbour_gaps(case: Case) -> dict[tuple[str, str], tuple[float, Array]]:
    """For each pair of runners the least gap between skins [mm], negative where they run into each other, and where."""
    found: dict[tuple[str, str], tuple[float, Array]] = {}
    free = {runner.name: free_stations(case, runner) for runner in case.design.runners}
    for a, b in combinations(sorted(case.tubes), 2):
        points = case.tubes[a].outer_mm[free[a]].reshape(-1, 3)
        gap = _gap_to(points, case.tubes[b], free[b])
        worst = int(np.argmin(gap))
        found[a, b] = float(gap[worst]), points[worst]
    return found


def hard_limits(room: Room) -> Room:
    """The room without its grids: what is really in the way while the part moves, not the space of the old part."""
    return replace(room, grids=())


def plenum_points(case: Case, plenum: Plenum) -> Array:
    """Points (n, 3) on the outside of a plenum's body with its cover: the edges of the box, floor to cover."""
    outline = Outline(
        kind="rounded_rectangle",
        width_mm=plenum.width_mm + 2 * plenum.wall_mm,
        height_mm=plenum.height_mm + 2 * plenum.wall_mm,
        corner_radius_mm=plenum.corner_radius_mm + plenum.wall_mm,
    )
    cover = max(
        (flange.thickness_mm for flange in case.design.flanges if flange.joint.startswith("cover")), default=0.0
    )
    ring = outline_points(outline, 72) + np.array(plenum.centre_mm)
    heights = np.linspace(0.0, plenum.floor_mm + plenum.depth_mm + cover, 9)
    rings = [np.column_stack([ring, np.full(len(ring), height)]) for height in heights]
    return plenum.frame.to_world(np.concatenate(rings))


def least_wall(case: Case, runner: Runner) -> tuple[float, Vec3]:
    """The least wall of a runner [mm], skin to skin in the fast model, and where."""
    model = case.tubes[runner.name]
    wall = np.linalg.norm(model.outer_mm - model.inner_mm, axis=2)
    station, angle = np.unravel_index(int(np.argmin(wall)), wall.shape)
    return float(wall[station, angle]), vec3(model.outer_mm[station, angle])


def least_radius(contour: Contour) -> float:
    """The tightest corner of a contour [mm]; 0 where two segments meet at an angle."""
    least = np.inf
    for start, end in zip(contour, (*contour[1:], contour[0]), strict=True):
        if abs(start[2]) > 1e-9:
            least = min(least, arc_of(start, end)[2])
    return float(least) if np.isfinite(least) else 0.0


def bends(model: Tube) -> tuple[Array, Array]:
    """At each station the bend radius [mm] and its share of the skin's half size on the inside of the bend (n,).

    Straight stations give infinity.
    """
    turning = np.gradient(model.tangent, model.s_mm, axis=0)
    curvature = np.linalg.norm(turning, axis=1)
    inward = turning / np.maximum(curvature, 1e-12)[:, None]
    reach = np.einsum("nmk,nk->nm", model.outer_mm - model.centre_mm[:, None, :], inward).max(axis=1)
    radius = np.where(curvature > 1e-5, 1.0 / np.maximum(curvature, 1e-5), np.inf)
    return radius, radius / reach


def _gap_to(points: Array, other: Tube, free: Array) -> Array:
    """Signed gap of points (k, 3) to another runner's skin."""
    skin = other.outer_mm[free]
    near, _ = KDTree(skin.reshape(-1, 3)).query(points)
    _, station = KDTree(other.centre_mm[free]).query(points)
    offset = points - other.centre_mm[free][station]
    x = np.sum(offset * other.u[free][station], axis=1)
    y = np.sum(offset * other.v[free][station], axis=1)
    along = np.abs(np.sum(offset * other.tangent[free][station], axis=1))
    rim = skin - other.centre_mm[free][:, None, :]
    rim_x = np.einsum("nmk,nk->nm", rim, other.u[free])
    rim_y = np.einsum("nmk,nk->nm", rim, other.v[free])
    count = rim_x.shape[1]
    angle = np.arctan2(y, x)
    start = np.arctan2(rim_y[station, 0], rim_x[station, 0])
    slot = np.round((angle - start) / (2 * np.pi) * count).astype(int) % count
    inside = np.hypot(x, y) - np.hypot(rim_x[station, slot], rim_y[station, slot])
    return np.where((inside < 0.0) & (along < 5.0), inside, near)
