"""Bosses on a piece: each with its root blend joined to the skin under it, then its hole cut into the air inside."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import tan

import numpy as np
import numpy.typing as npt
from manifold3d import Manifold
from scipy.spatial import KDTree

from tractwright.design.boss import Boss
from tractwright.design.boss_hole import hole_profile, widest_radius
from tractwright.design.boss_space import boss_frame, carrier, into_top, slope
from tractwright.design.housing import cover_thickness_mm
from tractwright.design.records import Design
from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.checked import Checked, checked, cut, fused
from tractwright.kernel.mesh import Meshed
from tractwright.kernel.skins import SkinSurface, banded_solid
from tractwright.shape.blends import roots_made
from tractwright.shape.boss_skin import EDGE_MM, boss_skin, flat_profile
from tractwright.shape.parts.bodies import turned
from tractwright.shape.records import BuiltPiece

CREASES_DEG = (4.0, 7.0, 12.0, 20.0)
"""At what slope a blend crosses the skin: the smaller the truer, the larger the surer a boolean."""
_RADIUS_SHARES = (1.0, 0.7, 0.45, 0.3)
_LEAST_BLEND_MM = 0.8
_ON_SIDE_MM = 0.15


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BossRoot:
    """A boss's root blend, to be measured. foot_mm (n, 3) : where it meets the skin; inside_mm (m, 3) : points in the middle
    of what it stands on.
    """

    boss: Boss
    foot_mm: Array
    inside_mm: Array
    radius_mm: float

    @property
    def curve_mm(self) -> Array:
        """Points along the root."""
        return self.foot_mm

    def ours(self, points: Array) -> npt.NDArray[np.bool_]:
        """All but the hole."""
        local = boss_frame(self.boss).to_local(points)
        return np.hypot(local[:, 0], local[:, 1]) > widest_radius(self.boss) + 0.1

    def outside(self, points: Array, normals: Array) -> npt.NDArray[np.bool_]:
        """Points of the boss's side, and of the outside of what it stands on."""
        local = boss_frame(self.boss).to_local(points)
        side = self.boss.foot_mm / 2.0 - local[:, 2] * tan(slope(self.boss))
        on_side = np.abs(np.hypot(local[:, 0], local[:, 1]) - side) < _ON_SIDE_MM
        _, nearest = KDTree(self.inside_mm).query(points)
        away = np.einsum("ij,ij->i", normals, points - self.inside_mm[nearest]) > 0.0
        return away | (on_side & (local[:, 2] < self.boss.height_mm - EDGE_MM - 0.1))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Made:
    """A boss's body and the curve of its root, at one blend radius."""

    body: Checked
    foot_mm: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Stand:
    """A boss and what makes its body at a blend radius and a crease; inside_mm : points inside what it stands on."""

    boss: Boss
    make: Callable[[float, float], Made]
    inside_mm: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class WithBosses:
    """A body with the bosses that could be made, the roots they want, and a line for each that could not."""

    body: Checked
    roots: tuple[BossRoot, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]


def on_skin(boss: Boss, skin: SkinSurface, wall_mm: float, inside_mm: Array) -> Stand:
    """A boss on a runner's skin."""

    def make(radius_mm: float, crease_deg: float) -> Made:
        found = boss_skin(boss, skin, wall_mm, radius_mm, crease_deg)
        return Made(body=checked(banded_solid(found.bands_mm, f"boss {boss.name}")), foot_mm=found.foot_mm)

    return Stand(boss=boss, make=make, inside_mm=inside_mm)


def on_wall(boss: Boss, wall_mm: float) -> Stand:
    """A boss square on a flat wall."""
    frame = boss_frame(boss)

    def make(radius_mm: float, crease_deg: float) -> Made:
        profile = flat_profile(boss, wall_mm, radius_mm, crease_deg)
        turn = np.linspace(0.0, 2.0 * np.pi, 96, endpoint=False)
        wide = profile[3][0]
        foot = frame.to_world(np.column_stack([wide * np.cos(turn), wide * np.sin(turn), np.zeros(len(turn))]))
        return Made(body=turned(profile, frame), foot_mm=foot)

    below = frame.to_world([(0.0, 0.0, -wall_mm)])
    return Stand(boss=boss, make=make, inside_mm=below)


def with_bosses(body: Checked, stands: Sequence[Stand]) -> WithBosses:
    """The body with every boss that can be made: all at once, else one by one down a ladder of creases and radii."""
    try:
        made = [stand.make(stand.boss.blend_mm, CREASES_DEG[0]) for stand in stands]
        whole = fused(body, [item.body for item in made], "joining bosses")
        roots = tuple(_root(stand, item) for stand, item in zip(stands, made, strict=True))
        return WithBosses(body=whole, roots=roots, left_out=(), notes=())
    except KernelError:
        return _one_by_one(body, stands)


def boss_holes(bosses: Sequence[Boss]) -> list[Checked]:
    """The cutters of their holes."""
    return [turned(hole_profile(boss), into_top(boss)) for boss in bosses]


def wall_bosses(body: Checked, piece: str, design: Design) -> WithBosses:
    """A plenum piece or cover with the bosses on its walls and their holes. Raises KernelError for a hole."""
    stands = [on_wall(boss, _flat_mm(boss, design)) for boss in design.bosses if _is_on(boss, piece, design)]
    if not stands:
        return WithBosses(body=body, roots=(), left_out=(), notes=())
    found = with_bosses(body, stands)
    return replace(found, body=holed(found.body, [s.boss for s in stands if s.boss.name not in found.left_out]))


def with_boss_blends(built: BuiltPiece, fine: Meshed, found: WithBosses) -> BuiltPiece:
    """The piece, finely meshed, with its bosses' roots among the blends wanted and, where the ball rolls round them, made."""
    return replace(
        built,
        blends_wanted=built.blends_wanted + len(found.roots) + len(found.left_out),
        blends_made=built.blends_made + roots_made(fine, found.roots),
        left_out=found.left_out,
    )


def _is_on(boss: Boss, piece: str, design: Design) -> bool:
    return bool(boss.plenum) and carrier(boss, design) == piece


def _flat_mm(boss: Boss, design: Design) -> float:
    """Metal under a boss on a plenum: the wall, or the cover."""
    plenum = next(item for item in design.plena if item.name == boss.plenum)
    return plenum.wall_mm if boss.place != "top" else cover_thickness_mm(plenum, design)


def rough_bosses(body: Manifold, stands: Sequence[Stand]) -> Manifold:
    """Bosses and holes on a mesh twin, where no exact solid could be made; what has no body there stays away."""
    for stand in stands:
        try:
            body = body + stand.make(stand.boss.blend_mm, CREASES_DEG[0]).body.twin
        except KernelError:
            continue
        body = body - turned(hole_profile(stand.boss), into_top(stand.boss)).twin
    return body


def holed(body: Checked, bosses: Sequence[Boss]) -> Checked:
    """The body with the bosses' holes. Raises KernelError."""
    return cut(body, boss_holes(bosses), "holes of bosses")


def _one_by_one(body: Checked, stands: Sequence[Stand]) -> WithBosses:
    roots: list[BossRoot] = []
    left_out: list[str] = []
    notes: list[str] = []
    for stand in stands:
        found = _climbed(body, stand)
        if isinstance(found, KernelError):
            left_out.append(stand.boss.name)
            notes.append(f"boss {stand.boss.name} is not on the solid: {found.reason}")
            continue
        body, root, note = found
        roots.append(root)
        notes += [note] if note else []
    return WithBosses(body=body, roots=tuple(roots), left_out=tuple(left_out), notes=tuple(notes))


def _climbed(body: Checked, stand: Stand) -> tuple[Checked, BossRoot, str] | KernelError:
    fault = KernelError(f"boss {stand.boss.name}", "no radius was tried")
    for share in _RADIUS_SHARES:
        radius = share * stand.boss.blend_mm
        if share < 1.0 and radius < _LEAST_BLEND_MM:
            break
        for crease in CREASES_DEG:
            try:
                made = stand.make(radius, crease)
                whole = fused(body, [made.body], f"joining boss {stand.boss.name}")
            except KernelError as found:
                fault = fault if fault.reason != "no radius was tried" else found
                continue
            small = f"the root of boss {stand.boss.name} has {radius:.1f} mm, not {stand.boss.blend_mm:g}"
            return whole, _root(stand, made), small if share < 1.0 else ""
    return fault


def _root(stand: Stand, made: Made) -> BossRoot:
    return BossRoot(boss=stand.boss, foot_mm=made.foot_mm, inside_mm=stand.inside_mm, radius_mm=stand.boss.blend_mm)
