"""hand_off/stock.step: the block each piece is sawn from, lying round the piece."""

from collections.abc import Mapping, Sequence

import numpy as np

from tractwright.cache import kept
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.make.records import Stock
from tractwright.packet.contents import Contents

_Block = tuple[Stock, Array]


def write(contents: Contents) -> Mapping[str, bytes]:
    """One box a piece, its allowance spread evenly to both sides."""
    case = contents.case
    corners = {piece.name: piece.mesh[0] for piece in case.pieces or () if len(piece.mesh[0])}
    blocks = [
        (stock, corners[stock.piece]) for stock in (case.plan.stocks if case.plan else ()) if stock.piece in corners
    ]
    stocks = tuple(stock for stock, _ in blocks)
    return kept("stock_blocks", (contents.shape_key, stocks), lambda: _file(blocks)) if blocks else {}


def _file(blocks: Sequence[_Block]) -> dict[str, bytes]:
    from tractwright.kernel.primitives import extrude  # loads the kernel: only where files are written anew
    from tractwright.kernel.step import step_bytes

    named = [
        (f"stock {stock.piece}", extrude(_rectangle(stock), block_frame(stock, corners), stock.size_mm[2]))
        for stock, corners in blocks
    ]
    return {"hand_off/stock.step": step_bytes(named, "stock")}


def block_frame(stock: Stock, corners_mm: Array) -> Frame:
    """The frame of the block's lowest face, along the stock's own axes; corners_mm : (n, 3) of the piece within it."""
    axes = np.array(stock.axes)
    seen = corners_mm @ axes.T
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2.0
    lowest = middle - np.array([0.0, 0.0, stock.size_mm[2] / 2.0])
    return Frame(origin_mm=vec3(lowest @ axes), x=stock.axes[0], y=stock.axes[1], z=stock.axes[2])


def _rectangle(stock: Stock) -> Contour:
    w, h = stock.size_mm[0] / 2.0, stock.size_mm[1] / 2.0
    return ((w, -h, 0.0), (w, h, 0.0), (-w, h, 0.0), (-w, -h, 0.0))
