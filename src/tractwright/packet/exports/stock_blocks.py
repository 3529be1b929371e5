"""hand_off/stock.step: the block each piece is sawn from, lying round the piece."""

from collections.abc import Mapping, Sequence

from tractwright.cache import kept
from tractwright.geometry.frames import Array
from tractwright.make.records import Stock
from tractwright.packet.blocks.stock import block_frame, block_outline
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
        (f"stock {stock.piece}", extrude(block_outline(stock), block_frame(stock, corners), stock.size_mm[2]))
        for stock, corners in blocks
    ]
    return {"hand_off/stock.step": step_bytes(named, "stock")}
