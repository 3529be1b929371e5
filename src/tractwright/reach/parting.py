"""Where to part a passage whose cuts from both ends do not meet: both halves are tried, each from its own two ends."""

import numpy as np

from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.reach.cutters import stickout_limit
from tractwright.reach.placings import Placings, depth, directions, from_end, placings_in, running
from tractwright.reach.records import INSET_MM

_LEAST_ROWS = 4
_TRIES = 3


def parted(placings: Placings, reach_mm: tuple[float, float]) -> tuple[float, float]:
    """The station [mm] of a plane square to the passage that leaves least of both halves uncut, and what it leaves [mm]; 0
    where cutters reach all of both. reach_mm : from the port and from the mouth. The middle of the gap is tried first, then
    moved towards the half that has less left.
    """
    s = placings.model.s_mm
    place = (reach_mm[0] + s[0] + s[-1] - reach_mm[1]) / 2.0
    tried: list[tuple[float, float]] = []
    for _ in range(_TRIES):
        row = int(np.clip(np.searchsorted(s, place), _LEAST_ROWS, len(s) - 1 - _LEAST_ROWS))
        near, far = _left(placings, row, reach_mm)
        tried.append((max(near, 0.0) + max(far, 0.0), float(s[row])))
        if tried[-1][0] <= 0.0 or near * far >= 0.0:
            break
        place = float(s[row]) + (far - near) / 2.0
    left, at = min(tried)
    return at, left


def _left(placings: Placings, row: int, reach_mm: tuple[float, float]) -> tuple[float, float]:
    """What is left of the half at the port and of the half at the mouth [mm]; below 0 by how far the two reaches overlap."""
    s = placings.model.s_mm
    halves = _half(placings, row, 0), _half(placings, row, 1)
    deep = [_from_parting(half, side) for half, side in zip(halves, (1, 0), strict=True)]
    to_port, to_mouth = float(s[row] - s[0]) + INSET_MM, float(s[-1] - s[row]) + INSET_MM
    return to_port - reach_mm[0] - deep[0], to_mouth - reach_mm[1] - deep[1]


def _half(placings: Placings, row: int, side: int) -> Placings:
    """One half: its stations, the passage's wall and the metal round it on its side of the plane. side : 0 at the port."""
    model, keep = placings.model, slice(None, row + 1) if side == 0 else slice(row, None)
    fields = {name: getattr(model, name)[keep] for name in Tube.__slots__}
    way = model.tangent[row] * (1.0 if side == 0 else -1.0)
    return placings_in(
        placings.shop,
        Tube(**fields),
        _behind(placings.near.T, model.centre_mm[row], way),
        _behind(placings.far.T, model.centre_mm[row], way),
    )


def _behind(points: Array, at_mm: Array, way: Array) -> Array:
    return np.ascontiguousarray(points[(points - at_mm) @ way <= 0.0])


def _from_parting(half: Placings, side: int) -> float:
    """How deep the best cutter comes into a half from the plane it was parted at [mm]."""
    model = half.model
    out = -model.tangent[0] if side == 0 else model.tangent[-1]
    need = from_end(half, directions(half.shop, out), side)
    limits = {cutter.name: stickout_limit(half.shop, cutter) for cutter in half.cutters}
    found = running(need, limits, side)[0]
    return depth(found if side == 0 else found[::-1], model.s_mm)
