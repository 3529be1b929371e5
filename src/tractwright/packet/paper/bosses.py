"""Bosses on the page: alike ones on one line, with what is cut into them."""

from itertools import groupby

from tractwright.design.boss import Boss
from tractwright.design.boss_hole import tip_mm
from tractwright.design.records import Design
from tractwright.packet.paper.words import Rows, numbered


def boss_rows(design: Design) -> Rows:
    """A row for all that are alike: names, what for, where, sizes, hole."""
    ordered = sorted(design.bosses, key=_figures)
    return [_row(list(group)) for _, group in groupby(ordered, key=_figures)]


def _figures(boss: Boss) -> tuple[object, ...]:
    sizes = (boss.top_mm, boss.height_mm, boss.blend_mm, boss.hole_mm, boss.hole_depth_mm)
    return (boss.name.rpartition(".")[0], boss.use, boss.thread, boss.pocket_mm, *(round(size, 1) for size in sizes))


def _row(alike: list[Boss]) -> list[str]:
    first = alike[0]
    return [
        numbered([boss.name for boss in alike]),
        first.use,
        ", ".join(boss.runner or f"{boss.plenum} {boss.place}".replace("_", " ") for boss in alike),
        f"{first.top_mm:.1f}",
        f"{first.height_mm:.1f}",
        f"{first.blend_mm:.1f}",
        _hole(first),
        f"{tip_mm(first):.1f}",
    ]


def _hole(boss: Boss) -> str:
    steps = [f"{wide:g} wide {deep:g} deep" for wide, deep in boss.pocket_mm]
    cut = [f"{boss.thread}, {boss.thread_mm:.1f} full"] if boss.thread else []
    return ", ".join([*steps, *cut, f"drill {boss.hole_mm:.2f} to {boss.hole_depth_mm:.1f}"])
