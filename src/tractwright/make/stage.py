"""The making plan: stock, reach, set-ups, time, price."""

from collections.abc import Iterator
from dataclasses import replace

from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet
from tractwright.job.shop_tables import Shop
from tractwright.make.alternatives import alternatives_of
from tractwright.make.chatter import chatter_of, not_judged
from tractwright.make.piece_plan import PiecePlan, piece_plan
from tractwright.make.price import price_lines, priced_alternative, sensitivity
from tractwright.make.reach import passage_reaches
from tractwright.make.records import Effort, MakingPlan, Stock, Unreached
from tractwright.make.sheets import sheet_cut
from tractwright.make.thin_walls import thin_wall_notes
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece

_NAMED, _TOLD_MM2 = 3, 100.0
_NOTES = (
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
    shop, built = sheet.shop, _built(pieces)
    found = [piece_plan(shop, design, piece, reached) for piece in built]
    stocks = tuple(one.stock for one in found)
    setups = tuple(setup for one in found for setup in one.setups)
    making = MakingPlan(
        stocks=stocks,
        passages=reached,
        setups=setups,
        currency="",
        price=(),
        notes=(
            *_not_built(pieces),
            *_out_of_reach(reached),
            *_left_over(found),
            *_not_listed(stocks),
            *thin_wall_notes(shop, design),
            *not_judged(shop, setups),
            *_NOTES,
        ),
        sheets=tuple(sheet_cut(spacer, design) for spacer in design.spacers),
        missing=tuple(item for one in found for item in one.missing),
        unreached=tuple(patch for one in found for patch in one.unreached),
        chatter=chatter_of(shop, setups),
    )
    return replace(making, alternatives=alternatives_of(shop, design, built, making))


def priced(making: MakingPlan, shop: Shop) -> MakingPlan:
    """The plan with its price at the shop's rates, what that hangs on, and what the alternatives cost."""
    effort = effort_of(making)
    return replace(
        making,
        currency=shop.currency,
        price=price_lines(shop, effort),
        sensitivity=sensitivity(shop, effort),
        alternatives=tuple(priced_alternative(shop, one) for one in making.alternatives),
    )


def effort_of(making: MakingPlan) -> Effort:
    """What the whole plan takes."""
    low, high = (sum(setup.minutes[k] for setup in making.setups) / 60.0 for k in (0, 1))
    kilograms = sum(stock.mass_kg for stock in making.stocks)
    return Effort(stock_kg=kilograms, pieces=len(making.stocks), mill_h=(low, high), sheets=making.sheets)


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


def _left_over(found: list[PiecePlan]) -> tuple[str, ...]:
    missing = tuple(text for one in found for text in _missing_words(one.missing))
    patches = tuple(text for one in found for text in _unreached_words(one.unreached))
    return (*missing, *patches, *(note for one in found for note in one.notes))


def _missing_words(missing: tuple[tuple[str, str, str], ...]) -> Iterator[str]:
    """One line a cause: which features of a piece no set-up makes."""
    for why in dict.fromkeys(why for _, _, why in missing):
        names = [what for _, what, cause in missing if cause == why]
        yield f"{missing[0][0]}: no set-up makes {_few(names)}: {why}."


def _few(names: list[str]) -> str:
    return ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")


def _unreached_words(patches: tuple[Unreached, ...]) -> Iterator[str]:
    """One line a cause: how much, of what, where the largest lies."""
    for why in dict.fromkeys(patch.why for patch in patches):
        alike = [patch for patch in patches if patch.why == why]
        largest, area = alike[0], sum(patch.area_mm2 for patch in alike)
        names = list(dict.fromkeys(patch.what for patch in alike))
        x, y, z = largest.at_mm
        if area < _TOLD_MM2:
            continue
        yield (
            f"{largest.piece}: {area / 100:.0f} cm2 are not reached in these set-ups, of {_few(names)} (near x {x:.0f}, "
            f"y {y:.0f}, z {z:.0f}): {why}."
        )


def _not_listed(stocks: tuple[Stock, ...]) -> tuple[str, ...]:
    return tuple(
        f"{stock.piece}: no plate of the stock list is large enough; it would take one {stock.plate_mm:.0f} mm thick."
        for stock in stocks
        if not stock.listed
    )
