"""What is cut into a boss, and each hole of a channel: steps, thread, hole, as sizes along its axis from the top."""

from dataclasses import dataclass
from math import radians, tan

from tractwright.design.boss import Boss
from tractwright.design.channel import Drilling
from tractwright.geometry.contours import Contour
from tractwright.standards.npt import TAPER, taper_pipe_thread
from tractwright.standards.threads import thread

_TIP_HALF_ANGLE_DEG = 59.0
"""A twist drill's point, 118 degrees. Source: common_practice."""
BEYOND_MM = 1.5
BREAK_MM = 0.3
"""Chamfer at the mouth of the hole, over its widest or its thread. Source: common_practice."""
RUNOUT_PITCHES = 3.0
"""Drilled past a thread that ends blind. Source: common_practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore:
    """A part of a boss's hole: radius where it begins and where it ends, depth of its end from the top [mm]."""

    start_mm: float
    end_mm: float
    deep_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadSizes:
    """Radii [mm] of the hole a thread is cut in, at its start and its end, and of the thread outside; its pitch."""

    start_mm: float
    end_mm: float
    outside_mm: float
    pitch_mm: float


Drilled = Boss | Drilling
"""What has such a hole."""


def is_taper(name: str) -> bool:
    """Whether a thread is a taper pipe thread."""
    return name.upper().endswith("NPT")


def thread_sizes(boss: Drilled) -> ThreadSizes | None:
    """The sizes of a boss's thread; None where it has none. Raises TableError."""
    if not boss.thread:
        return None
    if is_taper(boss.thread):
        pipe = taper_pipe_thread(boss.thread)
        small = pipe.drill_reamed_mm / 2.0
        return ThreadSizes(
            start_mm=small + TAPER * boss.thread_mm / 2.0,
            end_mm=small,
            outside_mm=pipe.pipe_outside_mm / 2.0,
            pitch_mm=pipe.pitch_mm,
        )
    held = thread(boss.thread)
    drill = held.tap_drill_mm / 2.0
    return ThreadSizes(start_mm=drill, end_mm=drill, outside_mm=held.major_mm / 2.0, pitch_mm=held.pitch_mm)


def bores_of(boss: Drilled) -> tuple[Bore, ...]:
    """The parts of a boss's hole from the top down: steps, thread, runout, hole. Raises TableError."""
    found = [Bore(start_mm=wide / 2.0, end_mm=wide / 2.0, deep_mm=deep) for wide, deep in boss.pocket_mm]
    sizes, bore = thread_sizes(boss), boss.hole_mm / 2.0
    if sizes is not None:
        end = step_end(boss) + boss.thread_mm
        found.append(Bore(start_mm=sizes.start_mm, end_mm=sizes.end_mm, deep_mm=end))
        if bore < sizes.end_mm - 1e-6 and not boss.blind:
            runout = end + RUNOUT_PITCHES * sizes.pitch_mm
            found.append(Bore(start_mm=sizes.end_mm, end_mm=sizes.end_mm, deep_mm=runout))
    last = found[-1].deep_mm if found else 0.0
    if boss.blind and sizes is not None:
        return (
            *found,
            Bore(start_mm=sizes.end_mm, end_mm=sizes.end_mm, deep_mm=last + RUNOUT_PITCHES * sizes.pitch_mm),
        )
    return (*found, Bore(start_mm=bore, end_mm=bore, deep_mm=max(boss.hole_depth_mm, last + 0.5)))


def step_end(boss: Drilled) -> float:
    """Depth of the last step from the top [mm]: where the thread begins."""
    return max((deep for _, deep in boss.pocket_mm), default=0.0)


def tip_mm(boss: Drilled) -> float:
    """Depth of the drill's point from the top [mm]."""
    last = bores_of(boss)[-1]
    return last.deep_mm + last.end_mm / tan(radians(_TIP_HALF_ANGLE_DEG))


def widest_radius(boss: Drilled) -> float:
    """Radius that steps, thread and hole take of the boss [mm]."""
    sizes = thread_sizes(boss)
    return max([sizes.outside_mm if sizes else 0.0, *(bore.start_mm for bore in bores_of(boss))])


def hole_profile(boss: Drilled) -> Contour:
    """The hole as a profile to be turned, (radius, depth from the top, bulge), with mouth chamfer and drill's point."""
    bores, sizes = bores_of(boss), thread_sizes(boss)
    first = bores[0].start_mm
    mouth = max(sizes.outside_mm if sizes and not boss.pocket_mm else 0.0, first) + BREAK_MM
    chain = [(0.0, -BEYOND_MM, 0.0), (mouth + BEYOND_MM, -BEYOND_MM, 0.0), (first, mouth - first, 0.0)]
    at, deep = first, 0.0
    for bore in bores:
        if abs(bore.start_mm - at) > 1e-6:
            chain.append((bore.start_mm, deep, 0.0))
        chain.append((bore.end_mm, bore.deep_mm, 0.0))
        at, deep = bore.end_mm, bore.deep_mm
    return (*chain, (0.0, tip_mm(boss), 0.0))
