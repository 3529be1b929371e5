"""The board: the places where decisions bite, in their order, each with its worst margin; opened, its findings in words."""

from collections.abc import Callable, Sequence
from functools import partial

from nicegui import ui

from tractwright.check.finding import BITES_IN_ORDER, BitesAt, Finding, Verdict
from tractwright.packet.paper.words import reading_words, subjects_words, told_once
from tractwright.page.view.tones import TONE

_HEAVIEST_FIRST: tuple[Verdict, ...] = ("stop", "look", "unknown", "ok")
_MOST_SHOWN = 40


def board(findings: Sequence[Finding], opened: BitesAt | None, choose: Callable[[BitesAt], None]) -> None:
    """The row of places. choose : told which one was clicked."""
    with ui.element("nav").classes("tw-board").props('aria-label="where decisions bite"'):
        for place in BITES_IN_ORDER:
            own = [finding for finding in findings if finding.bites_at == place]
            verdict = _heaviest(own)
            button = ui.element("button").classes("tw-place" + (" open" if place == opened else ""))
            button.style(f"--tone: {TONE[verdict]}").props(f'data-place="{place}" aria-expanded={place == opened}')
            button.on("click", partial(choose, place))
            with button:
                ui.html(f"<b>{place}</b><span class='worst'>{_worst(own)}</span>", sanitize=False)


def findings_of(
    findings: Sequence[Finding], place: BitesAt, put_right: Callable[[Finding], None], light: Callable[[Finding], None]
) -> None:
    """The findings of one place, what is broken first, each with its cure."""
    own = sorted(
        (finding for finding in findings if finding.bites_at == place),
        key=lambda finding: (_HEAVIEST_FIRST.index(finding.verdict), finding.margin),
    )
    with ui.element("section").classes("tw-findings").props(f'aria-label="findings: {place}"'):
        if not own:
            ui.label("Nothing has been asked here yet.").classes("tw-small")
        lines = _lines(own)
        for group in lines[:_MOST_SHOWN]:
            _finding(group, put_right, light)
        if len(lines) > _MOST_SHOWN:
            ui.label(f"and {len(lines) - _MOST_SHOWN} more, all in order").classes("tw-small")


def _lines(findings: Sequence[Finding]) -> list[list[Finding]]:
    """What is said of several subjects in one line, but for what can be put right one by one, and what is in order."""
    found: list[list[Finding]] = []
    for group in told_once(findings):
        alone = group[0].verdict == "ok" or any(finding.fix is not None for finding in group)
        found += [[finding] for finding in group] if alone else [group]
    return found


def _finding(group: list[Finding], put_right: Callable[[Finding], None], light: Callable[[Finding], None]) -> None:
    finding = group[0]
    with ui.element("div").classes("tw-finding").style(f"--tone: {TONE[finding.verdict]}"):
        ui.label(finding.verdict).classes("tw-verdict")
        with ui.element("div"):
            ui.label(subjects_words(group)).style("font-weight:600")
            ui.label(finding.message + (f" Proposed: {finding.fix.what}." if finding.fix else ""))
            ui.label(finding.rule).classes("tw-small")
        ui.label(", ".join(reading_words(finding)))
        with ui.row().classes("gap-1"):
            if finding.at_mm is not None or finding.subject.startswith("runner."):
                ui.button("show", on_click=partial(light, finding)).props("flat dense no-caps")
            if finding.fix is not None:
                ui.button("put it right", on_click=partial(put_right, finding)).props("outline dense no-caps")


def _heaviest(findings: Sequence[Finding]) -> Verdict:
    found = {finding.verdict for finding in findings}
    heaviest: list[Verdict] = [verdict for verdict in _HEAVIEST_FIRST if verdict in found]
    return heaviest[0] if heaviest else "unknown"


def _worst(findings: Sequence[Finding]) -> str:
    """The worst margin among what was asked, with how many are broken."""
    known = [finding for finding in findings if finding.measured is not None]
    if not known:
        return "not asked"
    broken = sum(finding.verdict in ("stop", "look") for finding in findings)
    worst = min(known, key=lambda finding: (_HEAVIEST_FIRST.index(finding.verdict), finding.margin))
    margin = _margin_words(worst.margin)
    return f"{broken} to see, {margin}" if broken else margin


def _margin_words(margin: float) -> str:
    """A margin as share of its limit. Twice past a limit or ten times is the same news."""
    if margin < -1.0:
        return "far past the limit"
    return f"{-100 * margin:.0f} % past the limit" if margin < 0.0 else f"margin {100 * min(margin, 9.99):.0f} %"
