"""Why a block that nothing is cut of yet has no hold."""

from tractwright.check.case import Case
from tractwright.make.vices import across_jaws_mm


def no_vice(case: Case, piece: str) -> str:
    """That a piece's block stands safely in no vice of the shop, in words; '' where it does."""
    shop = case.sheet.shop
    for stock in case.plan.stocks if case.plan else ():
        if stock.piece == piece and not any(across_jaws_mm(shop, stock.size_mm, up) for up in range(3)):
            size = " x ".join(f"{side:.0f}" for side in stock.size_mm)
            line = "" if shop.vices < 2 else f", {shop.vices:.0f} in line"
            jaws = f"with jaws of {shop.vice_jaw_mm:.0f} mm{line}"
            return f"its block, {size} mm, stands safely in no vice that opens {shop.vice_opening_mm:.0f} mm, {jaws}"
    return ""
