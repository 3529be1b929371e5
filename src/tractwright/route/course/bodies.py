"""The plenums' bodies as points over their surfaces, gathered in patches."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """share (s, 3): places on the surface, each coordinate from -1 to 1 of the body's extent; patch (s,) which patch of
    the surface each belongs to.
    """

    share: Array
    patch: Ints

    def least_of_patches(self, distance: Array) -> Ints:
        """Of each patch the point whose distance is least."""
        order = np.lexsort((distance, self.patch))
        first = np.ones(len(order), dtype=np.bool_)
        first[1:] = np.diff(self.patch[order]) > 0
        return order[first].astype(np.int64)


def body_of(extent_mm: tuple[float, float, float], spacing_mm: float, patch_mm: float) -> Body:
    """A body's surface with points at most spacing_mm apart, in patches about patch_mm wide."""
    steps = [max(2, int(np.ceil(size / spacing_mm)) + 1) for size in extent_mm]
    grid = np.meshgrid(*[np.linspace(-1.0, 1.0, step) for step in steps], indexing="ij")
    share = np.stack([axis.ravel() for axis in grid], axis=1)
    share = share[np.abs(share).max(axis=1) > 1.0 - 1e-9]
    cells = [max(1, round(size / patch_mm)) for size in extent_mm]
    code = np.zeros(len(share), dtype=np.int64)
    for axis, count in enumerate(cells):
        cell = np.minimum(((share[:, axis] + 1.0) / 2.0 * count).astype(np.int64), count - 1)
        code = code * count + cell
    return Body(share=share, patch=np.unique(code, return_inverse=True)[1].astype(np.int64))
