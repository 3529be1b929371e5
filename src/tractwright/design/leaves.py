"""The values of a description's file one by one, each with its path, its mark and its line."""

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from tractwright.design.paths import KINDS, leaf_types, record_types, resolved
from tractwright.design.values import typed
from tractwright.errors import Fault, SheetError
from tractwright.job.lines import KeyPath, key_lines, nearest_line
from tractwright.job.syntax import parsed

Mark = Literal["held", "solved", "assumed", ""]
MARKS: tuple[Mark, ...] = ("held", "solved", "assumed")
NAME = "name"
"""The one key outside the tables: the job's name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One value. field : path inside its record, '' for the description's own name; mark : 'held', 'solved', 'assumed',
    '' where the file has none.
    """

    kind: str
    name: str
    field: str
    value: Any
    mark: Mark
    line: int

    @property
    def path(self) -> str:
        """kind.name.field."""
        return f"{self.kind}.{self.name}.{self.field}" if self.field else self.kind


def leaves(path: Path) -> tuple[Leaf, ...]:
    """Every value of a description's file, as the records' types, in the file's order.

    Raises SheetError with every fault: text that is no TOML, paths that no record has, values of a wrong type.
    """
    found, faults = leaves_and_faults(path)
    if faults:
        raise SheetError(str(path), faults)
    return found


def leaves_and_faults(path: Path) -> tuple[tuple[Leaf, ...], tuple[Fault, ...]]:
    """The values that can be read, and a fault for each that cannot, in order of lines."""
    text = parsed(path.read_text(encoding="utf-8-sig"))
    faults = list(text.faults)
    found: list[Leaf] = []
    if text.trusted:
        lines = key_lines(text.sound)
        for steps, value in _walked(text.data, ()):
            leaf = _leaf(steps, value, nearest_line(lines, steps))
            if isinstance(leaf, Fault):
                faults.append(leaf)
            else:
                found.append(leaf)
    return tuple(found), tuple(sorted(faults, key=lambda fault: fault.line))


def _walked(value: dict[str, Any], steps: KeyPath) -> Iterator[tuple[KeyPath, Any]]:
    for key, inner in value.items():
        if isinstance(inner, dict) and "value" not in inner and "is" not in inner:
            yield from _walked(inner, (*steps, key))
        else:
            yield (*steps, key), inner


def _leaf(steps: KeyPath, value: Any, line: int) -> Leaf | Fault:
    path = ".".join(str(step) for step in steps)
    bare, mark = _unmarked(value)
    if mark is None:
        accepted = f"{{ value = ..., is = {' or '.join(repr(mark) for mark in MARKS)} }}"
        return Fault(key=path, given=str(value), accepted=accepted, line=line)
    place = (NAME, "", "") if path == NAME else resolved(path)
    if place is None:
        return Fault(key=path, given=str(bare), accepted=_known(path), line=line)
    kind, name, field = place
    try:
        value = typed(bare, leaf_types(record_types()[kind])[field] if field else str)
    except ValueError as fault:
        return Fault(key=path, given=str(bare), accepted=str(fault), line=line)
    return Leaf(kind=kind, name=name, field=field, value=value, mark=mark, line=line)


def _unmarked(value: Any) -> tuple[Any, Mark | None]:
    """The value itself and its mark; None as the mark of a table that is none."""
    if not isinstance(value, dict):
        return value, ""
    found: list[Mark] = [mark for mark in MARKS if value.get("is") == mark]
    return (value["value"], found[0]) if found and "value" in value and len(value) == 2 else (value, None)


def _known(path: str) -> str:
    """The path that was probably meant."""
    kind, _, rest = path.partition(".")
    if kind not in KINDS:
        near = difflib.get_close_matches(kind, KINDS, n=1, cutoff=0.5)
        return f"did you mean {near[0]}?" if near else f"tables: {', '.join(KINDS)}"
    known = leaf_types(record_types()[kind])
    near = difflib.get_close_matches(rest.rpartition(".")[2], known, n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else f"known in a {kind}: {', '.join(known)}"
