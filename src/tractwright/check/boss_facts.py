"""Measurements of bosses on the fast model that several rules share."""

from math import ceil, inf

import numpy as np
import numpy.typing as npt
import shapely
from scipy.spatial import KDTree

from tractwright.check.bodies import crowd
from tractwright.check.case import Case
from tractwright.check.measures import hard_limits
from tractwright.design.boss import Boss
from tractwright.design.boss_ground import Nearest
from tractwright.design.boss_space import WayIn, boss_frame, carrier, first_met, into_top, outside_points, slope, way_in
from tractwright.design.passing import part_between
from tractwright.design.records import Flange
from tractwright.design.room import clearance, nearest
from tractwright.design.tube import Tube, centreline
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, unit

FAR_MM = 50.0
"""Gaps wider than this are not measured: they are free."""
_OVER_TOP_MM = 0.6
_WAY_STEP_MM = 4.0
_BESIDE_MM = 6.0
_MOST_RAISED_MM = 15.0
"""A boss is not raised by more for the sake of the spanner over it. Source: shop_judgement."""


MOST_LEAN_DEG = 65.0
MOST_WIDE = 0.92
"""A boss leans no further, and takes no larger a share of its runner's width. Judgement."""


def standing(case: Case) -> tuple[Boss, ...]:
    """Bosses that stand on a piece that is made here; of others fit.boss_placed says enough."""
    ours = {piece.name for piece in case.design.pieces if not piece.own}
    return tuple(boss for boss in case.design.bosses if carrier(boss, case.design) in ours)


def is_well_set(case: Case, boss: Boss) -> bool:
    """Whether a boss is no wider than its runner bears and does not lie along it, which rules of their own say."""
    return wide_share(case, boss) <= MOST_WIDE and lean_deg(case, boss) <= MOST_LEAN_DEG


def wide_share(case: Case, boss: Boss) -> float:
    """Half its foot with the root blend, as a share of the runner's half width there; 0 on a flat wall."""
    return (boss.foot_mm / 2.0 + boss.blend_mm) / half_across(case, boss)


def subject(boss: Boss, other: str = "") -> str:
    """The path of a boss, with that of what it meets."""
    return "+".join(sorted(name for name in (f"boss.{boss.name}", other) if name))


def elsewhere(boss: Boss) -> str:
    """How a boss is moved, as a sentence says it: round and along its runner, or over its wall."""
    return "move it on its wall, or to another wall" if boss.plenum else "turn its clock angle or move its station"


def way_of(case: Case, boss: Boss, radius_mm: float) -> WayIn:
    """How a cylinder about its axis comes into the air inside, on the fast model of its runner."""
    return way_in(boss, case.design, radius_mm, case.tubes.get(boss.runner))


def lean_deg(case: Case, boss: Boss) -> float:
    """How far its axis leans off the skin's normal [deg]."""
    if boss.plenum:
        return 0.0
    model = case.tubes[boss.runner]
    station, angle = _at(model, boss)
    along = model.outer_mm[min(station + 1, len(model.s_mm) - 1), angle] - model.outer_mm[max(station - 1, 0), angle]
    around = np.roll(model.outer_mm[station], -1, axis=0)[angle] - np.roll(model.outer_mm[station], 1, axis=0)[angle]
    normal = unit(np.cross(along, around))
    return float(np.degrees(np.arccos(np.clip(abs(normal @ np.array(boss.axis)), 0.0, 1.0))))


def opening_deg(case: Case, boss: Boss) -> float:
    """The least angle between a boss's side and the skin, all round its foot with the root blend [deg]; 0 where the foot hangs
    over the skin. A square boss on flat ground has 90 less its draft.
    """
    model = case.tubes[boss.runner]
    axis = np.array(boss.axis)
    start = foot_ring(boss) + axis * (boss.height_mm + boss.foot_mm)
    far = first_met(start, -axis, model.outer_mm)[:, 0]
    if not np.isfinite(far).all():
        return 0.0
    met = start - far[:, None] * axis
    skin = model.outer_mm.reshape(-1, 3)
    around = np.roll(model.outer_mm, -1, axis=1) - np.roll(model.outer_mm, 1, axis=1)
    normals = unit(np.cross(around, np.gradient(model.outer_mm, axis=0))).reshape(-1, 3)
    there = normals[KDTree(skin).query(met)[1]]
    leans = np.degrees(np.arccos(np.clip(np.abs(there @ axis), 0.0, 1.0)))
    return float(90.0 - np.degrees(slope(boss)) - leans.max())


def half_across(case: Case, boss: Boss) -> float:
    """Half the width of the runner's outside there, across the boss's axis [mm]; infinity on a flat wall."""
    if boss.plenum:
        return inf
    model = case.tubes[boss.runner]
    station, _ = _at(model, boss)
    across = unit(np.cross(model.tangent[station], np.array(boss.axis)))
    return float(np.abs((model.outer_mm[station] - model.centre_mm[station]) @ across).max())


def foot_ring(boss: Boss) -> Array:
    """Points (n, 3) on the widest that its foot may reach: a ring square to its axis, wider by the root blend."""
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    wide = boss.foot_mm / 2.0 + boss.blend_mm
    return boss_frame(boss).to_world(np.column_stack([wide * np.cos(turn), wide * np.sin(turn), np.zeros(len(turn))]))


def to_flanges(case: Case, boss: Boss) -> tuple[float, Flange, float] | None:
    """How far its foot keeps from the nearest of the two flanges its runner runs between, that flange, and the root
    radius the runner has there [mm]; None where it stands on no piece.
    """
    design = case.design
    runner = next(item for item in design.runners if item.name == boss.runner)
    flanges = [flange for flange in design.flanges if flange.piece == carrier(boss, design)]
    part = part_between(centreline(runner, design), flanges)
    if part is None:
        return None
    kinds = {joint.name: joint.kind for joint in design.joints}
    roots = {"head": runner.port_blend_mm, "split": runner.split_blend_mm}
    points = np.concatenate([foot_ring(boss), outside_points(boss)])
    found: list[tuple[float, Flange, float]] = []
    for flange in (flanges[place] for place in part.flanges):
        found.append((_off_plate(points, flange), flange, roots.get(kinds[flange.joint], runner.mouth_blend_mm)))
    return min(found, key=lambda item: item[0] - item[2])


def _off_plate(points: Array, flange: Flange) -> float:
    """The least distance of points (n, 3) off a flange's outer face and edge [mm], negative under its face."""
    local = flange.frame.to_local(points)
    ground = shapely.Polygon(polyline(flange.contour))
    beside = shapely.distance(ground, shapely.points(local[:, :2]))
    over = local[:, 2] - flange.thickness_mm
    return float(np.where(beside > 0.0, np.hypot(np.maximum(over, 0.0), beside), over).min())


def to_others(case: Case, boss: Boss) -> Nearest:
    """The least gap to whatever does not carry it: other runners, plenum, flanges of other pieces, necks, other bosses.

    Bodies on the mouths are not there while it is cut; fit.throttle_body says what comes too near to them.
    """
    own = {f"boss.{boss.name}", f"runner.{boss.runner}", f"plenum.{boss.plenum}"}
    piece = carrier(boss, case.design)
    own |= {f"flange.{flange.name}" for flange in case.design.flanges if flange.piece == piece}
    rows = {row.name for row in case.design.body_rows}
    own |= {f"throttle.{throttle.name}" for throttle in case.design.throttles if throttle.plenum in rows}
    points = outside_points(boss)
    best = Nearest(mm=FAR_MM, what="", place=np.array(boss.at_mm))
    for body in case.bodies:
        if body.subject in own:
            continue
        low = float(np.linalg.norm(body.middle - np.array(boss.at_mm), axis=1).min()) - float(body.reach.max())
        if low - boss.height_mm - boss.foot_mm > best.mm:
            continue
        name = body.subject.partition(".")[2]
        if body.subject.startswith("runner.") and name in case.tubes:
            gap = gap_to_skin(points, case.tubes[name])
        else:
            gap, _ = KDTree(body.groups.reshape(-1, 3)).query(points)
        worst = int(np.argmin(gap))
        if gap[worst] < best.mm:
            best = Nearest(mm=float(gap[worst]), what=body.subject, place=points[worst])
    return best


def gap_to_skin(points: Array, model: Tube) -> Array:
    """Signed distance of points (n, 3) to a runner's outside, negative inside it."""
    skin = model.outer_mm.reshape(-1, 3)
    near, index = KDTree(skin).query(points)
    station = index // model.outer_mm.shape[1]
    inwards = np.einsum("nk,nk->n", points - skin[index], skin[index] - model.centre_mm[station]) < 0.0
    beside = np.abs(np.einsum("nk,nk->n", points - model.centre_mm[station], model.tangent[station])) < _BESIDE_MM
    return near * np.where(inwards & beside, -1.0, 1.0)


def free_way(case: Case, boss: Boss) -> Nearest:
    """Free length over its top within the width it asks for, and what ends it: metal, with everything put on, or what is kept
    out of; the old part's own space is free. At most the length asked for.
    """
    frame = into_top(boss)
    radius, out = max(boss.swing_mm, boss.top_mm) / 2.0, np.array(boss.axis)
    around = crowd(tuple(body for body in case.bodies if body.subject != f"boss.{boss.name}"))
    points, owner = around.near(np.array(frame.origin_mm), out, radius, _OVER_TOP_MM)
    offset = points - np.array(frame.origin_mm)
    along = offset @ out
    off = np.linalg.norm(offset - along[:, None] * out, axis=1)
    met = np.where((along > _OVER_TOP_MM) & (off < radius), along, inf)
    best = Nearest(mm=boss.reach_mm, what="", place=np.array(frame.origin_mm))
    if met.size and met.min() < best.mm:
        first = int(np.argmin(met))
        best = Nearest(mm=float(met[first]), what=around.subjects[owner[first]], place=points[first])
    heights, places = _way_points(boss, radius)
    room = hard_limits(case.room)
    distance, _ = clearance(room, places)
    free = np.where(distance < 0.0, heights + distance, inf)
    if free.size and free.min() < best.mm:
        place = places[int(np.argmin(free))]
        best = Nearest(mm=float(free.min()), what=nearest(room, place[None, :])[0], place=place)
    return best


def clear_height(case: Case, boss: Boss) -> float | None:
    """How high the top of a boss on a wall must stand for its way to be free of the columns and the rim beside it [mm]; None
    where nothing of its own plenum stands in it, or more than a boss may be raised by.
    """
    own = crowd(tuple(body for body in case.bodies if body.subject == f"plenum.{boss.plenum}"))
    frame, out = into_top(boss), np.array(boss.axis)
    radius = max(boss.swing_mm, boss.top_mm) / 2.0
    points, _ = own.near(np.array(frame.origin_mm), out, radius, _OVER_TOP_MM)
    offset = points - np.array(frame.origin_mm)
    along = offset @ out
    met = along[(np.linalg.norm(offset - along[:, None] * out, axis=1) < radius) & (along > _OVER_TOP_MM)]
    if not met.size or float(met.max()) > _MOST_RAISED_MM:
        return None
    return boss.height_mm + ceil(2.0 * float(met.max())) / 2.0


def _way_points(boss: Boss, radius: float) -> tuple[Array, Array]:
    """Heights (n,) over the top, rising, and points (n, 3) in the free way there."""
    heights = np.arange(_WAY_STEP_MM, boss.reach_mm + 1e-9, _WAY_STEP_MM)
    turn = np.linspace(0.0, 2.0 * np.pi, 12, endpoint=False)
    ring = np.column_stack([radius * np.cos(turn), radius * np.sin(turn)])
    ring = np.concatenate([ring, ring / 2.0, [[0.0, 0.0]]])
    local = np.concatenate([np.column_stack([ring, np.full(len(ring), -h)]) for h in heights]) if len(heights) else None
    if local is None:
        return np.empty(0), np.empty((0, 3))
    return np.repeat(heights, len(ring)), into_top(boss).to_world(local)


def _at(model: Tube, boss: Boss) -> tuple[int, int]:
    """The station and the angle of the point on the outside that is nearest."""
    distance: npt.NDArray[np.float64] = np.linalg.norm(model.outer_mm - np.array(boss.at_mm), axis=2)
    station, angle = np.unravel_index(int(np.argmin(distance)), distance.shape)
    return int(station), int(angle)
