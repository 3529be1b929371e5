"""On which line of a TOML text each key stands: dotted, quoted, in tables, in inline tables, in lists over many lines.

The text must be TOML that a parser has already accepted: this only looks where things are.
"""

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

KeyPath = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    "|".join(
        (
            r'"""(?:\\.|[^\\])*?"""(?:"{1,2}(?!"))?',
            r"'''.*?'''(?:'{1,2}(?!'))?",
            r'"(?:\\.|[^"\\])*"',
            r"'[^']*'",
        )
    ),
    re.DOTALL,
)
_PLAIN = re.compile(r"[^,\]}\n#]*")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line [1 is the first] of every table, key and list item; items and tables of a list counted from 0."""
    return _Reader(text=text, starts=_line_starts(text)).read()


def nearest_line(lines: dict[KeyPath, int], path: KeyPath) -> int:
    """The line of a key, or of the nearest table above it; 0 where nothing of it is written."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return 0


def spelled(path: KeyPath) -> str:
    """The key as a person would say it, items of lists counted from 1: pattern.screw[2].at."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def _line_starts(text: str) -> list[int]:
    return [0, *(match.end() for match in re.finditer("\n", text))]


@dataclass(slots=True)
class _Reader:
    """Walks the text once. at : the place in it."""

    text: str
    starts: list[int]
    at: int = 0
    lines: dict[KeyPath, int] = field(default_factory=dict[KeyPath, int])
    counts: dict[KeyPath, int] = field(default_factory=dict[KeyPath, int])

    def read(self) -> dict[KeyPath, int]:
        table: KeyPath = ()
        self._skip_blank()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._heading()
            else:
                self._pair(table)
            self._skip_blank()
        return self.lines

    def _heading(self) -> KeyPath:
        listed = self.text.startswith("[[", self.at)
        line = self._line()
        self.at += 2 if listed else 1
        steps = self._dotted()
        self.at += 2 if listed else 1
        path = self._resolved(steps[:-1]) + steps[-1:]
        if listed:
            self.lines.setdefault(path, line)
            self.counts[path] = self.counts.get(path, -1) + 1
            path = (*path, self.counts[path])
        elif path in self.counts:
            path = (*path, self.counts[path])
        self.lines[path] = line
        return path

    def _resolved(self, steps: KeyPath) -> KeyPath:
        """Steps through a list of tables go through its last table."""
        path: KeyPath = ()
        for step in steps:
            path = (*path, step)
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    def _pair(self, table: KeyPath) -> None:
        line = self._line()
        steps = self._dotted()
        for end in range(1, len(steps) + 1):
            self.lines.setdefault(table + steps[:end], line)
        self.at += 1  # the equals sign
        self._value(table + steps)

    def _dotted(self) -> KeyPath:
        """The steps of a key, up to the sign after it."""
        steps: KeyPath = ()
        while True:
            self._skip_blank()
            found = _STRING.match(self.text, self.at) or _BARE_KEY.match(self.text, self.at)
            if found is None:
                return steps
            self.at = found.end()
            steps = (*steps, _unquoted(found.group()))
            self._skip_blank()
            if self.text[self.at] != ".":
                return steps
            self.at += 1

    def _value(self, path: KeyPath) -> None:
        self._skip_blank()
        if self.text[self.at] == "[":
            self._list(path)
        elif self.text[self.at] == "{":
            self._inline_table(path)
        else:
            found = _STRING.match(self.text, self.at) or _PLAIN.match(self.text, self.at)
            self.at = found.end() if found else len(self.text)

    def _list(self, path: KeyPath) -> None:
        index = 0
        while self._goes_on("]"):
            self.lines[(*path, index)] = self._line()
            self._value((*path, index))
            index += 1

    def _inline_table(self, path: KeyPath) -> None:
        while self._goes_on("}"):
            self._pair(path)

    def _goes_on(self, closing: str) -> bool:
        """Steps over an opening bracket or a comma; False, past the closing bracket, where the list ends."""
        self._skip_blank()
        if self.text[self.at] in "[{,":
            self.at += 1
            self._skip_blank()
        if self.text[self.at] != closing:
            return True
        self.at += 1
        return False

    def _skip_blank(self) -> None:
        found = _BLANK.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def _line(self) -> int:
        return bisect_right(self.starts, self.at)


def _unquoted(key: str) -> str:
    return next(iter(tomllib.loads(f"{key} = 0"))) if key[0] in "\"'" else key
