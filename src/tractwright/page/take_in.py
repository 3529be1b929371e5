"""Files dropped on the page: looked at before they are trusted, saved beside the sheet, named in it."""

import os
import re
import tempfile
from pathlib import Path
from typing import Protocol

from tractwright.errors import SheetError
from tractwright.page.workroom import Workroom

_SCANS = {".stl", ".ply", ".obj", ".3mf"}
_LONGEST_NAME = 60


class Dropped(Protocol):
    """A file as the browser sent it."""

    name: str

    async def read(self) -> bytes:
        """All of it."""
        ...


async def take_in(workroom: Workroom, file: Dropped) -> str:
    """Take a dropped file into the job; gives what became of it, in words. What is no scan is refused and not kept."""
    name = safe_name(file.name)
    ending = Path(name).suffix.lower()
    if ending not in _SCANS:
        return f"{file.name}: not taken; accepted: a scan, one of {', '.join(sorted(_SCANS))}"
    content = await file.read()
    refusal = refused(ending, content)
    if refusal:
        return f"{file.name}: {refusal}"
    _write(workroom.desk.folder / name, content)
    try:
        workroom.edit(lambda desk: desk.set_fact("scan.file", name))
    except SheetError as fault:
        return str(fault)
    return f"{name} taken in: {len(content) / 1e6:.1f} MB. Its faces and openings follow; say where port 1 is."


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
    if ending == ".3mf" and not content.startswith(b"PK"):
        return "it is no 3MF file; not taken"
    return ""


def _write(path: Path, content: bytes) -> None:
    handle, partial = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".partial")
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    Path(partial).replace(path)
