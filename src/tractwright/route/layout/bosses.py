"""Bosses: where each stands, how high and wide it is, how deep its hole goes, from the sheet and the skin under it."""

from dataclasses import dataclass, replace
from math import ceil, cos, isfinite, radians, sin, tan

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_hole import RUNOUT_PITCHES, is_taper
from tractwright.design.boss_space import (
    Spot,
    boss_model,
    spot_on_plenum,
    spot_on_runner,
    spot_under,
    wall_place,
    way_in,
)
from tractwright.design.file import Held
from tractwright.design.records import Design, Plenum, Runner
from tractwright.design.tube import Tube, runner_ports
from tractwright.geometry.frames import Vec3, unit, vec3
from tractwright.job.boss_tables import BossFacts
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.boss_places import free_place
from tractwright.standards.npt import taper_pipe_thread
from tractwright.standards.threads import thread

_THREAD_DIAMETERS = 1.5
"""Full thread for a fitting or sensor in light alloy, in diameters. Source: common_practice."""
_UNDER_STEP_MM = 2.0
_ROUND_HOLE_MM = 3.0
_WALL_SHARE = 1.6
"""Metal round a hole: 3 mm, and a boss 1.6 times as wide as its thread. Source: common_practice."""
_BORE_MM = 6.0
_LEAST_HEIGHT_MM = 4.0
_LEAST_TOP_MM = 0.5
_BLIND_SKIN_MM = 2.0
_SIDE_MM = 1.5
_INTO_AIR_MM = 0.5
_FLATS_SHARE = 1.6
_SOCKET_SHARE = 1.4
"""Across the flats of a fitting in thread diameters, and the socket over it. Source: common_practice."""
_REACH_MM = 40.0
_INJECTOR_REACH_MM = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hole:
    """What is cut into a boss. widest_mm : diameter it takes of the top; metal_mm : least metal along it;
    blind_mm : depth of a hole that ends in the metal, 0 of one that goes through.
    """

    hole_mm: float
    thread_mm: float
    widest_mm: float
    metal_mm: float
    blind_mm: float = 0.0


def bosses(design: Design, sheet: JobSheet, held: Held) -> tuple[Boss, ...]:
    """Every boss of the sheet that has a runner, or room on its wall, to stand on. Raises TableError."""
    found: list[Boss] = []
    on_runners = any(facts.wall is None for facts in sheet.boss)
    models = {runner.name: boss_model(runner, design) for runner in design.runners} if on_runners else {}
    for facts in sheet.boss:
        if facts.wall is not None:
            placed = [_on_plenum(facts, plenum, design, held, found) for plenum in design.plena]
            found += [boss for boss in placed if boss is not None]
        elif facts.top_at_mm is not None:
            found += _under_top(facts, facts.top_at_mm, (design, models), held)
        else:
            wanted = facts.runners or tuple(runner.name for runner in design.runners)
            named = [runner for runner in design.runners if runner.name in wanted]
            found += [_on_runner(facts, runner, (design, models), held) for runner in named]
    return tuple(found)


def boss_name(facts: BossFacts, ground: str) -> str:
    """The name of a boss of the sheet on one runner or plenum."""
    return f"{facts.name.strip().replace(' ', '_')}.{ground}"


_Ground = tuple[Design, dict[str, Tube]]
"""The description and its runners' models, by name."""


def _on_runner(facts: BossFacts, runner: Runner, ground: _Ground, held: Held) -> Boss:
    design, models = ground
    name = boss_name(facts, runner.name)
    said = facts.station_mm / runner.length_mm if facts.station_mm is not None else facts.share
    station = held.number(f"boss.{name}.station", min(said, 1.0))
    clock = held.number(f"boss.{name}.clock_deg", facts.clock_deg)
    spot = spot_on_runner(models[runner.name], station, clock)
    axis = _aimed(facts, spot, runner, design)
    bare = _bare(facts, name, spot, axis)
    standing = replace(bare, runner=runner.name, station=station, clock_deg=clock)
    return _sized(standing, facts, spot, ground, held)


def _under_top(facts: BossFacts, top_mm: Vec3, ground: _Ground, held: Held) -> list[Boss]:
    """The one whose top is given, on its runner or the nearest; none where its axis misses the skin."""
    design, models = ground
    named = [runner for runner in design.runners if not facts.runners or runner.name in facts.runners]
    away = [float(np.linalg.norm(models[r.name].centre_mm - np.array(top_mm), axis=1).min()) for r in named]
    if not named:
        return []
    runner = named[int(np.argmin(away))]
    axis = vec3(unit(facts.towards)) if facts.towards is not None else None
    found = spot_under(models[runner.name], top_mm, axis)
    if found is None:
        return []
    spot, station, clock = found
    rise = np.array(top_mm) - np.array(spot.at_mm)
    high = max(float(np.linalg.norm(rise)), _LEAST_TOP_MM)
    bare = _bare(facts, boss_name(facts, runner.name), spot, axis or vec3(unit(rise)))
    standing = replace(bare, runner=runner.name, station=station, clock_deg=clock)
    return [_sized(standing, facts.model_copy(update={"height_mm": high}), spot, ground, held)]


def _on_plenum(facts: BossFacts, plenum: Plenum, design: Design, held: Held, others: list[Boss]) -> Boss | None:
    """Where the sheet says; else at a free place nearest to the wall's middle, None where the wall has none."""
    if facts.top_at_mm is not None:
        place = wall_place(plenum, str(facts.wall), facts.top_at_mm)
        spot = _wall_spot(facts, plenum, design, place)
        high = float((np.array(facts.top_at_mm) - np.array(spot.at_mm)) @ np.array(spot.normal))
        tall = facts.model_copy(update={"height_mm": max(high, _LEAST_TOP_MM)})
        return _on_wall(tall, plenum, design, held, place)
    if facts.wall_at_mm is not None:
        return _on_wall(facts, plenum, design, held, facts.wall_at_mm)
    first = _on_wall(facts, plenum, design, held, (0.0, 0.0))

    def placed(spot: tuple[float, float]) -> Boss:
        return replace(first, at_mm=_wall_spot(facts, plenum, design, spot).at_mm)

    free = free_place(placed, plenum, design, others)
    return None if free is None else _on_wall(facts, plenum, design, held, free)


def _on_wall(facts: BossFacts, plenum: Plenum, design: Design, held: Held, at_mm: tuple[float, float]) -> Boss:
    spot = _wall_spot(facts, plenum, design, at_mm)
    bare = _bare(facts, boss_name(facts, plenum.name), spot, spot.normal)
    return _sized(replace(bare, plenum=plenum.name, place=facts.wall or ""), facts, spot, (design, {}), held)


def _wall_spot(facts: BossFacts, plenum: Plenum, design: Design, at_mm: tuple[float, float]) -> Spot:
    covers = [joint.name for joint in design.joints if joint.kind == "cover"]
    cover = max((flange.thickness_mm for flange in design.flanges if flange.joint in covers), default=0.0)
    return spot_on_plenum(plenum, str(facts.wall), at_mm, cover)


def _aimed(facts: BossFacts, spot: Spot, runner: Runner, design: Design) -> Vec3:
    """Outwards: off the skin's normal by the lean, or from the port's middle through the spot."""
    if facts.aim == "port":
        frame = next(bank.frame for bank in design.banks if bank.name == runner.bank)
        ports = frame.to_world(np.array([port.at_mm for port in runner_ports(runner, design)]))
        return vec3(unit(np.array(spot.at_mm) - ports.mean(axis=0)))
    lean, normal, along = radians(facts.lean_deg), np.array(spot.normal), np.array(spot.along)
    return vec3(normal * cos(lean) + unit(along - (along @ normal) * normal) * sin(lean))


def _bare(facts: BossFacts, name: str, spot: Spot, axis: Vec3) -> Boss:
    """A boss with its place and its aim, its sizes still to be found."""
    return Boss(
        name=name, use=facts.use, runner="", plenum="", station=0.0, clock_deg=0.0, place="", at_mm=spot.at_mm, axis=axis,
        height_mm=1.0, foot_mm=1.0, top_mm=1.0, blend_mm=facts.root_mm, hole_mm=1.0, hole_depth_mm=1.0,
        thread=facts.thread or "", thread_mm=0.0, pocket_mm=facts.pocket_mm, swing_mm=0.0, reach_mm=0.0, blind=facts.blind,
    )  # fmt: skip


def _sized(bare: Boss, facts: BossFacts, spot: Spot, ground: _Ground, held: Held) -> Boss:
    design, models = ground
    path, hole = f"boss.{bare.name}", _hole(facts)
    least_top = max(hole.widest_mm + 2 * _ROUND_HOLE_MM, _WALL_SHARE * hole.widest_mm if facts.thread else 0.0)
    top = held.number(f"{path}.top_mm", facts.top_mm or ceil(least_top))
    blend = held.number(f"{path}.blend_mm", facts.root_mm)
    way = way_in(bare, design, hole.hole_mm / 2, models.get(bare.runner))
    metal = way.first_mm if isfinite(way.first_mm) else spot.wall_mm
    lean = float(np.arccos(np.clip(np.dot(bare.axis, spot.normal), 0.2, 1.0)))
    least = max(hole.metal_mm - metal, foot_height(top / 2, lean, blend), _LEAST_HEIGHT_MM)
    height = held.number(f"{path}.height_mm", facts.height_mm or ceil(2 * least) / 2)
    deep = way.all_mm if isfinite(way.all_mm) else spot.wall_mm
    swing, reach = _free_way(facts, top)
    return replace(
        bare,
        height_mm=height,
        foot_mm=held.number(f"{path}.foot_mm", top + 2 * height * tan(radians(facts.draft_deg))),
        top_mm=top,
        blend_mm=blend,
        hole_mm=held.number(f"{path}.hole_mm", hole.hole_mm),
        hole_depth_mm=held.number(f"{path}.hole_depth_mm", hole.blind_mm or height + deep + _INTO_AIR_MM),
        thread_mm=held.number(f"{path}.thread_mm", hole.thread_mm),
        swing_mm=held.number(f"{path}.swing_mm", swing),
        reach_mm=held.number(f"{path}.reach_mm", reach),
    )


def foot_height(radius_mm: float, lean_rad: float, blend_mm: float) -> float:
    """How high a leaning boss must stand on flat ground so that its blend ends under its top on the sharp side [mm]."""
    sharp = np.pi / 2 - lean_rad
    return float(radius_mm * tan(lean_rad) + blend_mm / tan(sharp / 2)) + _SIDE_MM


def _hole(facts: BossFacts) -> _Hole:
    """Drill, thread, and what both ask of the boss."""
    step_mm = max((deep for _, deep in facts.pocket_mm), default=0.0)
    step_wide = max((wide for wide, _ in facts.pocket_mm), default=0.0)
    if not facts.thread:
        narrow = min((wide for wide, _ in facts.pocket_mm), default=_BORE_MM + 2.0)
        bore = facts.bore_mm or min(_BORE_MM, narrow - 2.0 if narrow > 4.0 else narrow / 2)
        metal = step_mm + _UNDER_STEP_MM if facts.pocket_mm else 0.0
        return _Hole(hole_mm=bore, thread_mm=0.0, widest_mm=max(bore, step_wide), metal_mm=metal)
    if is_taper(facts.thread):
        pipe = taper_pipe_thread(facts.thread)
        drill, outside, full, pitch = pipe.drill_reamed_mm, pipe.pipe_outside_mm, pipe.full_internal_mm, pipe.pitch_mm
    else:
        held = thread(facts.thread)
        drill, outside, full, pitch = held.tap_drill_mm, held.major_mm, _THREAD_DIAMETERS * held.major_mm, held.pitch_mm
    blind = facts.bore_mm is not None and facts.bore_mm < drill
    metal = step_mm + full + (RUNOUT_PITCHES * pitch + _UNDER_STEP_MM if blind else 0.0)
    if facts.blind:
        metal = step_mm + full + RUNOUT_PITCHES * pitch + 0.3 * drill + _BLIND_SKIN_MM
    return _Hole(
        hole_mm=min(facts.bore_mm or drill, drill),
        thread_mm=full,
        widest_mm=max(outside, step_wide),
        metal_mm=metal,
        blind_mm=step_mm + full + RUNOUT_PITCHES * pitch if facts.blind else 0.0,
    )


def _free_way(facts: BossFacts, top_mm: float) -> tuple[float, float]:
    """Diameter and length of the free way over the top."""
    reach = facts.reach_mm or (_INJECTOR_REACH_MM if facts.use == "injector" else _REACH_MM)
    if facts.swing_mm is not None:
        return facts.swing_mm, reach
    if not facts.thread:
        return top_mm, reach
    npt = is_taper(facts.thread)
    wide = taper_pipe_thread(facts.thread).pipe_outside_mm if npt else thread(facts.thread).major_mm
    return float(ceil(_FLATS_SHARE * _SOCKET_SHARE * wide)), reach
