"""The block each piece is sawn from."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from tractwright.design.records import Design
from tractwright.geometry.frames import Array, vec3
from tractwright.job.shop_tables import Plate, Shop
from tractwright.make.records import Stock
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material
from tractwright.standards.stock import plate_thicknesses

_COARSE_DEG, _FINE_DEG = 1.0, 0.1


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Lying:
    """A way to saw a piece out: axes as rows, the block's size along them, the plate's thickness, whether it can be bought."""

    axes: Array
    size_mm: Array
    plate_mm: float
    listed: bool

    @property
    def rank(self) -> tuple[bool, float]:
        """What can be bought first, then the least block."""
        return not self.listed, float(np.prod(self.size_mm))


def stock_of(shop: Shop, design: Design, piece: BuiltPiece) -> Stock:
    """The least block over the ways a shop would lay the piece in: turned about the row or about a joint's normal.

    One side becomes the thickness of a plate from the shop's list; the saw's allowance is added all round. Where nothing on
    the list is large enough the block is what it would take, and says so.
    """
    record = next(item for item in design.pieces if item.name == piece.name)
    points = piece.mesh[0]
    corners = points[ConvexHull(points).vertices]
    bases = [np.eye(3), *(j.frame.matrix() for j in design.joints if piece.name in j.pieces)]
    best = min((least_block(shop, corners, base, axis) for base in bases for axis in (0, 2)), key=lambda one: one.rank)
    mass = float(np.prod(best.size_mm)) * material(record.material).density_kg_mm3
    return Stock(
        piece=piece.name,
        size_mm=vec3(best.size_mm),
        axes=(vec3(best.axes[0]), vec3(best.axes[1]), vec3(best.axes[2])),
        plate_mm=best.plate_mm,
        mass_kg=mass,
        buy_to_fly=mass / piece.mass_kg,
        listed=best.listed,
    )


def least_block(shop: Shop, corners_mm: Array, base: Array, axis: int) -> Lying:
    """The least block that holds the corners (n, 3), turned about one axis of a base: by whole degrees, then finer."""
    turned = np.arange(0.0, 90.0, _COARSE_DEG)
    first = min(turned, key=lambda angle: _lying(shop, corners_mm, base, axis, angle).rank)
    near = np.arange(first - _COARSE_DEG, first + _COARSE_DEG + _FINE_DEG / 2, _FINE_DEG)
    return min((_lying(shop, corners_mm, base, axis, angle) for angle in near), key=lambda one: one.rank)


def _lying(shop: Shop, corners_mm: Array, base: Array, axis: int, angle_deg: float) -> Lying:
    turn, (i, j) = np.eye(3), [k for k in range(3) if k != axis]
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    turn[i, i], turn[i, j], turn[j, i], turn[j, j] = c, s, -s, c
    axes = turn @ base
    seen = corners_mm @ axes.T
    raw = np.ptp(seen, axis=0) + 2 * shop.saw_allowance_mm
    return min(_sawn(shop, axes, raw), key=lambda one: one.rank)


def _sawn(shop: Shop, axes: Array, raw_mm: Array) -> Iterator[Lying]:
    """From every plate thick enough, whichever side becomes the thickness; else as it would have to be bought."""
    for thick in range(3):
        others = sorted((raw_mm[k] for k in range(3) if k != thick), reverse=True)
        for plate in plates_of(shop):
            room = sorted((plate.width_mm, plate.length_mm), reverse=True)
            if plate.thickness_mm >= raw_mm[thick] and all(a <= b for a, b in zip(others, room, strict=True)):
                size = raw_mm.copy()
                size[thick] = plate.thickness_mm
                yield Lying(axes=axes, size_mm=size, plate_mm=plate.thickness_mm, listed=True)
    thin = int(np.argmin(raw_mm))
    size = raw_mm.copy()
    size[thin] = np.ceil(size[thin] / 10.0) * 10.0
    yield Lying(axes=axes, size_mm=size, plate_mm=float(size[thin]), listed=False)


def plates_of(shop: Shop) -> tuple[Plate, ...]:
    """The shop's own list, else usual metric plate up to the largest it can have."""
    length, width = shop.largest_plate_mm
    return shop.stock or tuple(
        Plate.model_validate({"thickness": thickness, "width": width, "length": length})
        for thickness in plate_thicknesses()
    )
