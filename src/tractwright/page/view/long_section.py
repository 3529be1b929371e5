"""The long section on the page: a part of its own, drawn in the browser."""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from nicegui.element import Element

from tractwright.page.strips import Strip


class LongSection(Element, component="../parts/long_section.js"):
    """Every runner unrolled, with handles. dragged, chosen : told what the hand did."""

    def __init__(self, dragged: Callable[[dict[str, Any]], None], chosen: Callable[[str], None]) -> None:
        super().__init__()
        self.show((), speed=0.0, stale=True, handles=False)
        self.on("drag", lambda event: dragged(event.args))
        self.on("choose", lambda event: chosen(event.args))

    def show(self, strips: Sequence[Strip], *, speed: float, stale: bool, handles: bool) -> None:
        """Draw anew. speed : at the mouths [m/s], 0 where not known."""
        self.props["strips"] = [asdict(strip) for strip in strips]
        self.props["speed"] = speed
        self.props["stale"] = stale
        self.props["handles"] = handles
        self.update()

    def light(self, runner: str, station_mm: float) -> None:
        """Mark a station of a runner; of the whole runner where it is negative."""
        self.props["chosen"] = runner
        self.props["lit"] = {"runner": runner, "station": station_mm}
        self.update()
