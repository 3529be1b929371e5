"""The price, line by line, from what the job takes and the shop's rates; what it hangs on most; what alternatives cost."""

from dataclasses import replace

from tractwright.job.shop_tables import Shop
from tractwright.make.records import Alternative, Effort, PriceLine, SheetCut

_SAW_SHARE = 0.2
_DESK, _HAND, _TEST, _CUTTERS, _PARTS = (0.6, 1.6), (0.6, 1.6), (0.67, 1.33), (0.57, 1.43), (0.62, 1.38)
"""How far below and above the sheet's figure a line may end. Judgement, no source."""
_OFF = 0.2
FIFTH_HIGHER = f" {100 * _OFF:.0f} % higher"
_WORDS = {
    "rate_hour": "the mill's rate an hour",
    "rate_programming_hour": "the desk's rate an hour",
    "stock_price_kg": "plate a kg",
    "programming_hours": "hours at the desk a piece",
    "hand_hours": "hours by hand a piece",
    "test_hours": "hours of assembly and test",
    "cutters_share": "cutters worn",
    "parts_price": "seals, screws, dowels",
}


def price_lines(shop: Shop, effort: Effort) -> tuple[PriceLine, ...]:
    """What a job of that effort costs, in the sheet's currency."""
    mass, pieces, (low, high) = effort.stock_kg, effort.pieces, effort.mill_h
    rate, desk = shop.rate_hour, shop.rate_programming_hour
    worn, desk_h = shop.cutters_share * rate * (low + high) / 2, pieces * shop.programming_hours
    return (
        PriceLine(
            what="plate, sawn",
            low=mass * shop.stock_price_kg,
            high=(1.0 + _SAW_SHARE) * mass * shop.stock_price_kg,
            how=f"{mass:.1f} kg at {shop.stock_price_kg:.2f} a kg, 0 to {100 * _SAW_SHARE:.0f} % for cuts",
        ),
        PriceLine(
            what="set-ups and cutting",
            low=low * rate,
            high=high * rate,
            how=f"{low:.1f} to {high:.1f} h at {rate:.2f} an hour, by set-up under Making",
        ),
        _line("programming", desk_h * desk, _DESK, f"{pieces} x {shop.programming_hours:g} h at {desk:.2f}"),
        _line("cutters worn", worn, _CUTTERS, f"{100 * shop.cutters_share:.0f} % of machine time"),
        _line("deburring and blending by hand", pieces * shop.hand_hours * rate, _HAND, f"{pieces} x {shop.hand_hours:g} h"),
        _line("seals, screws, dowels", shop.parts_price, _PARTS, "a set, of the sheet"),
        _line("assembly and leak test", shop.test_hours * rate, _TEST, f"{shop.test_hours:g} h"),
        *(_sheet_line(shop, item) for item in effort.sheets),
    )  # fmt: skip


def _sheet_line(shop: Shop, item: SheetCut) -> PriceLine:
    """A spacer as it is bought, or the sheet for it and the time to cut it."""
    what = f"insulating {item.name}".replace(".", " ")
    if shop.spacer_price > 0.0:
        return _line(what, shop.spacer_price, _PARTS, "bought, of the sheet")
    low, high = (item.area_dm2 * shop.spacer_sheet_price + minutes / 60.0 * shop.rate_hour for minutes in item.minutes)
    how = f"{item.area_dm2:.1f} dm2 of sheet at {shop.spacer_sheet_price:g}, {item.minutes[0]:.0f} to {item.minutes[1]:.0f} min"
    return PriceLine(what=what, low=low, high=high, how=f"{how} to cut, at {shop.rate_hour:.2f} an hour")


def _line(what: str, value: float, spread: tuple[float, float], how: str) -> PriceLine:
    words = f"{how}, {100 * spread[0]:.0f} to {100 * spread[1]:.0f} % of that"
    return PriceLine(what=what, low=spread[0] * value, high=spread[1] * value, how=words)


def middle(shop: Shop, effort: Effort) -> float:
    """The middle of the price's range."""
    return sum(line.low + line.high for line in price_lines(shop, effort)) / 2.0


def sensitivity(shop: Shop, effort: Effort) -> tuple[tuple[str, float], ...]:
    """By which share the price moves when one figure is a fifth higher, largest first; set-up and cutting time among them."""
    now = middle(shop, effort)
    if now <= 0.0:
        return ()
    slower = replace(effort, mill_h=(effort.mill_h[0] * (1 + _OFF), effort.mill_h[1] * (1 + _OFF)))
    heavier = replace(effort, stock_kg=effort.stock_kg * (1 + _OFF))
    found = [("time at the mill", middle(shop, slower)), ("mass of the blocks", middle(shop, heavier))]
    for key in _WORDS:
        dearer = shop.model_copy(update={key: getattr(shop, key) * (1 + _OFF)})
        found.append((_WORDS[key], middle(dearer, effort)))
    shares = [(f"{what}{FIFTH_HIGHER}", (value - now) / now) for what, value in found]
    return tuple(sorted(shares, key=lambda pair: -pair[1]))


def priced_alternative(shop: Shop, alternative: Alternative) -> Alternative:
    """An alternative with its price at the shop's rates."""
    lines = price_lines(shop, alternative.effort)
    return replace(alternative, low=sum(line.low for line in lines), high=sum(line.high for line in lines))
