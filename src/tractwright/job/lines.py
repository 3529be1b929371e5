"""On which line of a TOML text each key stands."""

import re

KeyPath = tuple[str | int, ...]

_TABLE = re.compile(r"^\s*\[\s*([A-Za-z0-9_.\- ]+?)\s*\]\s*(#.*)?$")
_LIST_TABLE = re.compile(r"^\s*\[\[\s*([A-Za-z0-9_.\- ]+?)\s*\]\]\s*(#.*)?$")
_KEY = re.compile(r"^\s*([A-Za-z0-9_\-]+)\s*=")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line [1 is the first] of every table and key, lists of tables counted from 0."""
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    here: KeyPath = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if listed := _LIST_TABLE.match(line):
            path = _path(listed.group(1))
            counts[path] = counts.get(path, -1) + 1
            lines.setdefault(path, number)
            here = (*path, counts[path])
            lines[here] = number
        elif table := _TABLE.match(line):
            here = _path(table.group(1))
            lines[here] = number
        elif key := _KEY.match(line):
            lines[(*here, key.group(1))] = number
    return lines


def nearest_line(lines: dict[KeyPath, int], path: KeyPath) -> int:
    """The line of a key, or of the nearest table above it; 0 where nothing of it is written."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return 0


def spelled(path: KeyPath) -> str:
    """The key as a person would say it: pattern.screw[2].at."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def _path(dotted: str) -> KeyPath:
    return tuple(part.strip() for part in dotted.split("."))
