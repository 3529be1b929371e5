"""design.toml: the description as a file a person may edit, keeping their comments."""

import difflib
import os
import tempfile
import typing
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isclose
from pathlib import Path
from typing import Any

from tractwright.design.leaves import NAME, Leaf, leaves, leaves_and_faults
from tractwright.design.paths import KINDS, leaf_types, record_types, resolved, value_at
from tractwright.design.possible import impossible
from tractwright.design.records import Design, Standing
from tractwright.design.text import design_text, rewritten
from tractwright.design.values import plain, words
from tractwright.errors import Fault, SheetError

LENGTH_TOLERANCE = 0.002
"""A runner is as long as asked to this share: courses are laid to it."""
_LENGTH = ("runner", "length_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Numbers that are not the tool's to choose: the user's, and wishes of rules (set, but not held)."""

    values: Mapping[str, Any] = field(default_factory=dict[str, Any])
    wishes: Mapping[str, Any] = field(default_factory=dict[str, Any])

    def number(self, path: str, otherwise: float) -> float:
        """The held or wished value of a path, else the other."""
        return float(self.get(path, otherwise))

    def get(self, path: str, otherwise: Any) -> Any:
        """The held or wished value of a path, else the other."""
        return self.values.get(path, self.wishes.get(path, otherwise))

    def is_held(self, path: str) -> bool:
        """Whether the user holds it."""
        return path in self.values

    def held_paths(self) -> tuple[str, ...]:
        """What the user holds."""
        return tuple(sorted(self.values))

    def with_wishes(self, wishes: Mapping[str, Any]) -> "Held":
        """The same with wishes; what the user holds stays held."""
        return Held(values=self.values, wishes=dict(wishes))


def read_held(path: Path, last_written: Path) -> Held:
    """What the user holds: values marked held, and values that differ from the copy the last run wrote.

    last_written : that copy; where there is none, only marks count. Raises SheetError with every fault: text that is no
    TOML, paths that no record has, values of a wrong type, held values that no manifold can have; not for what an older
    version of this program wrote into both.
    """
    if not path.exists():
        return Held()
    now, faults = leaves_and_faults(path)
    last, outdated = leaves_and_faults(last_written) if last_written.exists() else ((), ())
    known = {(fault.key, fault.given) for fault in outdated}
    told = [fault for fault in faults if (fault.key, fault.given) not in known]
    told += _new_names(now, last) if last else []
    before = {leaf.path: leaf.value for leaf in last}
    held = [leaf for leaf in now if _is_held(leaf, before)]
    told += [fault for leaf in held if (fault := impossible(leaf)) is not None]
    if told:
        raise SheetError(str(path), tuple(told))
    return Held(values={leaf.path: leaf.value for leaf in held})


def unheeded(held: Held, design: Design) -> tuple[str, ...]:
    """What the user holds and the description does not have as held: no such record any more, or another value."""
    return tuple(path for path in held.held_paths() if not _heeds(design, path, held.values[path]))


def read_design(path: Path) -> Design:
    """The whole description of a file. Raises SheetError for anything missing, unknown or of a wrong type."""
    found = leaves(path)
    values: dict[tuple[str, str], dict[str, Any]] = {}
    for leaf in found:
        values.setdefault((leaf.kind, leaf.name), {})[leaf.field] = leaf.value
    title = values.pop((NAME, ""), {})
    faults = [fault for (kind, name), given in values.items() for fault in _missing(kind, name, given)]
    if not title:
        faults.append(Fault(key=NAME, given="nothing", accepted=words(str)))
    if faults:
        raise SheetError(str(path), tuple(faults))
    records: dict[str, Any] = dict.fromkeys(KINDS.values(), ())
    for (kind, name), given in values.items():
        records[KINDS[kind]] += (_record(record_types()[kind], given, name),)
    standing: dict[str, Standing] = {leaf.path: leaf.mark for leaf in found if leaf.mark in ("held", "assumed")}
    return Design(name=title[""], standing=standing, **records)


def write_design(design: Design, path: Path) -> None:
    """Write the description in place: numbers anew, the user's comments kept, what no longer exists taken out."""
    old = path.read_text(encoding="utf-8-sig") if path.exists() else ""
    text = rewritten(old, design) if old.strip() else design_text(design)
    handle, partial = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".partial")
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)
    Path(partial).replace(path)


def _is_held(leaf: Leaf, before: Mapping[str, Any]) -> bool:
    if leaf.mark in ("held", "solved"):
        return leaf.mark == "held"
    return leaf.path in before and leaf.value != before[leaf.path]


def _new_names(now: tuple[Leaf, ...], last: tuple[Leaf, ...]) -> list[Fault]:
    """A fault for each record that the last run did not write: nothing would look at it."""
    there = {(leaf.kind, leaf.name) for leaf in last}
    faults: dict[tuple[str, str], Fault] = {}
    for leaf in now:
        if (leaf.kind, leaf.name) not in there and (leaf.kind, leaf.name) not in faults:
            names = sorted(name for kind, name in there if kind == leaf.kind)
            near = difflib.get_close_matches(leaf.name, names, n=1, cutoff=0.4)
            accepted = f"did you mean {near[0]}?" if near else f"one that is there: {', '.join(names) or 'none'}"
            key = f"{leaf.kind}.{leaf.name}"
            faults[leaf.kind, leaf.name] = Fault(key=key, given="a new name", accepted=accepted, line=leaf.line)
    return list(faults.values())


def _heeds(design: Design, path: str, value: Any) -> bool:
    if path == NAME:
        return design.name == value
    place = resolved(path)
    try:
        found = value_at(design, path)
    except KeyError:
        return False
    if place and (place[0], place[2]) == _LENGTH:
        return isclose(found, value, rel_tol=LENGTH_TOLERANCE)
    hint = leaf_types(record_types()[place[0]])[place[2]] if place else str
    return plain(found, hint) == plain(value, hint)


def _missing(kind: str, name: str, given: dict[str, Any]) -> list[Fault]:
    known = leaf_types(record_types()[kind])
    return [
        Fault(key=f"{kind}.{name}.{path}", given="nothing", accepted=words(hint))
        for path, hint in known.items()
        if path not in given
    ]


def _record(record: type[Any], given: dict[str, Any], name: str) -> Any:
    """The record of its values by dotted field path."""
    own: dict[str, Any] = {}
    inner: dict[str, dict[str, Any]] = {}
    for path, value in given.items():
        head, _, rest = path.partition(".")
        if rest:
            inner.setdefault(head, {})[rest] = value
        else:
            own[head] = value
    hints = typing.get_type_hints(record)
    own |= {head: _record(hints[head], values, "") for head, values in inner.items()}
    return record(name=name, **own) if "name" in hints else record(**own)
