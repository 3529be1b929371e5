"""Which cutter reaches which patch of any solid, from which direction, at what stick-out.

A ball's centre stands its radius off the surface along the normal: whether the ball fits there is asked once, whatever the
direction. For each direction a height map tells whether the neck stays clear and where the holder may begin.
"""

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.closest import distances_to
from tractwright.geometry.frames import Array, unit
from tractwright.geometry.height_map import HeightMap, StraightTool, height_map
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.make.samples import Samples
from tractwright.reach.cutters import holder_radius, stickout_limit
from tractwright.shape.records import Mesh

FIT_MM = 0.2
"""A ball may seem to cut that much into its surroundings before it counts as too large: the mesh's own coarseness."""
BEYOND_HOLDER_MM = 2.0
_FLOOR, _WALL, _OVER_WRAP = 0.985, 0.17, 0.1
_ROUND = np.radians(np.arange(0.0, 360.0, 45.0))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class SolidReach:
    """What reaches each of n samples from k directions with m cutters.

    stickout_mm (k, m, n) : needed from tip to holder, inf where it does not reach within its limit. fits (m, n) : whether a
    cutter's end fits there at all; always for those that do not follow a surface.
    """

    samples: Samples
    directions: Array
    cutters: tuple[Cutter, ...]
    stickout_mm: Array
    fits: npt.NDArray[np.bool_]

    def reached(self) -> npt.NDArray[np.bool_]:
        """Whether any cutter reaches a sample from a direction (k, n)."""
        return np.asarray(np.isfinite(self.stickout_mm).any(axis=1))


def solid_reach(
    shop: Shop, mesh: Mesh, samples: Samples, directions: Array, cutters: tuple[Cutter, ...], step_mm: float = 0.5
) -> SolidReach:
    """Reach of straight cutters on a closed mesh; directions (k, 3), unit, from the work to the spindle."""
    fits = _fits(mesh, samples, cutters)

    def along(direction: Array) -> Array:
        seen = height_map(mesh[0], mesh[1], direction, step_mm)
        needs = [_stickouts(shop, seen, samples, cutter, fits[m]) for m, cutter in enumerate(cutters)]
        limits = [stickout_limit(shop, cutter) for cutter in cutters]
        return np.array([np.where(need <= limit, need, np.inf) for need, limit in zip(needs, limits, strict=True)])

    found = np.full((len(directions), len(cutters), len(samples.points_mm)), np.inf)
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as workers:
        for k, needs in enumerate(workers.map(along, directions)):
            found[k] = needs
    return SolidReach(samples=samples, directions=directions, cutters=cutters, stickout_mm=found, fits=fits)


def _fits(mesh: Mesh, samples: Samples, cutters: tuple[Cutter, ...]) -> npt.NDArray[np.bool_]:
    """Whether each cutter's ball stands on each sample without cutting in elsewhere (m, n); others are judged direction by
    direction.
    """
    fits = np.ones((len(cutters), len(samples.points_mm)), dtype=bool)
    round_ended = [m for m, cutter in enumerate(cutters) if cutter.kind in ("ball", "undercutting")]
    if round_ended and len(samples.points_mm):
        radii = np.array([cutters[m].diameter_mm / 2 for m in round_ended])
        centres = samples.points_mm + radii[:, None, None] * samples.normals
        off = distances_to(mesh[0], mesh[1], centres.reshape(-1, 3), 2.0 * float(radii.max())).reshape(len(radii), -1)
        fits[round_ended] = off >= radii[:, None] - FIT_MM
    return fits


def _stickouts(shop: Shop, seen: HeightMap, samples: Samples, cutter: Cutter, fits: npt.NDArray[np.bool_]) -> Array:
    """Stick-out (n,) needed along one direction; inf where blocked or where the cutter does not cut such a surface."""
    if cutter.kind in ("ball", "undercutting"):
        return _ball(shop, seen, samples, cutter, fits)
    return _flat(shop, seen, samples, cutter)


def _ball(shop: Shop, seen: HeightMap, samples: Samples, cutter: Cutter, fits: npt.NDArray[np.bool_]) -> Array:
    """Only where the end touches: beyond its wrap, at an angle of neck over head, the neck stands in the metal itself."""
    need = np.full(len(fits), np.inf)
    radius = cutter.diameter_mm / 2
    wrap = -np.sqrt(max(0.0, 1.0 - (cutter.neck_mm / cutter.diameter_mm) ** 2)) - _OVER_WRAP
    at = fits & (samples.normals @ seen.axes[2] > wrap)
    slack = FIT_MM if cutter.kind == "ball" else 0.0
    tool = StraightTool(body_mm=cutter.neck_mm / 2 - slack, holder_mm=holder_radius(shop, cutter))
    centres = samples.points_mm[at] + samples.normals[at] * radius
    level = centres @ seen.axes[2]
    need[at] = seen.stickouts(centres, level, level - radius, tool)
    return np.maximum(need, radius) + BEYOND_HOLDER_MM


def _flat(shop: Shop, seen: HeightMap, samples: Samples, cutter: Cutter) -> Array:
    """A flat or bull cutter: floors by its end, anywhere under it; walls by its side; slopes only with a rounded corner."""
    radius, corner = cutter.diameter_mm / 2, cutter.corner_mm
    up = samples.normals @ seen.axes[2]
    floor, wall = up > _FLOOR, np.abs(up) < _WALL
    slope = (up > 0.0) & ~floor & ~wall & (corner > 0.0)
    tool = StraightTool(
        flat_mm=radius - corner, corner_mm=corner, body_mm=radius - FIT_MM, holder_mm=holder_radius(shop, cutter)
    )
    need = np.full(len(up), np.inf)
    side = wall | slope
    flat_normal = samples.normals[side] - up[side, None] * seen.axes[2]
    across = unit(flat_normal + 1e-12 * seen.axes[0])
    rim = samples.points_mm[side] + corner * samples.normals[side] + (radius - corner) * across
    need[side] = _over(seen, rim, rim @ seen.axes[2] - corner, tool)
    around = np.cos(_ROUND)[:, None] * seen.axes[0] + np.sin(_ROUND)[:, None] * seen.axes[1]
    for step in (np.zeros((1, 3)), around * (radius - corner - FIT_MM)):
        for shift in step:
            at = samples.points_mm[floor] + shift
            need[floor] = np.minimum(need[floor], _over(seen, at, at @ seen.axes[2], tool))
    return need + BEYOND_HOLDER_MM


def _over(seen: HeightMap, axis_at_mm: Array, tip_mm: Array, tool: StraightTool) -> Array:
    return seen.stickouts(axis_at_mm, tip_mm + FIT_MM, tip_mm, tool)
