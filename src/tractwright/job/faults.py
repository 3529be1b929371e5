"""Turns what the model objects to into faults a person can act on: the key, what was given, what is accepted, the line."""

import difflib
from typing import Any

from pydantic_core import ErrorDetails

from tractwright.errors import Fault
from tractwright.job.keys import homes_of, key_at, known_in, table_at, written
from tractwright.job.lines import KeyPath, nearest_line, spelled

_LONGEST_GIVEN = 60
_CONSEQUENCE = "default_factory_not_called"
"""The model's note that an assumed value could not be worked out because a value it leans on is at fault."""


def is_own(error: ErrorDetails) -> bool:
    """Whether an error stands for a mistake of its own, not for the consequence of another."""
    return error["type"] != _CONSEQUENCE


def is_missing_key(error: ErrorDetails) -> bool:
    """Whether a key that its table needs is not there."""
    return error["type"] == "missing" and isinstance(error["loc"][-1], str)


def fault_of(error: ErrorDetails, raw: dict[str, Any], lines: dict[KeyPath, int]) -> Fault:
    """The fault of one error. raw : the sheet as read, before any conversion."""
    path = path_of(error)
    given = "nothing" if is_missing_key(error) else _given(error, value_at(raw, path))
    return Fault(key=spelled(path), given=given, accepted=_accepted(error, path), line=nearest_line(lines, path))


def path_of(error: ErrorDetails) -> KeyPath:
    """Where in the sheet an error is: a list with too few items is at fault as a whole."""
    path: KeyPath = tuple(step for step in error["loc"] if step != "[key]")
    if error["type"] == "missing" and isinstance(path[-1], int):
        return path[:-1]
    return path


def value_at(raw: Any, path: KeyPath) -> Any:
    """What the sheet says at a path; None where it says nothing."""
    for step in path:
        if isinstance(raw, dict):
            raw = raw.get(step)
        elif isinstance(raw, list) and isinstance(step, int) and step < len(raw):
            raw = raw[step]
        else:
            return None
    return raw


def nearest_name(name: str, known: tuple[str, ...]) -> str:
    """The known name that was probably meant; '' where none is near."""
    folded = {other.lower().replace("_", ""): other for other in known}
    near = difflib.get_close_matches(name.lower().replace("_", "").replace("-", ""), folded, n=1, cutoff=0.55)
    return folded[near[0]] if near else ""


def shortened(text: str) -> str:
    """The text, cut where it is long."""
    return text if len(text) <= _LONGEST_GIVEN else text[: _LONGEST_GIVEN - 1] + "…"


def _given(error: ErrorDetails, typed: Any) -> str:
    """As typed, with the value it was converted to where the two differ."""
    if isinstance(typed, dict):
        return "a table"
    text = shortened(written(typed) if typed is not None else repr(error["input"]))
    taken, key = error["input"], key_at(path_of(error))
    if key is None or not isinstance(typed, str) or not isinstance(taken, float) or typed.endswith(key.unit):
        return text
    return f"{text}, which is {taken:.6g} {key.unit}"


def _accepted(error: ErrorDetails, path: KeyPath) -> str:
    if error["type"] == "extra_forbidden":
        return _known(path)
    key, table = key_at(path), table_at(path)
    if key is not None:
        example = f", such as {written(key.example)}" if key.needed else ""
        reading = error["msg"].partition("accepted: ")[2]
        return (reading or key.form) + example
    if table is not None and table.listed:
        return f"tables {table.heading}, in two brackets, one for each"
    return f"a table {table.heading}, once" if table else error["msg"]


def _known(path: KeyPath) -> str:
    """The name that was probably meant, or where else the key stands, or all names there are."""
    name, known = str(path[-1]), known_in(path[:-1])
    near, homes = nearest_name(name, known), homes_of(name)
    if near:
        return f"did you mean {near}?"
    if homes:
        return f"nothing here: {name} stands in {' and in '.join(homes)}"
    where = f"known in [{spelled(path[:-1])}]" if path[:-1] else "tables"
    return f"{where}: {', '.join(known)}"
