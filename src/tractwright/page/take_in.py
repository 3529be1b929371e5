"""Files dropped on the page: looked at before they are trusted, saved beside the sheet, named in it."""

import os
import re
import tempfile
from pathlib import Path
from typing import Protocol

from tractwright.errors import SheetError
from tractwright.page.desk import Desk
from tractwright.page.sheet_text import in_words
from tractwright.page.workroom import Workroom

_SCANS = {".stl", ".ply", ".obj", ".3mf"}
_PIECES = {".step", ".stp"}
_HEADER = b"ISO-10303-21"
_HEADER_WITHIN = 400
_LONGEST_NAME = 60


class Dropped(Protocol):
    """A file as the browser sent it."""

    name: str

    async def read(self) -> bytes:
        """All of it."""
        ...


async def take_in(workroom: Workroom, file: Dropped) -> str:
    """Take a dropped file into the job: a scan, or a piece drawn already; gives what became of it, in words. What is neither
    is refused and not kept.
    """
    name = safe_name(file.name)
    ending = Path(name).suffix.lower()
    if ending not in _SCANS | _PIECES:
        scans, pieces = (", ".join(sorted(endings)) for endings in (_SCANS, _PIECES))
        return f"{file.name}: not taken; accepted: a scan ({scans}) or a piece drawn already ({pieces})"
    content = await file.read()
    refusal = refused(ending, content)
    if refusal:
        return f"{file.name}: {refusal}"
    _write(workroom.desk.folder / name, content)
    piece = ending in _PIECES
    try:
        workroom.edit(lambda desk: _add_piece(desk, name) if piece else desk.set_fact("scan.file", name))
    except SheetError as fault:
        return str(fault)
    next_step = "the rest is designed onto it" if piece else "its faces and openings follow; say where port 1 is"
    return f"{name} taken in, {len(content) / 1e6:.1f} MB: {next_step}."


def _add_piece(desk: Desk, name: str) -> None:
    """Name the file in the sheet's list of pieces, once."""
    rows = [{key: in_words(value) for key, value in row.items()} for row in desk.facts.get("piece", [])]
    if not any(row.get("own") == name for row in rows):
        rows.append({"own": name})
    desk.set_rows("piece", rows)


def safe_name(given: str) -> str:
    """A plain file name: no folder in it, nothing hidden, nothing but letters, figures, dots, dashes."""
    plain = re.sub(r"[^A-Za-z0-9._-]", "_", given.replace("\\", "/").rpartition("/")[2]).lstrip(".")
    stem, dot, ending = plain.rpartition(".")
    return f"{stem[:_LONGEST_NAME]}{dot}{ending[:8]}" if dot else plain[:_LONGEST_NAME] or "file"


def refused(ending: str, content: bytes) -> str:
    """Why the content cannot be what its name says, '' where it may be."""
    if not content:
        return "the file is empty; not taken"
    if ending == ".stl" and content.lstrip()[:5].lower() != b"solid":
        count = int.from_bytes(content[80:84], "little") if len(content) >= 84 else -1
        if len(content) != 84 + 50 * count:
            return "its triangle count does not fit its size: cut short, or no STL file; not taken"
    if ending == ".ply" and not content.startswith(b"ply"):
        return "it does not begin as a PLY file does; not taken"
    if ending in _PIECES and _HEADER not in content[:_HEADER_WITHIN]:
        return "it does not begin as a STEP file does; not taken"
    if ending == ".3mf" and not content.startswith(b"PK"):
        return "it is no 3MF file; not taken"
    return ""


def _write(path: Path, content: bytes) -> None:
    handle, partial = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".partial")
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    Path(partial).replace(path)
