"""The making plan: stock, reach, set-ups, time, price."""

from dataclasses import replace

import numpy as np

from tractwright.design.records import Design
from tractwright.geometry.frames import Array
from tractwright.geometry.height_map import seen_fraction
from tractwright.job.sheet import JobSheet
from tractwright.job.shop_tables import Shop
from tractwright.make.holds import features_of, holds_for
from tractwright.make.reach import passage_reaches, surface_points
from tractwright.make.records import MakingPlan, Setup, Stock
from tractwright.make.setups import Hold, least_sequence
from tractwright.make.stock import stock_of
from tractwright.make.time_and_price import cutting_minutes, price_lines, setup_minutes
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece

_NOTES = (
    "Regenerative chatter is not judged: it needs the machine's and the tools' own data.",
    "Times and allowances are judgement; rates are the sheet's. Machine tools have their own safety rules.",
    "Rough both sides, let the part go once, finish the sealing faces last (common practice, no source).",
)


def reaches(sheet: JobSheet, design: Design, pieces: tuple[BuiltPiece, ...]) -> tuple[PassageReach, ...]:
    """How far cutters reach into every passage, from the built pieces; nothing for a piece that could not be built."""
    through = [piece for piece in _built(pieces) if piece.kind in ("head", "middle")]
    return tuple(found for piece in through for found in passage_reaches(sheet.shop, design, piece))


def plan(
    sheet: JobSheet, design: Design, pieces: tuple[BuiltPiece, ...], reached: tuple[PassageReach, ...]
) -> MakingPlan:
    """Everything about making that a quotation needs but the price. A piece that could not be built gets a note only."""
    built = _built(pieces)
    stocks = tuple(stock_of(sheet.shop, design, piece) for piece in built)
    found = [_setups(sheet.shop, design, piece, stock) for piece, stock in zip(built, stocks, strict=True)]
    setups = tuple(setup for group, _ in found for setup in group)
    left = tuple(note for _, notes in found for note in notes)
    return MakingPlan(
        stocks=stocks,
        passages=reached,
        setups=setups,
        currency="",
        price=(),
        notes=(*_not_built(pieces), *_out_of_reach(reached), *left, *_too_big(sheet.shop, stocks), *_NOTES),
    )


def priced(making: MakingPlan, shop: Shop) -> MakingPlan:
    """The plan with its price at the shop's rates."""
    return replace(making, currency=shop.currency, price=price_lines(shop, making.stocks, making.setups))


def _built(pieces: tuple[BuiltPiece, ...]) -> tuple[BuiltPiece, ...]:
    return tuple(piece for piece in pieces if len(piece.mesh[1]))


def _not_built(pieces: tuple[BuiltPiece, ...]) -> tuple[str, ...]:
    return tuple(
        f"{piece.name}: could not be built, so neither its block, set-ups and reach nor its share of the price are known."
        for piece in pieces
        if not len(piece.mesh[1])
    )


def _out_of_reach(reached: tuple[PassageReach, ...]) -> tuple[str, ...]:
    """What the set-ups take for granted and these cutters do not do."""
    short = dict.fromkeys(passage.runner for passage in reached if passage.verdict == "must split")
    names = ", ".join(short)
    text = f"The middle of the passages {names} is out of reach of these cutters: set-ups and price hold only with a "
    return (text + "longer cutter, or with the piece split there and joined again.",) if short else ()


def _setups(shop: Shop, design: Design, piece: BuiltPiece, stock: Stock) -> tuple[tuple[Setup, ...], tuple[str, ...]]:
    record = next(item for item in design.pieces if item.name == piece.name)
    sequence = least_sequence(holds_for(shop, design, record), features_of(design, record))
    cutting = cutting_minutes(stock, piece, _area(piece), _holes(design, piece))
    total = sum(len(made) for made in sequence.made)
    setups = tuple(
        Setup(
            name=f"{piece.name} {number}: {hold.name}",
            piece=piece.name,
            machine=shop.machine,
            direction=hold.direction,
            holds_by=hold.holds_by,
            needs=tuple(sorted(hold.needs)),
            makes=tuple(sorted(made)),
            reaches_fraction=_seen(piece, hold),
            tools=(),
            minutes=setup_minutes(hold, len(made) / total, cutting),
        )
        for number, (hold, made) in enumerate(zip(sequence.holds, sequence.made, strict=True), start=1)
    )
    missing = ", ".join(sorted(sequence.missing))
    notes = (f"{piece.name}: no set-up of this machine makes: {missing}.",) if missing else ()
    return setups, notes


def _area(piece: BuiltPiece) -> float:
    vertices, faces = piece.mesh
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def _holes(design: Design, piece: BuiltPiece) -> int:
    joints = {joint.name for joint in design.joints if piece.name in joint.pieces}
    return sum(screw.joint in joints for screw in design.screws) + 2 * sum(d.joint in joints for d in design.dowels)


def _seen(piece: BuiltPiece, hold: Hold) -> float:
    points: Array = surface_points(piece.mesh, 4000)
    return seen_fraction(piece.mesh[0], piece.mesh[1], points, np.array(hold.direction))


def _too_big(shop: Shop, stocks: tuple[Stock, ...]) -> tuple[str, ...]:
    """Blocks that the machine's travels do not take, longest side along the longest travel."""
    travel = sorted(shop.travel_mm, reverse=True)
    return tuple(
        f"{stock.piece}: the block is larger than the machine's travels; use a larger machine or split the piece."
        for stock in stocks
        if any(side > room for side, room in zip(sorted(stock.size_mm, reverse=True), travel, strict=True))
    )
