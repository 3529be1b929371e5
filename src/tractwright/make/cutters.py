"""The cutters a shop has: its own list from the sheet, else a sensible one (common practice, no source)."""

import csv
from functools import cache
from importlib.resources import files

from tractwright.job.shop_tables import Cutter, Shop


def shop_cutters(shop: Shop) -> tuple[Cutter, ...]:
    """The sheet's cutters, or the usual ones where the sheet lists none."""
    return shop.cutter or usual_cutters()


@cache
def usual_cutters() -> tuple[Cutter, ...]:
    """Ball and undercutting cutters with relieved necks that many shops keep."""
    text = files("tractwright.make").joinpath("cutters.csv").read_text(encoding="utf-8")
    return tuple(
        Cutter.model_validate(
            {
                "name": row["name"],
                "kind": row["kind"],
                "diameter": float(row["diameter_mm"]),
                "neck": float(row["neck_mm"]),
                "stickout": float(row["stickout_mm"]),
            }
        )
        for row in csv.DictReader(text.splitlines())
    )


def stickout_limit(shop: Shop, cutter: Cutter) -> float:
    """The longest stick-out a cutter may be used at [mm]: its own, and the shop's multiple of its neck."""
    return min(cutter.stickout_mm, shop.longest_stickout * cutter.neck_mm)
