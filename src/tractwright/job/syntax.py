"""Reads TOML text and names every line that is none, going on past each, so that one run shows all of them."""

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from tractwright.errors import Fault

_MOST_FAULTS = 30
_PLACE = re.compile(r"\(at line (\d+), column \d+\)$")
_PAIR = re.compile(r"\s*([A-Za-z0-9_.\-]+)\s*=\s*([^#]*)")
_CURLY = "\u2018\u2019\u201a\u201c\u201d\u201e"
_WRONG_QUOTES = re.compile(f"[{_CURLY}'][^{_CURLY}']*[{_CURLY}']")
_UNCLOSED = ("Unclosed", "Unterminated", "Expected \"'''\"")
_LONGEST_GIVEN = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Parsed:
    """What could be read of a text.

    sound : the text without the lines at fault (left empty, so that lines keep their numbers); data : what it says;
    trusted : whether the rest still means what it says (no heading and no bracket is among the lines at fault).
    """

    sound: str
    data: dict[str, Any]
    faults: tuple[Fault, ...]
    trusted: bool


def parsed(text: str) -> Parsed:
    """The text as far as it is TOML, and a fault for every line that is not."""
    lines = text.split("\n")
    faults: list[Fault] = []
    trusted = True
    while True:
        sound = "\n".join(lines)
        try:
            return Parsed(sound=sound, data=tomllib.loads(sound), faults=tuple(faults), trusted=trusted)
        except tomllib.TOMLDecodeError as found:
            reason = str(found)
        number = _culprit(lines, reason)
        faults.append(_fault(lines, number, reason))
        broken = lines[number - 1].strip()
        lines[number - 1] = ""
        unclosed = reason.startswith(_UNCLOSED)
        trusted = trusted and not unclosed and not broken.startswith("[")
        if unclosed or len(faults) == _MOST_FAULTS or not broken:
            return Parsed(sound="", data={}, faults=tuple(faults), trusted=False)


def _culprit(lines: list[str], reason: str) -> int:
    """The line at fault [1 is the first]: the one named, or above it the last key whose own line is no TOML."""
    place = _PLACE.search(reason)
    named = min(int(place.group(1)), len(lines)) if place else len(lines)
    if reason.startswith("Cannot"):
        return named
    if reason.startswith(_UNCLOSED):
        opened = [n for n in range(1, named + 1) if _PAIR.match(lines[n - 1]) and not _is_toml(lines[n - 1])]
        return opened[-1] if opened else named
    while named > 1 and _is_toml(lines[named - 1]):
        named -= 1
    return named


def _is_toml(line: str) -> bool:
    try:
        tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _fault(lines: list[str], number: int, reason: str) -> Fault:
    line = lines[number - 1].split(" #")[0].strip()
    pair = _PAIR.match(line)
    key = _table_above(lines, number) + pair.group(1) if pair else "(syntax)"
    given = line if len(line) <= _LONGEST_GIVEN else line[: _LONGEST_GIVEN - 1] + "…"
    return Fault(key=key, given=given or "nothing", accepted=_accepted(lines, number, reason), line=number)


def _table_above(lines: list[str], number: int) -> str:
    """The table a line stands in, with a point after it; '' at the top."""
    headings = [line.split("#")[0].strip() for line in lines[: number - 1] if line.strip().startswith("[")]
    return f"{headings[-1].strip('[] ')}." if headings else ""


def _accepted(lines: list[str], number: int, reason: str) -> str:
    line = lines[number - 1].strip()
    if reason.startswith("Cannot"):
        first = _first_given(lines, number)
        return "each key and table once" + (f"; it stands on line {first} already" if first else "")
    if reason.startswith(_UNCLOSED):
        return f"a bracket or quote that is closed again; {reason.split(' (')[0].lower()}"
    pair = _PAIR.match(line)
    hint = _hint(pair.group(1), pair.group(2).strip()) if pair else ""
    return hint or f'TOML, such as [table], key = 3 or key = "text"; {reason.split(" (")[0].lower()}'


def _hint(key: str, value: str) -> str:
    """How the value was probably meant."""
    if value in ("True", "False"):
        return f"{key} = {value.lower()}"
    if re.fullmatch(r"[-+]?\d+,\d+", value):
        return f"a point before decimals: {key} = {value.replace(',', '.')}"
    if re.fullmatch(r"[-+]?(\.\d+|\d+\.)", value):
        return f"a digit on both sides of the point: {key} = {float(value):g}"
    if re.fullmatch(r"[\w.+\-/° ]+", value):
        return f'in quotes, as every text and every number with a unit: {key} = "{value}"'
    if '"' not in value and _WRONG_QUOTES.fullmatch(value):
        return f'plain quotes: {key} = "{value[1:-1]}"'
    return ""


def _first_given(lines: list[str], number: int) -> int:
    """The line above that gives the same key in the same table, or the same heading; 0 where none is found."""
    line = lines[number - 1].split("#")[0].strip()
    heading = line.startswith("[")
    key = line if heading else line.split("=")[0].strip()
    for n in range(number - 1, 0, -1):
        other = lines[n - 1].split("#")[0].strip()
        if heading and other.strip("[]") == key.strip("[]"):
            return n
        if not heading and other.startswith("["):
            return 0
        if not heading and other.split("=")[0].strip() == key:
            return n
    return 0
