"""Changes to a sheet's text: one fact put in, changed or taken out, the user's own lines and comments kept."""

from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Table

from tractwright.errors import Fault, SheetError
from tractwright.job.keys import Key, key_at

FILE = "job.toml"


def value_of_words(key: Key, words: str) -> Any:
    """What is written into the sheet for words typed into a field: a bare number stays a number, a list is split at commas.

    Nothing is judged here: the sheet's reader says what it does not accept.
    """
    words = words.strip()
    if key.form.startswith("a list"):
        return [_plain(item.strip()) for item in words.strip("[]").split(",") if item.strip()]
    if key.form == "true or false":
        return {"yes": True, "true": True, "no": False, "false": False}.get(words.lower(), words)
    if key.form.startswith("text") or " or " in key.form:
        return words
    return _plain(words)


def with_fact(text: str, path: str, words: str) -> str:
    """The text with a fact set ('engine.bore', '3.4 in'); empty words take it out. Raises SheetError."""
    *table_names, name = path.split(".")
    key = key_at(tuple(path.split(".")))
    if key is None:
        raise SheetError(FILE, (Fault(key=path, given="a new key", accepted="a key of the sheet"),))
    document = _document(text)
    if not words.strip():
        _take_out(document, table_names, name)
        return tomlkit.dumps(document)
    holder = document
    for table_name in table_names:
        if table_name not in holder:
            holder[table_name] = tomlkit.table()
        holder = _table(holder[table_name], path)
    holder[name] = value_of_words(key, words)
    return tomlkit.dumps(document)


def with_rows(text: str, path: str, rows: Sequence[Mapping[str, str]]) -> str:
    """The text with a list of tables ('room.box') written anew from rows of words; no rows take it out. Raises SheetError."""
    *table_names, name = path.split(".")
    document = _document(text)
    holder = document
    for table_name in table_names:
        if table_name not in holder:
            holder[table_name] = tomlkit.table()
        holder = _table(holder[table_name], path)
    holder.pop(name, None)
    if rows:
        listed = tomlkit.aot()
        for row in rows:
            item = tomlkit.table()
            for column, words in row.items():
                key = key_at((*table_names, name, column))
                if key is not None and words.strip():
                    item[column] = value_of_words(key, words)
            listed.append(item)
        holder[name] = listed
    return tomlkit.dumps(document)


def facts_of(text: str) -> dict[str, Any]:
    """Every fact a sheet states by its path, lists of tables as lists; {} where the text is no TOML."""
    try:
        data: Mapping[str, Any] = tomlkit.parse(text).unwrap()
    except TOMLKitError:
        return {}
    return _flat(data, "")


def in_words(value: Any) -> str:
    """A value of the sheet as a field shows it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list | tuple):
        return ", ".join(in_words(item) for item in value)
    return str(value)


def _flat(data: Mapping[str, Any], above: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in data.items():
        path = f"{above}{name}"
        if isinstance(value, Mapping):
            found |= _flat(value, f"{path}.")
        else:
            found[path] = value
    return found


def _document(text: str) -> Any:
    try:
        return tomlkit.parse(text)
    except TOMLKitError as fault:
        told = Fault(
            key="(file)", given=str(fault), accepted="a sheet that can be read: mend it outside the page first"
        )
        raise SheetError(FILE, (told,)) from fault


def _table(item: Any, path: str) -> Any:
    if isinstance(item, AoT) or not isinstance(item, Table | Mapping):
        raise SheetError(FILE, (Fault(key=path, given="a place inside a list", accepted="a key of a single table"),))
    return item


def _take_out(document: Any, table_names: Sequence[str], name: str) -> None:
    holder = document
    for table_name in table_names:
        if table_name not in holder:
            return
        holder = holder[table_name]
    holder.pop(name, None)


def _plain(words: str) -> Any:
    try:
        number = float(words)
    except ValueError:
        return words
    return int(number) if number.is_integer() and words.lstrip("+-").isdigit() else number
