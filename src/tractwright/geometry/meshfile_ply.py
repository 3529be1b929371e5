"""A PLY file's header held against the file's size, before anything allocates what it promises.

Source: G. Turk (1994), The PLY polygon file format (memory): element and property lines, list lengths before lists.
"""

from dataclasses import dataclass
from pathlib import Path

from tractwright.errors import ScanError

_BYTES = {
    "char": 1, "int8": 1, "uchar": 1, "uint8": 1, "short": 2, "int16": 2, "ushort": 2, "uint16": 2,
    "int": 4, "int32": 4, "uint": 4, "uint32": 4, "float": 4, "float32": 4, "double": 8, "float64": 8,
}  # fmt: skip
_ENCODINGS = ("ascii", "binary_little_endian", "binary_big_endian")
_LEAST_LETTERS = 2
"""A number in text and the space after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Element:
    """name, how many, and the least bytes one takes: in binary, and in text."""

    name: str
    count: int
    binary: int
    text: int


def refuse_lying_ply(path: Path, start: bytes, accepted: str) -> None:
    """Raises ScanError where the header is broken or promises more than the file can hold. start : its first 64 kB."""
    try:
        encoding, elements, length = _header(start)
    except ValueError as fault:
        raise ScanError(path.name, f"its PLY header is broken: {fault}", accepted) from fault
    named = {element.name: element.count for element in elements}
    if not named.get("vertex") or not named.get("face"):
        raise ScanError(path.name, "its PLY header promises no vertices or no faces", accepted)
    least = sum(e.count * (e.text if encoding == "ascii" else e.binary) for e in elements)
    held = path.stat().st_size - length
    if held + _LEAST_LETTERS < least:
        words = f"its header promises {named['vertex']} vertices and {named['face']} faces, at least {least} bytes"
        raise ScanError(path.name, f"{words}; after the header it holds {held}", accepted)


def _header(start: bytes) -> tuple[str, list[_Element], int]:
    """Encoding, elements and the header's length. Raises ValueError with what is wrong."""
    end = start.find(b"end_header")
    if end < 0:
        raise ValueError("no end_header")
    lines = start[:end].decode("ascii", "replace").replace("\r", "\n").split("\n")
    words = [line.split() for line in lines if line.strip()]
    formats = [line for line in words if line[0] == "format"]
    if len(formats) != 1 or len(formats[0]) < 2 or formats[0][1] not in _ENCODINGS:
        raise ValueError("no format among " + ", ".join(_ENCODINGS))
    elements: list[_Element] = []
    for line in words:
        if line[0] == "element":
            elements.append(_Element(name=_nth(line, 1), count=_whole(_nth(line, 2)), binary=0, text=0))
        elif line[0] == "property":
            if not elements:
                raise ValueError("a property before any element")
            elements[-1] = _with(elements[-1], line)
    return formats[0][1], elements, end + len(b"end_header\n")


def _nth(line: list[str], n: int) -> str:
    if len(line) <= n:
        raise ValueError(f"the line '{' '.join(line)[:40]}' ends too early")
    return line[n]


def _whole(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 12:
        raise ValueError(f"'{text[:20]}' is no count")
    return int(text)


def _size(kind: str) -> int:
    if kind not in _BYTES:
        raise ValueError(f"'{kind[:20]}' is no kind of number")
    return _BYTES[kind]


def _with(element: _Element, line: list[str]) -> _Element:
    """The element with one property more; a list of a face's corners holds three at least, any other may be empty."""
    listed = _nth(line, 1) == "list"
    if not listed:
        binary, text = _size(line[1]), _LEAST_LETTERS
    else:
        corners = 3 if element.name == "face" and "ind" in _nth(line, 4) else 0
        binary = _size(_nth(line, 2)) + corners * _size(_nth(line, 3))
        text = (1 + corners) * _LEAST_LETTERS
    return _Element(name=element.name, count=element.count, binary=element.binary + binary, text=element.text + text)
