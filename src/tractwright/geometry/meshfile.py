"""STL files, binary and text, read with their size checked before a byte is believed."""

import re
from pathlib import Path

import numpy as np
import numpy.typing as npt

from tractwright.errors import ScanError

ACCEPTED = "an STL file, binary or text, with at least one triangle"
_RECORD = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("spare", "<u2")])
_HEADER = 84
_BLOCK = 1 << 25
_CORNER = re.compile(rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)")


def read_stl(path: Path) -> npt.NDArray[np.float32]:
    """Triangles (m, 3, 3) in the file's unit, as they stand: some corners may be no numbers.

    Raises ScanError: no such file, empty, cut short, a count that does not fit the size, not STL at all.
    """
    if not path.is_file():
        raise ScanError(path.name, "there is no such file", ACCEPTED)
    size = path.stat().st_size
    if size == 0:
        raise ScanError(path.name, "the file is empty", ACCEPTED)
    with path.open("rb") as file:
        head = file.read(_HEADER)
    count = int.from_bytes(head[80:84], "little") if len(head) == _HEADER else -1
    if count >= 0 and size == _HEADER + _RECORD.itemsize * count:
        return _read_binary(path, count)
    if _is_text(path):
        return _read_text(path)
    raise ScanError(path.name, _what_is_wrong(head, size, count), ACCEPTED)


def _read_binary(path: Path, count: int) -> npt.NDArray[np.float32]:
    if count == 0:
        raise ScanError(path.name, "the file holds no triangles", ACCEPTED)
    records = np.fromfile(path, dtype=_RECORD, count=count, offset=_HEADER)
    return np.ascontiguousarray(records["corner"])


def _is_text(path: Path) -> bool:
    """Whether the file begins as a text STL and has no byte that text cannot have."""
    with path.open("rb") as file:
        start = file.read(2048)
    return start.lstrip()[:5].lower() == b"solid" and b"\0" not in start and b"facet" in start


def _read_text(path: Path) -> npt.NDArray[np.float32]:
    found: list[npt.NDArray[np.float32]] = []
    rest = b""
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            whole, _, rest = (rest + block).rpartition(b"endfacet")
            found.append(_corners(path, whole))
    values = np.concatenate([*found, _corners(path, rest)])
    if len(values) == 0 or len(values) % 3 or b"endsolid" not in rest.lower():
        raise ScanError(path.name, "the text ends in the middle of a triangle or of the solid", ACCEPTED)
    return np.ascontiguousarray(values.reshape(-1, 3, 3))


def _corners(path: Path, text: bytes) -> npt.NDArray[np.float32]:
    """The corners (n, 3) that a piece of text names."""
    corners = _CORNER.findall(text)
    if not corners:
        return np.zeros((0, 3), dtype=np.float32)
    try:
        with np.errstate(over="ignore"):
            return np.array(corners, dtype="S32").astype(np.float32)
    except ValueError as fault:
        raise ScanError(path.name, "a corner in the text is not three numbers", ACCEPTED) from fault


def _what_is_wrong(head: bytes, size: int, count: int) -> str:
    if count < 0:
        return f"the file is only {size} bytes long, shorter than the header of a binary STL"
    wanted = _HEADER + _RECORD.itemsize * count
    held = (size - _HEADER) // _RECORD.itemsize
    if all(byte in b"\t\r\n" or 32 <= byte < 127 for byte in head):
        return "the file is text, but not STL"
    if size < wanted:
        return f"the file is cut short: its header says {count} triangles, it holds {held}"
    return f"the header says {count} triangles, but the file is long enough for {held}"


def write_stl(path: Path, triangles: npt.NDArray[np.float32], remark: str) -> None:
    """Triangles (m, 3, 3) as a binary STL file; remark : up to 80 letters for its header."""
    partial = path.with_name(path.name + ".partial")
    partial.write_bytes(stl_bytes(triangles, remark))
    partial.replace(path)


def stl_bytes(triangles: npt.NDArray[np.float32], remark: str) -> bytes:
    """What `write_stl` writes; normals are left to the reader, who has them from the order of the corners."""
    records = np.zeros(len(triangles), dtype=_RECORD)
    records["corner"] = triangles
    header = remark.encode("ascii", "replace")[:80].ljust(80)
    return header + np.uint32(len(triangles)).tobytes() + records.tobytes()
