"""The block each piece is sawn from."""

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
_NOT_LISTED = 1e15
"""Added to the volume of a block that cannot be bought: any listed one goes before it."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Lying:
    """A way to saw a piece out: axes as rows, the block's size along them, the plate's thickness, whether it can be bought.

    rank : what to choose by, least first.
    """

    axes: Array
    size_mm: Array
    plate_mm: float
    listed: bool
    rank: float


def stock_of(shop: Shop, design: Design, piece: BuiltPiece) -> Stock:
    """The least block over the ways a shop would lay the piece in: turned about the row or about a joint's normal.

    One side becomes the thickness of a plate from the shop's list; the saw's allowance is added all round. Where nothing on
    the list is large enough the block is what it would take, and says so.
    """
    record = next(item for item in design.pieces if item.name == piece.name)
    best = least_block(shop, design, piece.name, piece.mesh[0])
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


def least_block(shop: Shop, design: Design, name: str, points_mm: Array) -> Lying:
    """The least block round points (n, 3), laid along the job's axes or along those of one of the piece's joints."""
    corners = points_mm[ConvexHull(points_mm).vertices]
    bases = [np.eye(3), *(joint.frame.matrix() for joint in design.joints if name in joint.pieces)]
    return min((turned_block(shop, corners, base, axis) for base in bases for axis in (0, 2)), key=lambda one: one.rank)


def turned_block(shop: Shop, corners_mm: Array, base: Array, axis: int) -> Lying:
    """The least block that holds the corners, turned about one axis of a base: by whole degrees, then by tenths."""
    coarse = np.arange(0.0, 90.0, _COARSE_DEG)
    rank, _ = _ranks(shop, _raw(shop, corners_mm, base, axis, coarse))
    first = coarse[int(np.argmin(rank.min(axis=(1, 2))))]
    fine = np.arange(first - _COARSE_DEG, first + _COARSE_DEG + _FINE_DEG / 2, _FINE_DEG)
    raw = _raw(shop, corners_mm, base, axis, fine)
    rank, thickness = _ranks(shop, raw)
    turn, thick, plate = np.unravel_index(int(np.argmin(rank)), rank.shape)
    size = raw[turn].copy()
    size[thick] = thickness[turn, thick, plate]
    return Lying(
        axes=_axes(base, axis, np.array([fine[turn]]))[0],
        size_mm=size,
        plate_mm=float(size[thick]),
        listed=bool(rank[turn, thick, plate] < _NOT_LISTED),
        rank=float(rank[turn, thick, plate]),
    )


def _axes(base: Array, axis: int, angles_deg: Array) -> Array:
    """The base turned about one of its axes (a, 3, 3), rows."""
    i, j = (k for k in range(3) if k != axis)
    turn = np.tile(np.eye(3), (len(angles_deg), 1, 1))
    c, s = np.cos(np.radians(angles_deg)), np.sin(np.radians(angles_deg))
    turn[:, i, i], turn[:, i, j], turn[:, j, i], turn[:, j, j] = c, s, -s, c
    return turn @ base


def _raw(shop: Shop, corners_mm: Array, base: Array, axis: int, angles_deg: Array) -> Array:
    """Size along the turned axes with the saw's allowance (a, 3) [mm]."""
    seen = np.einsum("aij,nj->ani", _axes(base, axis, angles_deg), corners_mm)
    return np.ptp(seen, axis=1) + 2.0 * shop.saw_allowance_mm


def _ranks(shop: Shop, raw_mm: Array) -> tuple[Array, Array]:
    """Volume and thickness (a, 3, p + 1) of every block: which side is the plate's thickness, which plate; the last one
    stands for a plate that is not on the list.
    """
    plates = np.array(
        [(p.thickness_mm, max(p.width_mm, p.length_mm), min(p.width_mm, p.length_mm)) for p in plates_of(shop)]
    )
    others = np.sort(np.stack([np.delete(raw_mm, k, axis=1) for k in range(3)], axis=1), axis=2)
    short, long = others[..., 0], others[..., 1]
    fits = raw_mm[..., None] <= plates[:, 0]
    fits &= (long[..., None] <= plates[:, 1]) & (short[..., None] <= plates[:, 2])
    area = (short * long)[..., None]
    listed = np.where(fits, area * plates[:, 0], np.inf)
    bought = np.ceil(raw_mm / 10.0) * 10.0
    thinnest = raw_mm == raw_mm.min(axis=1, keepdims=True)
    asked_for = np.where(thinnest[..., None], area * bought[..., None] + _NOT_LISTED, np.inf)
    rank = np.concatenate([listed, asked_for], axis=2)
    thickness = np.concatenate([np.broadcast_to(plates[:, 0], fits.shape), bought[..., None]], axis=2)
    return rank, thickness


def plates_of(shop: Shop) -> tuple[Plate, ...]:
    """The shop's own list, else usual metric plate up to the largest it can have."""
    length, width = shop.largest_plate_mm
    return shop.stock or tuple(
        Plate.model_validate({"thickness": thickness, "width": width, "length": length})
        for thickness in plate_thicknesses()
    )
