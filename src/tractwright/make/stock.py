"""The block each piece is sawn from."""

import numpy as np

from tractwright.design.records import Design, Piece
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.records import Stock
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material
from tractwright.standards.stock import plate_thicknesses


def stock_of(shop: Shop, design: Design, piece: BuiltPiece) -> Stock:
    """The smallest block over the directions a shop would lay the piece in: turned about the row until it fits best.

    The shortest side becomes the plate's thickness, rounded up to a nominal plate; the saw's allowance is added all round.
    """
    record = next(item for item in design.pieces if item.name == piece.name)
    best = min((_box(piece.mesh[0], angle) for angle in np.radians(np.arange(0.0, 90.0, 1.0))), key=_volume)
    size, axes = best
    raw = np.array(size) + 2 * shop.saw_allowance_mm
    order = np.argsort(raw)
    plate = _plate_for(float(raw[order[0]]))
    raw[order[0]] = plate
    mass = float(np.prod(raw)) * _density(record)
    return Stock(
        piece=piece.name,
        size_mm=vec3(raw),
        axes=axes,
        plate_mm=plate,
        mass_kg=mass,
        buy_to_fly=mass / piece.mass_kg,
    )


def _density(piece: Piece) -> float:
    return material(piece.material).density_kg_mm3


def _plate_for(thickness_mm: float) -> float:
    """The next nominal plate; beyond the thickest, what is needed to the next 10 mm."""
    fitting = [plate for plate in plate_thicknesses() if plate >= thickness_mm]
    return min(fitting) if fitting else float(np.ceil(thickness_mm / 10.0) * 10.0)


def _box(vertices: Array, angle: float) -> tuple[Vec3, tuple[Vec3, Vec3, Vec3]]:
    axes = np.array([[1.0, 0.0, 0.0], [0.0, np.cos(angle), np.sin(angle)], [0.0, -np.sin(angle), np.cos(angle)]])
    seen = vertices @ axes.T
    return vec3(seen.max(axis=0) - seen.min(axis=0)), (vec3(axes[0]), vec3(axes[1]), vec3(axes[2]))


def _volume(found: tuple[Vec3, tuple[Vec3, Vec3, Vec3]]) -> float:
    return float(np.prod(found[0]))
