"""One tab of the page: the board on top, the long section, beside it picture, figures and charts; or the facts taken in."""

from collections.abc import Callable
from typing import Any

import numpy as np
from nicegui import events, ui

from tractwright.check.finding import BitesAt, Finding
from tractwright.design.records import Design, Runner
from tractwright.errors import SheetError
from tractwright.job.assume import Assumed
from tractwright.packet.paper.words import in_words
from tractwright.page.desk import Desk, StaleEditError
from tractwright.page.looks import Look
from tractwright.page.take_in import take_in
from tractwright.page.view.air_chart import length_chart, torque_chart
from tractwright.page.view.board import board, findings_of
from tractwright.page.view.facts import FactsPane, assumed_values
from tractwright.page.view.figures import figures, held_numbers
from tractwright.page.view.long_section import LongSection
from tractwright.page.view.openings import OpeningsPane
from tractwright.page.view.picture import Picture
from tractwright.page.view.steady import Steady
from tractwright.page.workroom import Workroom

_POLL_S = 1.0


class Tab:
    """One tab."""

    def __init__(self, workroom: Workroom) -> None:
        self._workroom = workroom
        self._opened: BitesAt | None = None
        self._taking_in = workroom.answers.look is None
        self._top()
        self._board = Steady(ui.element("div").classes("w-full"))
        with ui.element("main").classes("tw-main") as self._work:
            self._work_side()
        with ui.element("main").style("padding:10px 14px; width:100%") as self._facts:
            self._facts_side()
        ui.keyboard(on_key=self._key)
        self._show()

    def _top(self) -> None:
        with ui.element("header").classes("tw-top row"):
            self._title = ui.label().classes("tw-title")
            self._swap = _top_button("facts", self._turn, "flat")
            self._undo = _top_button("undo", lambda: self._edit(Desk.undo), "flat")
            self._redo = _top_button("redo", lambda: self._edit(Desk.redo), "flat")
            self._make = _top_button("make the pieces", self._workroom.make, "outline")
            self._cancel = _top_button("leave off", self._workroom.cancel, "outline")
            self._packet = (
                ui.link("packet", "/packet.zip").style("color:#f5f0e4").props('download data-control="packet"')
            )
            self._doing = ui.label().props('aria-live="polite"').style("margin-left:auto")

    def _work_side(self) -> None:
        with ui.element("div"):
            self._long = LongSection(self._dragged, lambda runner: self._long.light(runner, -1.0))
            self._held = Steady(ui.column().classes("w-full gap-0"))
        with ui.element("div").classes("tw-side"):
            self._figures = ui.column().classes("w-full gap-1")
            self._picture = Picture(lambda what, revision: f"/drawn/{what}/{revision}.glb")
            self._charts = ui.column().classes("w-full gap-0")

    def _facts_side(self) -> None:
        with ui.row().classes("w-full no-wrap items-start gap-6"):
            with ui.element("div").style("flex:2; min-width:0"):
                upload = ui.upload(label="drop a scan or a drawn piece here", auto_upload=True, on_upload=self._dropped)
                upload.props('flat bordered data-control="drop" max-file-size=150000000').classes("w-full")
                self._pane = FactsPane(self._set_fact, self._set_rows)
            with ui.element("div").style("flex:1; min-width:300px"):
                self._openings = OpeningsPane(self._set_fact, self._set_rows)
                self._assumed = Steady(ui.column().classes("w-full gap-0"))

    def refresh(self) -> None:
        """Show what is new."""
        self._show()

    def _show(self) -> None:
        answers, desk = self._workroom.answers, self._workroom.desk
        look = answers.look
        self._title.set_text(look.design.name if look and look.design else desk.folder.name)
        self._swap.set_text("back to the work" if self._taking_in else "facts")
        for button, what, word in ((self._undo, desk.undoable, "undo"), (self._redo, desk.redoable, "redo")):
            button.set_enabled(bool(what))
            button.props(f'title="{word}: {what}"' if what else f'title="nothing to {word}"')
        making = "whole" in answers.doing
        self._make.set_visibility(not making)
        self._cancel.set_visibility(making)
        self._packet.set_visibility(answers.whole is not None)
        self._doing.set_text(answers.trouble or ", ".join(f"{word} ..." for word in answers.doing.values() if word))
        self._work.set_visibility(not self._taking_in)
        self._facts.set_visibility(self._taking_in)
        self._show_board()
        if self._taking_in:
            self._show_facts()
        elif look is not None:
            self._show_work(look)

    def _show_board(self) -> None:
        findings, said = self._findings(), tuple(self._said_above())
        self._board.show((findings, self._opened, said), lambda: self._draw_board(findings, said))

    def _draw_board(self, findings: tuple[Finding, ...], said: tuple[str, ...]) -> None:
        board(findings, self._opened, self._open)
        for words in said:
            ui.label(words).classes("tw-fault").style("padding:4px 14px").props('role="alert"')
        if self._opened is not None:
            findings_of(findings, self._opened, self._workroom.put_right, self._light)

    def _said_above(self) -> list[str]:
        """What nobody may overlook: a sheet that cannot be read, demands that contradict."""
        answers = self._workroom.answers
        broken = answers.broken
        said = [broken.trouble] if broken and broken.trouble else []
        if broken and broken.faults:
            said.append(f"{len(broken.faults)} thing(s) in the sheet cannot be read as meant: see the facts")
        for item in answers.look.contradictions if answers.look else ():
            said.append(f"These contradict: {', '.join(in_words(key) for key in item.demands)}. {item.best_found}")
        return said

    def _show_work(self, look: Look) -> None:
        answers = self._workroom.answers
        if look.design is None:
            return
        whole = answers.whole if answers.whole and answers.whole.revision == look.revision else None
        stale = self._workroom.is_stale(look.revision) or answers.broken is not None
        speed = answers.breathing.peak_speed_at_mouth if answers.breathing else 0.0
        self._picture.look_at(look.design)
        self._long.show(whole.strips if whole else look.strips, speed=speed, stale=stale, handles=True)
        self._picture.show(look.revision, pieces=whole is not None, old_part=look.old_part is not None)
        self._figures.clear()
        with self._figures:
            figures(answers, self._workroom.desk.revision)
        held = dict(self._workroom.desk.now.held)
        self._held.show((held,), lambda: held_numbers(held, lambda path: self._edit(lambda desk: desk.free(path))))
        self._charts.clear()
        with self._charts:
            self._show_air(look.design)

    def _show_air(self, design: Design) -> None:
        """The newest torque curve; the chart over length and revs, and notes, of the whole simulation."""
        answers, now = self._workroom.answers, self._workroom.desk.revision
        if (curve := answers.curve) is not None:
            quickly = f", by the quick model, filling within {100 * curve.error:.1f} %" if curve.error else ""
            _chart(f"torque and filling{quickly}", torque_chart(curve), stale=curve.revision != now)
        if (breathing := answers.breathing) is not None:
            length = float(np.mean([runner.length_mm for runner in design.runners]))
            chart = length_chart(breathing, length, _most_mm(design))
            _chart("filling over length and revs", chart, stale=answers.breathing_of != now)
            for note in breathing.notes[:2]:
                ui.label(note).classes("tw-small")

    def _show_facts(self) -> None:
        answers = self._workroom.answers
        faults = answers.broken.faults if answers.broken else ()
        self._pane.show(self._workroom.desk.facts, faults)
        self._openings.show(answers.look.pattern if answers.look else None, self._workroom.desk.facts)
        assumed = answers.look.assumed if answers.look else ()
        self._assumed.show((assumed,), lambda: self._draw_assumed(assumed))

    def _draw_assumed(self, assumed: tuple[Assumed, ...]) -> None:
        ui.html('<h2 class="tw">taken for granted, heaviest first</h2>', sanitize=False)
        assumed_values(assumed, self._set_fact)

    def _findings(self) -> tuple[Finding, ...]:
        answers = self._workroom.answers
        if answers.whole and not self._workroom.is_stale(answers.whole.revision):
            return answers.whole.findings
        return answers.look.findings if answers.look else ()

    def _turn(self) -> None:
        self._taking_in = not self._taking_in
        self._show()
        self._picture.fit()

    def _open(self, place: BitesAt) -> None:
        self._opened = None if self._opened == place else place
        self._show_board()

    def _light(self, finding: Finding) -> None:
        """Light up the place a finding names, in the long section and in the picture."""
        runner = next((part.split(".")[1] for part in finding.subject.split("+") if part.startswith("runner.")), "")
        if runner:
            self._long.light(runner, -1.0)
        if finding.at_mm is not None:
            self._picture.light(finding.at_mm)

    def _set_fact(self, path: str, words: str) -> None:
        self._edit(lambda desk: desk.set_fact(path, words))

    def _set_rows(self, path: str, rows: list[dict[str, str]]) -> None:
        self._edit(lambda desk: desk.set_rows(path, rows))

    def _edit(self, work: Any) -> None:
        try:
            self._workroom.edit(work)
        except (SheetError, StaleEditError) as fault:
            ui.notify(str(fault), type="warning", multi_line=True, close_button="ok")

    def _dragged(self, given: dict[str, Any]) -> None:
        """A handle of the long section: all runners alike are a fact of the sheet, one alone a number held in it."""
        runner, what, value = str(given["runner"]), str(given["what"]), float(given["value"])
        look = self._workroom.answers.look
        if look is not None and look.design is not None:
            runners, alone = look.design.runners, bool(given.get("alone"))
            going_on = not given.get("done", True)
            self._edit(lambda desk: _drag(desk, runners, runner if alone else "", (what, value), going_on=going_on))

    async def _dropped(self, event: events.UploadEventArguments) -> None:
        words = await take_in(self._workroom, event.file)
        ui.notify(words, multi_line=True, close_button="ok")

    def _key(self, event: events.KeyEventArguments) -> None:
        if event.action.keydown and event.modifiers.ctrl and event.key.name in ("z", "y"):
            self._edit(Desk.undo if event.key.name == "z" and not event.modifiers.shift else Desk.redo)


def _top_button(words: str, on_click: Callable[[], None], look: str) -> Any:
    """A button of the dark bar; a colour of the library's would be its ground, with words as light on it."""
    button = ui.button(words, color=None, on_click=on_click).props(f"{look} no-caps dense")
    return button.style("color:#f5f0e4")


def _chart(title: str, svg: str, *, stale: bool) -> None:
    ui.html(f'<h2 class="tw">{title}</h2>', sanitize=False)
    ui.html(svg, sanitize=False).classes("w-full" + (" tw-stale" if stale else ""))


def _most_mm(design: Design) -> float:
    """The greatest length the room is known to allow: what there is, where more was wanted; no limit otherwise."""
    short = [item for item in design.runners if item.length_mm < 0.995 * item.length_wanted_mm]
    return max((item.length_mm for item in short), default=np.inf)


def _drag(desk: Desk, runners: tuple[Runner, ...], alone: str, given: tuple[str, float], *, going_on: bool) -> None:
    """Set what a handle means. alone : the one runner it is for, '' for all. What the sheet states is stated anew there;
    anything else is held.
    """
    what, value = given
    if f"runner.{what}" in desk.facts and not alone:
        desk.set_fact(f"runner.{what}", f"{value:.2f} mm", going_on=going_on)
        return
    values: dict[str, Any] = {}
    for item in runners:
        if alone in ("", item.name):
            field, held = _held_by(what, item, value)
            values[f"runner.{item.name}.{field}"] = held
    desk.hold_all(values, f"{what} of {alone or 'every runner'}", going_on)


def _held_by(what: str, runner: Runner, value: float) -> tuple[str, Any]:
    """The field of a runner that a handle holds, and its value."""
    if what == "area":
        first, last = runner.area_mm2[0][1], runner.area_mm2[-1][1]
        return "area_mm2", [[0.0, first], [0.5, round(value, 1)], [1.0, last]]
    if what == "wall":
        return "wall_mm", [[0.0, round(value, 2)], [1.0, round(value, 2)]]
    return ("mouth.bore_mm" if what == "bore" else "length_mm"), round(value, 2)
