"""design.toml: the description as a file a person may edit, keeping their comments."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable

from tractwright.design.paths import items_by_path
from tractwright.design.records import Design
from tractwright.errors import Fault, SheetError

_ROUND = 6
_HEADER = """The description, written afresh by every run. A number you change here becomes held: the tool works round it.
Write it plainly, or as { value = 300.0, is = "held" }. Delete the line to give the number back to the tool."""


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

    Raises SheetError for a file that is no TOML.
    """
    if not path.exists():
        return Held()
    now = _flat(_parsed(path))
    before = _flat(_parsed(last_written)) if last_written.exists() else None
    values: dict[str, Any] = {}
    for key, value in now.items():
        if isinstance(value, dict) and value.get("is") == "held":
            values[key] = value["value"]
        elif before is not None and key in before and _bare(value) != _bare(before[key]):
            values[key] = _bare(value)
    return Held(values=values)


def design_text(design: Design) -> str:
    """The description as TOML."""
    return tomlkit.dumps(_document(design))


def write_design(design: Design, path: Path) -> None:
    """Write the description in place: numbers anew, the user's comments kept, what no longer exists taken out."""
    fresh = _document(design)
    if path.exists():
        old = _parsed(path)
        _merge(old, fresh)
        fresh = old
    path.write_text(tomlkit.dumps(fresh), encoding="utf-8")


def _document(design: Design) -> tomlkit.TOMLDocument:
    document = tomlkit.document()
    for line in _HEADER.splitlines():
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    for path, item in items_by_path(design).items():
        kind, _, name = path.partition(".")
        group = document.setdefault(kind, tomlkit.table(is_super_table=True))
        group[name] = _table(item, path, design)
    return document


def _table(record: Any, path: str, design: Design) -> AbstractTable:
    table = tomlkit.table()
    for entry in fields(record):
        if entry.name == "name":
            continue
        where = f"{path}.{entry.name}"
        value = getattr(record, entry.name)
        if is_dataclass(value):
            table[entry.name] = _table(value, where, design)
            continue
        standing = design.standing.get(where, "solved")
        plain = _plain(value)
        table[entry.name] = plain if standing == "solved" else _marked(plain, standing)
    return table


def _marked(value: Any, standing: str) -> Any:
    inline = tomlkit.inline_table()
    inline.update({"value": value, "is": standing})
    return inline


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, _ROUND) + 0.0
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return value


def _merge(old: Any, fresh: Any) -> None:
    for key in [key for key in old if key not in fresh]:
        del old[key]
    for key, value in fresh.items():
        if key in old and isinstance(value, AbstractTable) and isinstance(old[key], AbstractTable):
            _merge(old[key], value)
        elif key not in old or old[key] != value:
            old[key] = value


def _parsed(path: Path) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(path.read_text(encoding="utf-8"))
    except TOMLKitError as found:
        line = int(getattr(found, "line", 0))
        fault = Fault(key="(syntax)", given="this text", accepted=f"TOML; {found}", line=line)
        raise SheetError(str(path), (fault,)) from found


def _flat(document: tomlkit.TOMLDocument) -> dict[str, Any]:
    found: dict[str, Any] = {}

    def walk(prefix: str, value: Any) -> None:
        if isinstance(value, dict) and "is" not in value:
            for key, inner in value.items():
                walk(f"{prefix}.{key}" if prefix else key, inner)
        else:
            found[prefix] = value

    walk("", document.unwrap())
    return found


def _bare(value: Any) -> Any:
    return value["value"] if isinstance(value, dict) else value
