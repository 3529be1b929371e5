"""Which side of a sawn block the shop's vices close on, and how much of it they hold."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, Vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.records import Stock

TALLEST, _TALLEST_ALONG = 1.75, 3.0
"""A block may stand so many times as high as it is wide across the jaws, and as it is long along them. Judgement."""
_SQUARE_DEG, _LEVEL = 0.8, 0.02
_LEAST_HELD_MM = 40.0
"""A leaning block is held where so much of its sides lies between the jaws; less is a corner. Judgement."""
_OVERHANGS = 3.0
"""A block may be so many times as long as the jaws that hold it, all vices in line. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gripped:
    """A block in the vices: how wide across the jaws, how much of its side they close on, how many vices, how high it stands,
    how deep it is held, how high the jaws end along the way up, how far it leans, the way across the jaws.
    """

    across_mm: float
    along_mm: float
    vices: int
    high_mm: float
    deep_mm: float
    level_mm: float
    leans_deg: float
    jaws_way: Vec3


def across_jaws_mm(shop: Shop, size_mm: Vec3, up: int) -> float:
    """Which side of a block the vice closes on [mm]: the widest it takes that stands safely; 0 where none does. up : which of
    the block's sizes stands upright.
    """
    height = size_mm[up]
    sides = [side for k, side in enumerate(size_mm) if k != up]
    pairs = ((sides[0], sides[1]), (sides[1], sides[0]))
    safe = [a for a, along in pairs if a <= shop.vice_opening_mm and _stands(shop, height, a, along)]
    return max(safe, default=0.0)


def gripped_at(shop: Shop, stock: Stock, up: Vec3, points_mm: Array) -> Gripped | None:
    """How the vices hold a block with a way up, square or leaning in the plane of its jaws; None where they do not, or only by
    a corner. points_mm (n, 3) : of the piece in the block.
    """
    along_up = [float(np.dot(up, axis)) for axis in stock.axes]
    index = int(np.argmax(np.abs(along_up)))
    leans = float(np.degrees(np.arccos(min(1.0, abs(along_up[index])))))
    low, block_low = float((points_mm @ np.array(up)).min()), _lowest(stock, up, points_mm)
    level = low - shop.saw_allowance_mm + shop.vice_grip_mm
    if leans < _SQUARE_DEG:
        across = across_jaws_mm(shop, stock.size_mm, index)
        along = along_jaws_mm(stock.size_mm, index, across)
        vices = vices_on(shop, along)
        held = min(along, vices * shop.vice_jaw_mm)
        way = next((stock.axes[k] for k in range(3) if k != index and stock.size_mm[k] == across), None)
        rest = (stock.size_mm[index], shop.vice_grip_mm, level, 0.0)
        return _gripped((across, way), held, vices, rest) if way is not None else None
    level_axis = int(np.argmin(np.abs(along_up)))
    across, deep = stock.size_mm[level_axis], level - block_low
    if abs(along_up[level_axis]) > _LEVEL or across > shop.vice_opening_mm or deep <= 0.0:
        return None
    slope = np.tan(np.radians(leans))
    along = min(deep * float(slope + 1.0 / slope), *(s for k, s in enumerate(stock.size_mm) if k != level_axis))
    high = sum(abs(share) * size for share, size in zip(along_up, stock.size_mm, strict=True))
    if along < _LEAST_HELD_MM or high > TALLEST * across:
        return None
    vices = vices_on(shop, along)
    return _gripped(
        (across, stock.axes[level_axis]), min(along, vices * shop.vice_jaw_mm), vices, (high, deep, level, leans)
    )


def _gripped(jaws: tuple[float, Vec3], along: float, vices: int, rest: tuple[float, float, float, float]) -> Gripped:
    (across, way), (high, deep, level, leans) = jaws, rest
    return Gripped(
        across_mm=across, along_mm=along, vices=vices, high_mm=high, deep_mm=deep, level_mm=level, leans_deg=leans,
        jaws_way=way,
    )  # fmt: skip


def _lowest(stock: Stock, up: Vec3, points_mm: Array) -> float:
    """How low the block's lowest corner lies along a way up [mm]: the piece lies in its middle."""
    seen = points_mm @ np.array(stock.axes).T
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2.0 @ np.array(stock.axes)
    return float(middle @ np.array(up) + (np.array(stock.corners_mm()) @ np.array(up)).min())


def along_jaws_mm(size_mm: Vec3, up: int, across_mm: float) -> float:
    """How long the sides of a block are that the vice closes on [mm]."""
    sides = [side for k, side in enumerate(size_mm) if k != up]
    return sides[1] if sides[0] == across_mm else sides[0]


def vices_on(shop: Shop, along_mm: float) -> int:
    """How many of the shop's vices stand in line under so long a side."""
    return max(1, min(round(shop.vices), int(along_mm / shop.vice_jaw_mm)))


def _stands(shop: Shop, height: float, across: float, along: float) -> bool:
    held = vices_on(shop, along) * shop.vice_jaw_mm
    return height <= min(TALLEST * across, _TALLEST_ALONG * along) and along <= _OVERHANGS * held
