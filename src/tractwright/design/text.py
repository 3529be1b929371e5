"""The text of design.toml: written afresh, or over an older text whose comments stay."""

import re
import tomllib
import typing
from dataclasses import is_dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable

from tractwright.design.leaves import NAME
from tractwright.design.paths import items_by_path
from tractwright.design.records import Design
from tractwright.design.values import plain

_HEADER = """\
The description, written afresh by every run. A number that you change here becomes held: the tool works round it.
Write it plainly, or as { value = 300.0, is = "held" }. Write it as { value = 300.0, is = "solved" }, or delete its line,
to give it back to the tool. Lengths in mm."""
_LEFT_OVER = "Comments of the file as it was, whose places could not be found again:"
_MOST_IN_A_LINE = 3
_SHORT_STRING = re.compile(r"'[^']*'|\"(?:\\.|[^\"\\])*\"")


def design_text(design: Design) -> str:
    """The description as TOML, its records in the order of the design."""
    return tomlkit.dumps(_document(design))


def rewritten(old: str, design: Design) -> str:
    """The description written over an older text: numbers anew, comments and order kept, what is no more taken out.

    Where the older text is too unusual to be written over, the fresh text with all its comments at the end.
    """
    fresh = design_text(design)
    try:
        if tomllib.loads(old) == tomllib.loads(fresh):
            return old
        document = tomlkit.parse(old)
        _merge(document, tomlkit.parse(fresh))
        text = tomlkit.dumps(document)
        if tomllib.loads(text) == tomllib.loads(fresh):
            return text
    except (TOMLKitError, tomllib.TOMLDecodeError, KeyError, ValueError):
        pass
    comments = [line for line in _comments(old) if line not in fresh]
    return "\n".join((fresh, f"# {_LEFT_OVER}", *comments, "")) if comments else fresh


def _comments(text: str) -> list[str]:
    """Every comment of a text, a line each."""
    bare = [_SHORT_STRING.sub("", line).partition("#") for line in text.splitlines()]
    return [f"#{comment}" for _, mark, comment in bare if mark]


def _document(design: Design) -> tomlkit.TOMLDocument:
    document = tomlkit.document()
    for line in _HEADER.splitlines():
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    document[NAME] = design.name
    document.add(tomlkit.nl())
    for path, item in items_by_path(design).items():
        kind, _, name = path.partition(".")
        group = document.setdefault(kind, tomlkit.table(is_super_table=True))
        group[name] = _table(item, path, design)
    return document


def _table(record: Any, path: str, design: Design) -> AbstractTable:
    """A record's values, then the records inside it as tables of their own."""
    table = tomlkit.table()
    kinds = typing.get_type_hints(type(record))
    for name in sorted(kinds, key=lambda name: is_dataclass(kinds[name])):
        value, where = getattr(record, name), f"{path}.{name}"
        if name == NAME:
            continue
        if is_dataclass(value):
            table[name] = _table(value, where, design)
        else:
            table[name] = _item(plain(value, kinds[name]), design.standing.get(where, "solved"))
    return table


def _item(value: Any, standing: str) -> Any:
    """A value, marked where it is held or assumed; long lists of lists a row a line."""
    item = tomlkit.item(value)
    if isinstance(value, list) and len(value) > _MOST_IN_A_LINE and isinstance(value[0], list):
        item.multiline(True)
    if standing in ("solved", "fact"):  # a fact's place to be changed is the sheet
        return item
    marked = tomlkit.inline_table()
    marked.update({"value": value, "is": standing})
    return marked


def _merge(old: Any, fresh: Any) -> None:
    for key in [key for key in old if key not in fresh]:
        del old[key]
    for key, value in fresh.items():
        both = key in old and isinstance(value, AbstractTable) and isinstance(old[key], AbstractTable)
        if both and type(value) is type(old[key]):
            _merge(old[key], value)
        elif key not in old or old[key] != value:
            old[key] = value
