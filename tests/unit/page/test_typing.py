"""A fact being typed is not written over by news of something else."""

from contextlib import nullcontext

import pytest
from nicegui import ui

from tractwright.page.view import facts
from tractwright.page.view.facts import FactsPane


class Field:
    """Stands in for a field in a browser: what is in it, and what it was told to show."""

    def __init__(self) -> None:
        self.value = ""
        self.typed = None

    def set_value(self, words):
        self.value = words

    def on(self, _, then):
        self.typed = then

    def props(self, *_, **__):
        return self

    classes = props


class Place(nullcontext):
    """Stands in for whatever else is on the page."""

    def classes(self, *_):
        return self

    props = style = tooltip = clear = classes


@pytest.fixture
def bore(monkeypatch):
    """The pane with what it told of typing, and the field of runner.bore."""
    made: dict[str, Field] = {}
    told: list[tuple[str, str]] = []

    def field(pane, key, path):
        made[path] = Field()
        made[path].on("change", lambda: pane._typed(path, made[path].value))
        return made[path]

    monkeypatch.setattr(FactsPane, "_field", field)
    monkeypatch.setattr(FactsPane, "_rows", lambda *_: None)
    for name in ("column", "expansion", "element", "label"):
        monkeypatch.setattr(facts.ui, name, lambda *_, **__: Place())
    assert facts.ui is ui
    return FactsPane(lambda path, words: told.append((path, words)), lambda *_: None), made["runner.bore"], told


def test_news_of_another_kind_leaves_what_is_being_typed(bore):
    """On a busy machine the news that "4 kg" is no bore came while "37 mm" was being typed, and put "4 kg" back."""
    pane, field, told = bore
    field.value = "4 kg"
    field.typed()
    pane.show({"runner": {}, "runner.bore": "4 kg"}, ())
    field.value = "37 mm"  # typed, the field not yet left
    pane.show({"runner": {}, "runner.bore": "4 kg"}, ())
    assert field.value == "37 mm"
    field.typed()
    assert told == [("runner.bore", "4 kg"), ("runner.bore", "37 mm")]


def test_what_the_sheet_says_anew_is_shown(bore):
    pane, field, _ = bore
    pane.show({"runner.bore": "40 mm"}, ())
    assert field.value == "40 mm"
    field.value = "41 mm"
    field.typed()
    pane.show({"runner.bore": "41 mm"}, ())
    pane.show({"runner.bore": "40 mm"}, ())  # undone
    assert field.value == "40 mm"
    pane.show({}, ())
    assert field.value == ""
