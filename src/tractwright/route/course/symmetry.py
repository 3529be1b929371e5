"""Likeness in a row of ports: where ports are alike, the search keeps to courses that are alike.

Fewer unknowns, and what a shop expects to see. Ties, strictest first: all runners the same (mouths as far apart as the
ports, plenum along the row), square to the row and, where things stand beside it, aslant too; the two halves of the row
mirroring each other, or over two banks turning into each other; none. The room need not be alike: its
rows are asked for all. Free poles are steps from the own port's centre, so small errors of a measured pattern do no harm.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, unit
from tractwright.route.course.packed import Ints, Packed
from tractwright.route.course.rows import KINDS, Rows
from tractwright.route.course.unknowns import OWN, Bounds, length_at, size_of

_NEAR_MM, _NEAR = 0.5, 0.02
"""Ports that differ by less [mm; rad] count as alike: what a scan or callipers leave uncertain."""
_SAME_MM, _SAME = 0.01, 1e-4
"""Below this a twin's own rows say nothing new."""
_HELD = 1e-6
"""Scaled unknowns that differ by less are the same."""
_EITHER = np.isin(KINDS, ("room", "key way", "plenum room", "flange over keys", "other plenum"))
"""Kinds that depend on what stands around, asked for every runner."""
_ASIDE = 0.3
_MIRROR, _HALF_TURN = np.array([-1.0, 1.0, 1.0]), np.array([-1.0, -1.0, 1.0])
"""What becomes of along, up, out: mirrored in the plane through the row's middle; turned about the way out of it."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Tie:
    """Unknowns from the fewer that are free: x = fixed + sum over j of sign[:, j] y at member[:, j].

    member, sign (fewer, w): the unknowns a free one moves, sign 0 where there is none; the first column always moves.
    fixed (unknowns,): values of those not free, bounds still count; keep (n,): runners whose own rows are asked.
    """

    member: Ints
    sign: Array
    fixed: Array
    keep: npt.NDArray[np.bool_]

    def widened(self, y: Array) -> Array:
        """All unknowns from the free ones."""
        x = self.fixed.copy()
        np.add.at(x, self.member.ravel(), (self.sign * y[:, None]).ravel())
        return x

    def drawn_together(self, x: Array) -> Array:
        """The free unknowns nearest to x."""
        return np.sum(self.sign * (x - self.fixed)[self.member], axis=1) / np.sum(self.sign**2, axis=1)

    def holds(self, x: Array) -> bool:
        """Whether x keeps to the tie."""
        return bool(np.abs(self.widened(self.drawn_together(x)) - x).max() < _HELD)

    def narrowed(self, slope: Array) -> Array:
        """Slopes (..., unknowns) on the free unknowns (..., fewer)."""
        total = slope[..., self.member[:, 0]] * self.sign[:, 0]
        for j in range(1, self.member.shape[1]):
            total += slope[..., self.member[:, j]] * self.sign[:, j]
        return total

    def asked(self, rows: Rows) -> npt.NDArray[np.bool_]:
        """Which rows are to be asked (r,)."""
        return _EITHER[rows.kind] | self.keep[np.minimum(rows.subject, len(self.keep) - 1)]


def ties_of(packed: Packed, bounds: Bounds) -> tuple[Tie, ...]:
    """The ties that fit the ports, strictest first; the last is none at all."""
    loose = _tie([[(at, 1.0)] for at in range(size_of(packed))], np.zeros(size_of(packed)), np.ones(len(packed.start)))
    if len(packed.faces) != 1 or len(packed.start) < 2 or not _allows(bounds, 4, 0.0):
        return (loose,)
    ties = [loose]
    order = np.lexsort((packed.across, packed.place))
    twin: Ints = order[::-1][np.argsort(order)].astype(np.int64)
    mirrored = _allows(bounds, 0, 0.0) and _differ(packed, twin, _MIRROR) is not None
    if mirrored:
        ties.insert(0, _twins(packed, twin, _MIRROR))
    elif all(_allows(bounds, at, 0.0) for at in (0, 1, 3)) and _differ(packed, twin, _HALF_TURN) is not None:
        ties.insert(0, _twins(packed, twin, _HALF_TURN))
    aslant = aslant_tie(packed, bounds)
    if aslant is not None and (_beside(packed) or not mirrored):
        ties.insert(0, aslant)
    if aslant is not None and mirrored:
        ties.insert(0, _alike(packed, _at_port_pitch(packed, bounds), planar=True))
    return tuple(ties)


def aslant_tie(packed: Packed, bounds: Bounds) -> Tie | None:
    """All runners the same and free to leave the planes square to the row, the plenum moved along it; None where ports differ
    or no plenum may stand along their row.
    """
    pitch = _at_port_pitch(packed, bounds)
    alone = len(packed.faces) == 1 and len(packed.start) > 1 and _allows(bounds, 4, 0.0)
    return _alike(packed, pitch, planar=False) if alone and _regular(packed) and _allows(bounds, 5, pitch) else None


def _at_port_pitch(packed: Packed, bounds: Bounds) -> float:
    """The scaled pitch at which mouths stand as far apart as the ports."""
    return float(packed.port_pitch[0] / bounds.scale[5])


def _beside(packed: Packed) -> bool:
    """Whether something kept out stands beside the row, so that a plenum might have to move along it."""
    room, along = packed.problem.room, packed.base[0, 0]
    planes = any(abs(float(along @ unit(np.array(plane.normal)))) > _ASIDE for plane in room.planes)
    return planes or bool(room.boxes or room.grids or room.rods)


def _tie(groups: list[list[tuple[int, float]]], fixed: Array, keep: npt.ArrayLike) -> Tie:
    width = max(len(group) for group in groups)
    padded = [group + [(group[0][0], 0.0)] * (width - len(group)) for group in groups]
    return Tie(
        member=np.array([[at for at, _ in group] for group in padded], dtype=np.int64),
        sign=np.array([[sign for _, sign in group] for group in padded]),
        fixed=fixed,
        keep=np.asarray(keep, dtype=np.bool_),
    )


def _alike(packed: Packed, pitch: float, planar: bool) -> Tie:
    """All runners the same; in planes square to the row where the ports look square out of it."""
    fixed = np.zeros(size_of(packed))
    fixed[5] = pitch
    groups = [[(at, 1.0)] for at in (1, 2, 3, length_at(packed))]
    if not planar:
        groups.append([(0, 1.0)])
    for k in range(OWN):
        if not (planar and _is_along(k)):
            groups.append([(_own(packed, r) + k, 1.0) for r in range(len(packed.start))])
    ends = np.stack([_own_facts(packed, r) for r in range(len(packed.start))])
    keep = np.abs(ends - ends[0]).max(axis=1) > _SAME
    keep[0] = True
    return _tie(groups, fixed, keep)


def _twins(packed: Packed, twin: Ints, flip: Array) -> Tie:
    """Each runner is its twin's image."""
    free = (1, 2, 3, 5) if flip[1] > 0.0 else (2, 5)
    groups = [[(at, 1.0)] for at in (*free, length_at(packed))]
    rank = np.argsort(np.lexsort((packed.across, packed.place)))
    for r, t in enumerate(twin):
        if rank[r] > rank[t]:
            continue
        for k in range(OWN):
            first, second = _own(packed, r) + k, _own(packed, int(t)) + k
            if first != second:
                groups.append([(first, 1.0), (second, _sign(k, flip))])
            elif _sign(k, flip) > 0.0:
                groups.append([(first, 1.0)])
    worst = _differ(packed, twin, flip)
    same = worst is not None and worst < _SAME_MM
    keep = rank <= rank[twin] if same else np.ones(len(twin))
    return _tie(groups, np.zeros(size_of(packed)), keep)


def _own(packed: Packed, r: int) -> int:
    return length_at(packed) + 1 + OWN * r


def _is_along(k: int) -> bool:
    return k >= 2 and (k - 2) % 3 == 0


def _sign(k: int, flip: Array) -> float:
    """What an own unknown is multiplied by in the image: end leads stay, steps of free poles are flipped."""
    return float(flip[(k - 2) % 3]) if k >= 2 else 1.0


def _allows(bounds: Bounds, at: int, value: float) -> bool:
    return bool(bounds.low[at] - 1e-9 <= value <= bounds.high[at] + 1e-9)


def _sizes(packed: Packed) -> Array:
    """Sizes of each runner (n, s) that must be alike."""
    sizes = (packed.lead, packed.mouth_lead, packed.half_wide, packed.half_least, packed.wall, packed.mouth_radius)
    return np.stack([*sizes, packed.share * 100.0], axis=1)


def _differ(packed: Packed, twin: Ints, flip: Array) -> float | None:
    """By how much [mm] runners differ from their twins' mirror images; None if by too much."""
    base = packed.base[0]
    start, axis = (packed.start - packed.origin[0]) @ base.T, packed.axis @ base.T
    wide = packed.wide @ base.T
    facing = np.abs(np.einsum("nd,nd->n", wide, wide[twin] * flip)).min()
    off = max(
        float(np.abs(start - start[twin] * flip).max()),
        float(np.abs(_sizes(packed) - _sizes(packed)[twin]).max()),
    )
    turned = float(np.abs(axis - axis[twin] * flip).max())
    alike = off < _NEAR_MM and turned < _NEAR and facing > 1.0 - _NEAR
    return max(off, turned * 100.0) if alike else None


def _own_facts(packed: Packed, r: int) -> Array:
    """What makes a runner: its port's place beside where a regular row has it, axis, sizes."""
    regular = packed.origin[0] + packed.place[r] * packed.port_pitch[0] * packed.base[0, 0]
    return np.concatenate([packed.start[r] - regular, packed.axis[r], _sizes(packed)[r]])


def _regular(packed: Packed) -> bool:
    """Ports at one pitch in a line, all the same."""
    facts = np.stack([_own_facts(packed, r) for r in range(len(packed.start))])
    turned = np.abs(facts[:, 3:6] - facts[0, 3:6]).max()
    off = max(np.abs(facts[:, :3]).max(), np.abs(facts[:, 6:] - facts[0, 6:]).max())
    facing = np.abs(packed.wide @ packed.wide[0]).min()
    return bool(off < _NEAR_MM and turned < _NEAR and facing > 1.0 - _NEAR)
