"""Taking in facts: every key of the sheet as a field, what is assumed where it is silent, what is wrong beside it."""

import json
import typing
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

from nicegui import ui

from tractwright.errors import Fault
from tractwright.job.assume import Assumed
from tractwright.job.keys import Key, Table, tables, written
from tractwright.page.sheet_text import in_words

SetFact = Callable[[str, str], None]
SetRows = Callable[[str, list[dict[str, str]]], None]
_OPEN_AT_FIRST = {"job", "engine", "air", "runner", "pattern"}


class FactsPane:
    """The whole sheet as fields, kept as they are while a hand is in them: only what changed is written anew."""

    def __init__(self, set_fact: SetFact, set_rows: SetRows) -> None:
        """set_fact, set_rows : told the path and the words typed."""
        self._set_fact, self._set_rows = set_fact, set_rows
        self._stated: Mapping[str, Any] = {}
        self._said: dict[str, str] = {}
        self._fields: dict[str, Any] = {}
        self._lists: dict[str, Any] = {}
        self._elsewhere = ui.column().classes("gap-0")
        for table in tables():
            path = ".".join(table.path)
            with (
                ui.expansion(f"{path}: {table.meaning}", value=path in _OPEN_AT_FIRST).classes("w-full").props("dense")
            ):
                if table.listed:
                    self._lists[path] = ui.column().classes("w-full gap-1")
                else:
                    self._table(table)

    def show(self, stated: Mapping[str, Any], faults: Sequence[Fault]) -> None:
        """What the sheet says now, and what is wrong with it beside each field.

        A field is written only where the sheet says something new: news of another kind must not undo what is being typed.
        """
        self._stated = stated
        for path, field in self._fields.items():
            words = in_words(stated[path]) if path in stated else ""
            if self._said.get(path, "") != words:
                field.set_value(words)
                self._said[path] = words
            own = [fault for fault in faults if fault.key == path or fault.key.startswith(f"{path}.")]
            told = "; ".join(f"given {fault.given}; accepted: {fault.accepted}" for fault in own)
            field.props(
                f"error error-message={json.dumps(told)}" if told else "", remove="" if told else "error error-message"
            )
        for path, place in self._lists.items():
            place.clear()
            with place:
                own = [fault for fault in faults if fault.key.startswith(path)]
                self._rows(next(table for table in tables() if ".".join(table.path) == path), own)
        self._elsewhere.clear()
        known = (*self._fields, *self._lists)
        with self._elsewhere:
            for fault in faults:
                if not fault.key.startswith(known):
                    ui.label(str(fault)).classes("tw-fault").props('role="alert"')

    def _table(self, table: Table) -> None:
        with ui.element("div").classes("tw-facts"):
            for key in table.keys:
                path = ".".join((*table.path, key.name))
                with ui.element("div").classes("tw-fact"):
                    self._fields[path] = self._field(key, path)
                    ui.label(key.meaning).classes("tw-fact-why")

    def _field(self, key: Key, path: str) -> Any:
        label = f"{key.name} [{key.unit}]" if key.unit else key.name
        choices = choices_of(key)
        if choices:
            options = {"": f"silent: {key.silence}" if key.silence else "choose", **{item: item for item in choices}}
            field: Any = ui.select(options, value="", label=label)
            field.on_value_change(lambda event: self._typed(path, str(event.value or "")))
            field.props("options-dense")
        else:
            field = ui.input(label, placeholder=key.silence or "needed")
            field.on("change", lambda: self._typed(path, str(field.value or "")))
            field.props("stack-label")
        return field.classes("w-full").props(f'dense data-key="{path}"')

    def _typed(self, path: str, words: str) -> None:
        """Only what differs from what the sheet says is an edit: a field shown anew is none."""
        if words.strip() != (in_words(self._stated[path]) if path in self._stated else ""):
            self._said[path] = words.strip()
            self._set_fact(path, words)

    def _rows(self, table: Table, faults: Sequence[Fault]) -> None:
        """A list of tables as lines of fields: a change of any says the whole list anew."""
        path = ".".join(table.path)
        given = self._stated.get(path, [])
        listed = typing.cast("list[Mapping[str, Any]]", given if isinstance(given, list) else [])
        rows = [{key.name: in_words(row[key.name]) if key.name in row else "" for key in table.keys} for row in listed]
        for number, row in enumerate(rows, start=1):
            with ui.row().classes("w-full items-start gap-2"):
                for key in table.keys:
                    self._cell(path, number, key, row, rows)
                left = [other for other in rows if other is not row]
                ui.button("take out", on_click=partial(self._set_rows, path, left)).props("flat dense no-caps")
        for fault in faults:
            words = f"{fault.key}: given {fault.given}; accepted: {fault.accepted}"
            ui.label(words).classes("tw-fault").props('role="alert"')
        fresh = {key.name: _example(key) for key in table.keys}
        add = ui.button(f"add to {path}", on_click=lambda: self._set_rows(path, [*rows, fresh]))
        add.props("flat dense no-caps")

    def _cell(self, path: str, number: int, key: Key, row: dict[str, str], rows: list[dict[str, str]]) -> None:
        field = ui.input(key.name, value=row[key.name], placeholder=key.silence or "needed")
        field.props(f'dense stack-label data-key="{path}.{number}.{key.name}"').style("flex:1; min-width:110px")
        field.tooltip(key.meaning)

        def said() -> None:
            row[key.name] = str(field.value or "")
            self._set_rows(path, rows)

        field.on("change", said)


def assumed_values(assumed: Iterable[Assumed], set_fact: SetFact) -> None:
    """What was taken because the sheet is silent, heaviest first, each to be confirmed with one click."""
    for item in assumed:
        with ui.row().classes("w-full items-baseline gap-2 no-wrap").style("border-bottom:1px dotted var(--mist)"):
            weight = ui.label(f"{100 * item.weight:.0f} %").style("width:44px;font-weight:600")
            weight.tooltip("how far it can move the outcome")
            with ui.element("div").style("flex:1"):
                ui.label(f"{item.key} = {item.value}")
                ui.label(item.why).classes("tw-small")
            ui.button("confirm", on_click=partial(set_fact, item.key, item.value)).props("flat dense no-caps")


def choices_of(key: Key) -> tuple[str, ...]:
    """The words a key may have, () where it is free."""
    if key.form == "true or false":
        return ("yes", "no")
    parts = key.form.split(" or ")
    quoted = all(part.startswith('"') and part.endswith('"') for part in parts)
    return tuple(part.strip('"') for part in parts) if quoted else ()


def _example(key: Key) -> str:
    return written(key.example).strip('"[]').replace('"', "") if key.needed and key.example is not None else ""
