"""Mirror symmetry of a row of ports: where it holds, the search keeps to courses that mirror each other.

Half the unknowns, and what a shop expects to see. The room need not be symmetric: its rows are asked for both halves.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array
from tractwright.route.course.packed import Ints, Packed
from tractwright.route.course.rows import KINDS, Rows
from tractwright.route.course.unknowns import OWN, Bounds, length_at, size_of

_NEAR_MM, _NEAR = 0.05, 1e-3
_EITHER = np.isin(KINDS, ("room", "key way", "plenum room", "other plenum"))
"""Kinds that depend on what stands around, asked for both halves."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Tie:
    """Unknowns from the fewer that are free.

    first, second (fewer,): the unknowns a free one moves, the second by `sign` (0 where there is none); size : how many
    unknowns; keep (n,): runners whose own rows are asked.
    """

    first: Ints
    second: Ints
    sign: Array
    size: int
    keep: npt.NDArray[np.bool_]

    def widened(self, y: Array) -> Array:
        """All unknowns from the free ones."""
        x = np.zeros(self.size)
        x[self.second] = self.sign * y
        x[self.first] = y
        return x

    def drawn_together(self, x: Array) -> Array:
        """The free unknowns nearest to x."""
        return (x[self.first] + self.sign * x[self.second]) / (1.0 + self.sign**2)

    def narrowed(self, slope: Array) -> Array:
        """Slopes (..., unknowns) on the free unknowns (..., fewer)."""
        if not self.sign.any():
            return slope[..., self.first]
        return slope[..., self.first] + self.sign * slope[..., self.second]

    def asked(self, rows: Rows) -> npt.NDArray[np.bool_]:
        """Which rows are to be asked (r,)."""
        return _EITHER[rows.kind] | self.keep[np.minimum(rows.subject, len(self.keep) - 1)]


def free(packed: Packed) -> Tie:
    """No tie: every unknown its own."""
    size = size_of(packed)
    each = np.arange(size)
    keep = np.ones(len(packed.start), dtype=np.bool_)
    return Tie(first=each, second=each, sign=np.zeros(size), size=size, keep=keep)


def mirror(packed: Packed, bounds: Bounds) -> Tie | None:
    """The tie of a mirror-symmetric row, None where the row is not symmetric."""
    if len(packed.faces) != 1 or len(packed.start) < 2 or not _held_middle(bounds):
        return None
    twin = np.argsort(packed.place)[::-1][np.argsort(np.argsort(packed.place))]
    if not _mirrors(packed, twin):
        return None
    moved: list[tuple[int, int, float]] = [(at, at, 0.0) for at in (1, 2, 3, 5, length_at(packed))]
    for r, t in enumerate(twin):
        if packed.place[r] > packed.place[t]:
            continue
        first, second = (length_at(packed) + 1 + OWN * int(i) for i in (r, t))
        for k in range(OWN):
            along = k >= 2 and (k - 2) % 3 == 0
            if r != t:
                moved.append((first + k, second + k, -1.0 if along else 1.0))
            elif not along:
                moved.append((first + k, first + k, 0.0))
    return Tie(
        first=np.array([entry[0] for entry in moved]),
        second=np.array([entry[1] for entry in moved]),
        sign=np.array([entry[2] for entry in moved]),
        size=size_of(packed),
        keep=packed.place <= packed.place[twin],
    )


def _held_middle(bounds: Bounds) -> bool:
    """Nothing held pulls the plenum aside or turns it."""
    return all(bounds.low[at] <= 1e-6 and bounds.high[at] >= -1e-6 for at in (0, 4))


def _mirrors(packed: Packed, twin: Array) -> bool:
    base = packed.base[0]
    start, axis = (packed.start - packed.origin[0]) @ base.T, packed.axis @ base.T
    flip = np.array([-1.0, 1.0, 1.0])
    wide = packed.wide @ base.T
    facing = np.abs(np.einsum("nd,nd->n", wide, wide[twin] * flip))
    sizes = (packed.lead, packed.mouth_lead, packed.half_wide, packed.half_least, packed.wall, packed.mouth_radius)
    return bool(
        np.abs(start - start[twin] * flip).max() < _NEAR_MM
        and np.abs(axis - axis[twin] * flip).max() < _NEAR
        and facing.min() > 1.0 - _NEAR
        and all(np.abs(size - size[twin]).max() < _NEAR_MM for size in (*sizes, packed.share * 100.0))
    )
