"""Rough time and price, as ranges with what they are made of. Rates and allowances are the sheet's or judgement."""

from tractwright.job.shop_tables import Shop
from tractwright.make.records import PriceLine, Setup, Stock
from tractwright.make.setups import Hold
from tractwright.shape.records import BuiltPiece

# Judgement, no source: a middling mill in plate.
_ROUGHING_MM3_MIN = (60e3, 160e3)
_FINISHING_MM2_MIN = (2.5e3, 6e3)
_HOLE_MIN = (0.4, 1.0)
_SETTING_SHARE = (0.7, 1.4)
_PROGRAMMING_H_PIECE = (1.5, 4.0)
_SEALS_AND_SCREWS = (40.0, 90.0)
_LEAK_TEST_H = (0.5, 1.0)
_CUTTERS_SHARE = (0.04, 0.10)
_HAND_WORK_H_PIECE = (0.3, 0.8)


def cutting_minutes(stock: Stock, piece: BuiltPiece, area_mm2: float, holes: int) -> tuple[float, float]:
    """All cutting of a piece: removing the block's surplus, finishing its surface, its holes. Low, high [min]."""
    block = stock.size_mm[0] * stock.size_mm[1] * stock.size_mm[2]
    removed = max(0.0, block - piece.volume_mm3)
    low = removed / _ROUGHING_MM3_MIN[1] + area_mm2 / _FINISHING_MM2_MIN[1] + holes * _HOLE_MIN[0]
    high = removed / _ROUGHING_MM3_MIN[0] + area_mm2 / _FINISHING_MM2_MIN[0] + holes * _HOLE_MIN[1]
    return low, high


def setup_minutes(hold: Hold, share: float, cutting: tuple[float, float]) -> tuple[float, float]:
    """Setting up and the share of the cutting that falls into one set-up [min]."""
    low = hold.cost_min * _SETTING_SHARE[0] + cutting[0] * share
    high = hold.cost_min * _SETTING_SHARE[1] + cutting[1] * share
    return low, high


def price_lines(shop: Shop, stocks: tuple[Stock, ...], setups: tuple[Setup, ...]) -> tuple[PriceLine, ...]:
    """What the job costs, line by line, in the sheet's currency."""
    mass = sum(stock.mass_kg for stock in stocks)
    low = sum(setup.minutes[0] for setup in setups) / 60
    high = sum(setup.minutes[1] for setup in setups) / 60
    pieces = len(stocks)
    desk, hand, leak = _PROGRAMMING_H_PIECE, _HAND_WORK_H_PIECE, _LEAK_TEST_H
    rate, desk_rate = shop.rate_hour, shop.rate_programming_hour
    machine = (low * rate, high * rate)
    return (
        PriceLine(
            what="plate, sawn",
            low=mass * shop.stock_price_kg,
            high=1.2 * mass * shop.stock_price_kg,
            how=f"{mass:.1f} kg at {shop.stock_price_kg:.2f} a kg, 0 to 20 % for cuts",
        ),
        PriceLine(
            what="set-ups and cutting",
            low=machine[0],
            high=machine[1],
            how=f"{low:.1f} to {high:.1f} h in {len(setups)} set-ups at {rate:.0f} an hour",
        ),
        PriceLine(
            what="programming",
            low=pieces * desk[0] * desk_rate,
            high=pieces * desk[1] * desk_rate,
            how=f"{desk[0]:.1f} to {desk[1]:.1f} h a piece at {desk_rate:.0f} an hour",
        ),
        PriceLine(
            what="cutters worn",
            low=_CUTTERS_SHARE[0] * machine[0],
            high=_CUTTERS_SHARE[1] * machine[1],
            how="4 to 10 % of machine time",
        ),
        PriceLine(
            what="deburring and blending by hand",
            low=pieces * hand[0] * rate,
            high=pieces * hand[1] * rate,
            how=f"{hand[0]:.1f} to {hand[1]:.1f} h a piece",
        ),
        PriceLine(
            what="seals, screws, dowels", low=_SEALS_AND_SCREWS[0], high=_SEALS_AND_SCREWS[1], how="judgement, a set"
        ),
        PriceLine(
            what="assembly and leak test", low=leak[0] * rate, high=leak[1] * rate, how=f"{leak[0]} to {leak[1]} h"
        ),
    )
