"""The plenums' bodies, and what stands out of them, as points over their surfaces, gathered in patches."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, unit
from tractwright.route.course.records import Stub

Ints = npt.NDArray[np.int64]
_AROUND = 16
"""Points round a stub."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """fixed (s, 3): points about the middle of the mouths, face frame, at no pitch at all [mm]; rate (s,): how far each
    moves along x for a millimetre of pitch; patch (s,): which patch of the surface each belongs to; ours (s,): whether it
    is the part's.
    """

    fixed: Array
    rate: Array
    patch: Ints
    ours: npt.NDArray[np.bool_]

    def least_of_patches(self, distance: Array) -> Ints:
        """Of each patch the point whose distance is least."""
        order = np.lexsort((distance, self.patch))
        first = np.ones(len(order), dtype=np.bool_)
        first[1:] = np.diff(self.patch[order]) > 0
        return order[first].astype(np.int64)


def box_body(low_mm: Array, high_mm: Array, stretch: float, long_mm: float, grain_mm: tuple[float, float]) -> Body:
    """A box's surface. low_mm, high_mm : its corners at no pitch; stretch : how far its ends move along x, either way, for
    a millimetre of pitch; long_mm : how long it will be about; grain_mm : points at most so far apart, patches so wide.
    """
    extent = np.array([long_mm, *(high_mm - low_mm)[1:]])
    steps = [max(2, int(np.ceil(size / grain_mm[0])) + 1) for size in extent]
    grid = np.meshgrid(*[np.linspace(-1.0, 1.0, step) for step in steps], indexing="ij")
    share = np.stack([axis.ravel() for axis in grid], axis=1)
    share = share[np.abs(share).max(axis=1) > 1.0 - 1e-9]
    cells = [max(1, round(size / grain_mm[1])) for size in extent]
    code = np.zeros(len(share), dtype=np.int64)
    for axis, count in enumerate(cells):
        cell = np.minimum(((share[:, axis] + 1.0) / 2.0 * count).astype(np.int64), count - 1)
        code = code * count + cell
    return Body(
        fixed=(low_mm + high_mm) / 2.0 + share * (high_mm - low_mm) / 2.0,
        rate=share[:, 0] * stretch,
        patch=np.unique(code, return_inverse=True)[1].astype(np.int64),
        ours=np.ones(len(share), dtype=np.bool_),
    )


def stub_body(stub: Stub, stretch: float) -> Body:
    """The far end and the skirt of a stub: a patch for each eighth of the way round."""
    axis = unit(np.array(stub.axis))
    across = unit(np.cross(axis, np.eye(3)[int(np.abs(axis).argmin())]))
    angle = np.arange(_AROUND) * 2.0 * np.pi / _AROUND
    round_it = np.cos(angle)[:, None] * across + np.sin(angle)[:, None] * np.cross(axis, across)
    along = np.linspace(0.0, stub.length_mm, 4)
    points = stub.start_mm + along[:, None, None] * axis + stub.radius_mm * round_it
    return Body(
        fixed=points.reshape(-1, 3),
        rate=np.full(points.shape[0] * _AROUND, stub.moves * stretch),
        patch=np.tile(np.arange(_AROUND, dtype=np.int64) // 2, len(along)),
        ours=np.full(points.shape[0] * _AROUND, stub.ours),
    )


def together(bodies: list[Body]) -> Body:
    """Several bodies as one, each with patches of its own."""
    offsets = np.cumsum([0, *(int(body.patch.max()) + 1 for body in bodies)])
    return Body(
        fixed=np.concatenate([body.fixed for body in bodies]),
        rate=np.concatenate([body.rate for body in bodies]),
        patch=np.concatenate([body.patch + offset for body, offset in zip(bodies, offsets[:-1], strict=True)]),
        ours=np.concatenate([body.ours for body in bodies]),
    )
