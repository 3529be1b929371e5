"""The cutters a shop has: its own list from the sheet, else a sensible one (common practice, no source)."""

import csv
from functools import cache
from importlib.resources import files

from tractwright.job.shop_tables import Cutter, CutterKind, Shop

REACHING: tuple[CutterKind, ...] = ("ball", "undercutting")
"""Kinds that follow a curved surface: what reaches into passages and over skins."""


def shop_cutters(shop: Shop, kinds: tuple[CutterKind, ...] = REACHING) -> tuple[Cutter, ...]:
    """The sheet's cutters of these kinds, or the usual ones where it lists none of them.

    Kinds asked for together stand for each other: a shop that lists one ball cutter has no usual undercutting one.
    """
    own = tuple(cutter for cutter in shop.cutter if cutter.kind in kinds)
    return own or tuple(cutter for cutter in usual_cutters() if cutter.kind in kinds)


@cache
def usual_cutters() -> tuple[Cutter, ...]:
    """Cutters many shops keep, by kind; drills and taps are bought for the hole and are not listed."""
    text = files("tractwright.reach").joinpath("cutters.csv").read_text(encoding="utf-8")
    return tuple(
        Cutter.model_validate(
            {
                "name": row["name"],
                "kind": row["kind"],
                "diameter": float(row["diameter_mm"]),
                "neck": float(row["neck_mm"]),
                "stickout": float(row["stickout_mm"]),
                "corner": float(row["corner_mm"]),
                "teeth": float(row["teeth"]),
            }
        )
        for row in csv.DictReader(text.splitlines())
    )


def stickout_limit(shop: Shop, cutter: Cutter) -> float:
    """The longest stick-out a cutter may be used at [mm]: its own, and the shop's multiple of its neck."""
    return min(cutter.stickout_mm, shop.longest_stickout * cutter.neck_mm)


def holder_radius(shop: Shop, cutter: Cutter) -> float:
    """Radius of the holder a cutter sits in [mm]: its own, else the shop's."""
    return (cutter.holder_mm or shop.holder_mm) / 2
