"""The figures always in sight: mass, price, torque; and the numbers the user holds."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import numpy as np
from nicegui import ui

from tractwright.packet.paper.words import figure, in_words
from tractwright.page.workroom import Answers


def figures(answers: Answers, revision: int) -> None:
    """Mass and price of the pieces last made, torque and length of the description; what is older than the job looks it."""
    whole, curve, look = answers.whole, answers.curve, answers.look
    with ui.element("div").classes("tw-figures"):
        if look is not None and look.design is not None:
            lengths = [runner.length_mm for runner in look.design.runners]
            volume = sum(plenum.volume_l for plenum in look.design.plena)
            stale = look.revision != revision
            _figure("length", figure(float(np.mean(lengths)), "mm"), stale=stale)
            if look.design.plena:
                _figure("plenum", figure(volume, "l"), stale=stale)
        if curve is not None:
            top = int(np.argmax(curve.torque_nm))
            words = f"{curve.torque_nm[top]:.0f} Nm at {curve.rpm[top]:.0f}"
            _figure("torque, a trend", words, stale=curve.revision != revision)
        if whole is not None:
            stale = whole.revision != revision
            _figure("mass", figure(sum(whole.masses_kg.values()), "kg"), stale=stale)
            if whole.price is not None:
                _figure("price", f"{whole.price[0]:.0f} to {whole.price[1]:.0f} {whole.currency}", stale=stale)
        else:
            ui.label("mass and price: make the pieces").classes("tw-small")


def held_numbers(held: Mapping[str, Any], free: Callable[[str], None]) -> None:
    """The numbers that are held, each to be given back."""
    if held:
        ui.html('<h2 class="tw">held</h2>', sanitize=False)
    for path, value in held.items():
        with ui.row().classes("items-baseline gap-2"):
            ui.label(f"{in_words(path)} = {_words(value)}")
            ui.button("give back", on_click=partial(free, path)).props("flat dense no-caps")


def _figure(name: str, words: str, *, stale: bool) -> None:
    with ui.element("div").classes("tw-figure" + (" tw-stale" if stale else "")):
        ui.html(f"<b>{words}</b>", sanitize=False)
        ui.label(name + (" (of before)" if stale else "")).classes("tw-small")


def is_level(value: Any) -> bool:
    """Whether it is a schedule along a runner that keeps one value."""
    rows = value if isinstance(value, list | tuple) else ()
    pairs = [row for row in rows if isinstance(row, list | tuple) and len(row) == 2]
    return 0 < len(rows) == len(pairs) and len({row[1] for row in pairs}) == 1


def _words(value: Any) -> str:
    if isinstance(value, float | int):
        return f"{value:g}"
    if is_level(value):
        return f"{value[0][1]:g} all along"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_words(item) for item in value) + "]"
    return str(value)
