"""Measurements on the fast model that several rules and the packet share."""

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import numpy.typing as npt
from scipy.spatial import KDTree
from scipy.spatial.distance import cdist

from tractwright.check.case import Case
from tractwright.design.housing import cover_thickness_mm
from tractwright.design.outside import box_points, plate_points
from tractwright.design.passing import runners_through
from tractwright.design.pattern import Room
from tractwright.design.records import Joint, Plenum, Runner, Screw
from tractwright.design.room import PackedRoom, clearance
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.standards.screws import washer
from tractwright.standards.threads import thread

SQUEEZE_LEAST, SQUEEZE_MOST = 0.19, 0.30
"""Share of a cord's section to be squeezed at the nominal groove. Source key: iso_3601_face_groove."""
STABLE_WALL_MM = 2.5
"""The least wall that a cutter leaves stable. Source key: common_practice."""
_THROTTLED_BORES = 0.6
_NEAR_FACE_MM = 2.0
_SAMPLED_MM = 3.0
_FAR_APART_MM = 50.0


def room_along(case: Case, runner: Runner, room: Room | PackedRoom) -> Array:
    """Free room outside the skin at each station (n,) [mm]; inf where the skin still stands on the head's face.

    The head face bounds the room by its nature: points nearer to it than the clearance are not asked.
    """
    model = case.tubes[runner.name]
    frame = next(bank.frame for bank in case.design.banks if bank.name == runner.bank)
    distance, _ = clearance(room, model.outer_mm.reshape(-1, 3))
    height = frame.to_local(model.outer_mm)[..., 2]
    free = np.where(height < case.sheet.room.clearance_mm + _NEAR_FACE_MM, np.inf, distance.reshape(height.shape))
    return free.min(axis=1)


def free_stations(case: Case, runner: Runner) -> npt.NDArray[np.bool_]:
    """Which stations (n,) stand clear of the flanges at both ends."""
    s = case.tubes[runner.name].s_mm
    return (s >= runner.port_lead_mm) & (s <= runner.length_mm - runner.mouth_lead_mm)


def neighbour_gaps(case: Case) -> dict[tuple[str, str], tuple[float, Array]]:
    """For each pair of runners the least gap between skins [mm], negative where they run into each other, and where.

    Of pairs further apart than 50 mm the least the gap can be.
    """
    found: dict[tuple[str, str], tuple[float, Array]] = {}
    skins = {runner.name: _skin(case, runner) for runner in case.design.runners}
    for a, b in combinations(sorted(skins), 2):
        apart, place = _apart(skins[a], skins[b])
        if apart > _FAR_APART_MM:
            found[a, b] = apart, place
            continue
        points = _candidates(skins[a], skins[b])
        gap = _gap_to(points, skins[b])
        worst = int(np.argmin(gap))
        found[a, b] = float(gap[worst]), points[worst]
    return found


def hard_limits(room: Room) -> Room:
    """What is really in the way: planes, boxes, hoses and what further scans show, but not the space of the old part."""
    return replace(room, grids=tuple(grid for grid in room.grids if grid.free_beyond))


def plenum_points(case: Case, plenum: Plenum) -> Array:
    """Points (n, 3) on the outside of a plenum's body with its cover, floor to cover."""
    return box_points(plenum, cover_thickness_mm(plenum, case.design), 8.0, 15.0).reshape(-1, 3)


def split_points(case: Case) -> dict[str, Array]:
    """Points (n, 3) on the outside of the flanges that stand free across the runners, by flange."""
    kinds = {joint.name: joint.kind for joint in case.design.joints}
    return {flange.name: plate_points(flange) for flange in case.design.flanges if kinds[flange.joint] == "split"}


def least_wall(case: Case, runner: Runner) -> tuple[float, Vec3]:
    """The least wall of a runner [mm], skin to skin in the fast model, and where."""
    model = case.tubes[runner.name]
    wall = np.linalg.norm(model.outer_mm - model.inner_mm, axis=2)
    station, angle = np.unravel_index(int(np.argmin(wall)), wall.shape)
    return float(wall[station, angle]), vec3(model.outer_mm[station, angle])


def bends(model: Tube) -> tuple[Array, Array]:
    """At each station the bend radius [mm] and its share of the skin's half size on the inside of the bend (n,).

    Straight stations give infinity.
    """
    turning = np.gradient(model.tangent, model.s_mm, axis=0)
    curvature = np.linalg.norm(turning, axis=1)
    inward = turning / np.maximum(curvature, 1e-12)[:, None]
    reach = np.einsum("nmk,nk->nm", model.outer_mm - model.centre_mm[:, None, :], inward).max(axis=1)
    radius = np.where(curvature > 1e-5, 1.0 / np.maximum(curvature, 1e-5), np.inf)
    return radius, radius / np.maximum(reach, 1e-9)


def stack_mm(case: Case, screw: Screw) -> float:
    """From under a screw's head to where its thread begins [mm]: washer, clamped metal, gasket; with a spacer that, and a
    gasket on either face of it.
    """
    ring = washer(screw.thread, screw.washer).thickness_mm if screw.washer else 0.0
    gaskets = [seal.section_mm for seal in case.design.seals if seal.joint == screw.joint and seal.kind == "gasket"]
    thick = sum(spacer.thickness_mm for spacer in case.design.spacers if spacer.joint == screw.joint)
    return screw.grip_mm + ring + thick + max(gaskets, default=0.0) * (2.0 if thick else 1.0)


def deepest_tip_mm(case: Case, screw: Screw) -> float:
    """How far a screw's tip may go past where its thread begins [mm].

    A blind thread keeps a pitch free under the tip; out of a thread that goes right through it may stand three pitches.
    Source key: common_practice.
    """
    pitch = thread(screw.thread).pitch_mm
    return screw.tapped_depth_mm + (3.0 * pitch if goes_through(case, screw) else -pitch)


def goes_through(case: Case, screw: Screw) -> bool:
    """Whether a screw's thread goes right through the flange that holds it."""
    return any(
        flange.joint == screw.joint
        and flange.piece == screw.tapped_in
        and flange.thickness_mm <= screw.tapped_depth_mm + 1e-6
        for flange in case.design.flanges
        if joint_of(case, screw.joint).kind in ("runner", "split")
    )


def is_throttled(case: Case, plenum: Plenum) -> bool:
    """Whether a plenum is so shallow that its cover throttles the mouths: under 0.6 of the largest bore (common practice)."""
    bores = [runner.mouth.bore_mm for runner in case.design.runners if runner.mouth.plenum == plenum.name]
    return plenum.depth_mm < _THROTTLED_BORES * max(bores, default=0.0)


def is_ours(joint: Joint) -> bool:
    """Whether both pieces of a joint are ours: neither the engine nor throttle bodies as bought."""
    return not {"engine", "throttle_body"}.intersection(joint.pieces)


def crossings(case: Case, joint: Joint) -> Array:
    """Where the runners' middles go through a joint's plane (k, 3), job frame."""
    found = []
    for runner in runners_through(joint, case.design):
        centre = case.tubes[runner.name].centre_mm
        found.append(centre[int(np.argmin(np.abs(joint.frame.to_local(centre)[:, 2])))])
    return np.array(found, dtype=float).reshape(-1, 3)


def words(path: str) -> str:
    """A path of the description as a sentence says it: 'runner r3', 'head screw s4', 'the cover flange', 'the plenum'."""
    kind, _, name = path.partition(".")
    joint, _, last = name.rpartition(".")
    if kind in ("screw", "dowel") and joint:
        return f"{joint} {kind} {last}"
    if kind == "flange":
        return f"the {name} flange"
    return f"the {kind}" if name in ("", "plenum") else f"{kind} {name}"


def joint_of(case: Case, name: str) -> Joint:
    """The joint of that name."""
    return next(joint for joint in case.design.joints if joint.name == name)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Skin:
    """A runner's skin between the flanges, with trees over its points and its centreline. reach (n,) : outer half size."""

    centre: Array
    tangent: Array
    u: Array
    v: Array
    outer: Array
    reach: Array
    rim: tuple[Array, Array]
    tree: KDTree


def _skin(case: Case, runner: Runner) -> _Skin:
    model, free = case.tubes[runner.name], free_stations(case, runner)
    centre, outer = model.centre_mm[free], model.outer_mm[free]
    spokes = outer - centre[:, None, :]
    return _Skin(
        centre=centre,
        tangent=model.tangent[free],
        u=model.u[free],
        v=model.v[free],
        outer=outer,
        reach=np.linalg.norm(spokes, axis=2).max(axis=1),
        rim=(np.einsum("nmk,nk->nm", spokes, model.u[free]), np.einsum("nmk,nk->nm", spokes, model.v[free])),
        tree=KDTree(outer.reshape(-1, 3)),
    )


def _apart(skin: _Skin, other: _Skin) -> tuple[float, Array]:
    """The least the gap between two skins can be, from their centrelines and half sizes; and where."""
    least = cdist(skin.centre, other.centre) - skin.reach[:, None] - other.reach
    station = int(np.argmin(least.min(axis=1)))
    return float(least.min()), skin.centre[station]


def _candidates(skin: _Skin, other: _Skin) -> Array:
    """Points of a skin that may be the nearest to another: those whose least possible gap is below a gap that exists; asked
    of whole stations first.
    """
    bound = (cdist(skin.centre, other.centre) - other.reach).min(axis=1) - skin.reach
    there, _ = other.tree.query(skin.outer[int(np.argmin(bound))])
    points = skin.outer[bound <= max(float(there.min()), 0.0) + _SAMPLED_MM].reshape(-1, 3)
    least = (cdist(points, other.centre) - other.reach).min(axis=1)
    nearest = int(np.argmin(least))
    exists, _ = other.tree.query(points[nearest])
    return points[least <= max(float(exists), 0.0) + _SAMPLED_MM]


def _gap_to(points: Array, other: _Skin) -> Array:
    """Signed gap of points (k, 3) to another runner's skin."""
    near, _ = other.tree.query(points)
    station: npt.NDArray[np.intp] = np.argmin(cdist(points, other.centre), axis=1)
    offset = points - other.centre[station]
    x = np.sum(offset * other.u[station], axis=1)
    y = np.sum(offset * other.v[station], axis=1)
    along = np.abs(np.sum(offset * other.tangent[station], axis=1))
    rim_x, rim_y = other.rim
    count = rim_x.shape[1]
    start = np.arctan2(rim_y[station, 0], rim_x[station, 0])
    slot = np.round((np.arctan2(y, x) - start) / (2 * np.pi) * count).astype(int) % count
    inside = np.hypot(x, y) - np.hypot(rim_x[station, slot], rim_y[station, slot])
    return np.where((inside < 0.0) & (along < 5.0), inside, near)
