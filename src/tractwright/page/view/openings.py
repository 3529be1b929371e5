"""The head face as it was found, on the page: every opening a mark to be clicked, and what may be said of it."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from nicegui import ui

from tractwright.design.pattern import Pattern
from tractwright.page.openings import FILE, Mark, Pair, Row, Saying, extent_mm, marks_of, place_mark
from tractwright.page.view.steady import Steady

_SHARE = (
    "(e) => { const r = e.currentTarget.ownerSVGElement.getBoundingClientRect();"
    " emit((e.clientX - r.left) / r.width, (e.clientY - r.top) / r.height) }"
)
"""Where in the picture a click fell, as shares of its width and height."""


_LETTER_MM = 7.5


class OpeningsPane:
    """The picture and, under it, the words on the opening that was clicked last."""

    def __init__(self, set_fact: Callable[[str, str], None], set_rows: Callable[[str, list[Row]], None]) -> None:
        """set_fact, set_rows : told the path and what was said."""
        self._set_fact, self._set_rows = set_fact, set_rows
        self._picture = Steady(ui.element("div").classes("w-full"))
        self._about = ui.column().classes("w-full gap-1").props('aria-live="polite"')
        self._notes = Steady(ui.column().classes("w-full gap-0"))

    def show(self, pattern: Pattern | None, stated: Mapping[str, Any]) -> None:
        """Draw what was found; nothing where nothing is known. stated : what the sheet says, by path."""
        marks = marks_of(pattern, stated) if pattern is not None else ()
        notes = pattern.notes if pattern is not None else ()
        self._picture.show((marks, FILE in stated), lambda: self._draw(marks, stated))
        self._notes.show(notes, lambda: _told(notes))

    def _draw(self, marks: tuple[Mark, ...], stated: Mapping[str, Any]) -> None:
        self._about.clear()
        if not marks:
            return
        title = "the head face as found: click what is wrong" if FILE in stated else "the head face"
        ui.html(f'<h2 class="tw">{title}</h2>', sanitize=False)
        low_x, low_y, high_x, high_y = extent_mm(marks)
        box = f"{low_x:.1f} {-high_y:.1f} {high_x - low_x:.1f} {high_y - low_y:.1f}"
        with _drawn("svg", viewBox=box, role="group").classes("tw-openings"):
            ground = _drawn("rect", x=low_x, y=-high_y, width=high_x - low_x, height=high_y - low_y)
            ground.classes("ground")

            def pointed(share: tuple[float, float]) -> None:
                at = (low_x + share[0] * (high_x - low_x), high_y - share[1] * (high_y - low_y))
                self._choose_place(at, stated)

            ground.on("click", lambda event: pointed((float(event.args[0]), float(event.args[1]))), js_handler=_SHARE)
            for mark in marks:
                self._mark(mark)

    def _mark(self, mark: Mark) -> None:
        points = " ".join(f"{px:.2f},{-py:.2f}" for px, py in mark.line_mm)
        shape = _drawn("polygon", points=points, role="button", tabindex="0", aria_label=mark.about)
        shape.classes(f"mark {mark.tone.replace(' ', '-')}")
        shape.on("click", partial(self._choose, mark))
        shape.on("keydown.enter", partial(self._choose, mark))
        if mark.name:
            name = _drawn("text", x=mark.at_mm[0], y=-_name_height(mark))
            name.classes("name")
            name.props["innerHTML"] = mark.name

    def _choose_place(self, at_mm: Pair, stated: Mapping[str, Any]) -> None:
        mark = place_mark(at_mm, stated)
        if mark is not None:
            self._choose(mark)

    def _choose(self, mark: Mark) -> None:
        self._about.clear()
        with self._about:
            ui.label(mark.about)
            with ui.row().classes("gap-2"):
                for saying in mark.sayings:
                    ui.button(saying.words, on_click=partial(self._say, saying)).props("flat dense no-caps")

    def _say(self, saying: Saying) -> None:
        self._about.clear()
        if isinstance(saying.value, str):
            self._set_fact(saying.path, saying.value)
        else:
            self._set_rows(saying.path, list(saying.value))


def _told(notes: tuple[str, ...]) -> None:
    for note in notes:
        ui.label(note).classes("tw-small")


def _name_height(mark: Mark) -> float:
    """Where a name stands: in an opening as wide as it, else over it."""
    y = mark.at_mm[1]
    top = max(point[1] for point in mark.line_mm)
    return y - _LETTER_MM / 3.0 if top - y > _LETTER_MM else top + 1.0


def _drawn(tag: str, **attributes: str | float) -> Any:
    """An element of a drawing; an underscore in a name stands for a dash."""
    element = ui.element(tag)
    for name, value in attributes.items():
        element.props[name.replace("_", "-")] = value if isinstance(value, str) else f"{value:.2f}"
    return element
