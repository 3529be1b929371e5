"""Reads a sheet and says everything that is wrong with it at once."""

import difflib
import tomllib
import typing
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from tractwright.errors import Fault, SheetError
from tractwright.job.cross_checks import cross_faults
from tractwright.job.lines import KeyPath, key_lines, nearest_line, spelled
from tractwright.job.sheet import JobSheet

_LIMITS = {"gt": "above", "ge": "at least", "lt": "below", "le": "at most"}
_LONGEST_GIVEN = 60


def sheet_path(job: Path) -> Path:
    """The job.toml of a folder, or the file itself. Raises SheetError where there is none."""
    path = job / "job.toml" if job.is_dir() else job
    if not path.is_file():
        raise SheetError(str(path), (Fault(key="(file)", given="nothing there", accepted="a folder with a job.toml"),))
    return path


def read_sheet(job: Path) -> JobSheet:
    """The sheet of a job folder or file. Raises SheetError with every fault: key, given, accepted, line."""
    path = sheet_path(job)
    text = _text(path)
    lines = key_lines(text)
    raw = _parsed(path, text)
    try:
        sheet = JobSheet.model_validate(raw)
    except ValidationError as found:
        faults = [_fault(error, lines) for error in found.errors()]
        raise SheetError(str(path), tuple(sorted(faults, key=lambda fault: fault.line))) from found
    faults = [
        Fault(key=spelled(key), given=given, accepted=accepted, line=nearest_line(lines, key))
        for key, given, accepted in cross_faults(sheet)
    ]
    if faults:
        raise SheetError(str(path), tuple(sorted(faults, key=lambda fault: fault.line)))
    return sheet


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as found:
        fault = Fault(key="(file)", given=f"bytes that are no text at byte {found.start}", accepted="text in UTF-8")
        raise SheetError(str(path), (fault,)) from found


def _parsed(path: Path, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as found:
        message = str(found)
        place = message.rpartition("(at line ")[2].partition(",")[0]
        line = int(place) if place.isdigit() else 0
        given = text.splitlines()[line - 1].strip() if 0 < line <= len(text.splitlines()) else "this text"
        fault = Fault(key="(syntax)", given=_short(given), accepted=f"TOML; {message}", line=line)
        raise SheetError(str(path), (fault,)) from found


def _fault(error: ErrorDetails, lines: dict[KeyPath, int]) -> Fault:
    path: KeyPath = tuple(step for step in error["loc"] if step != "[key]")
    given = "nothing" if error["type"] == "missing" else _short(repr(error["input"]))
    return Fault(key=spelled(path), given=given, accepted=_accepted(error, path), line=nearest_line(lines, path))


def _accepted(error: ErrorDetails, path: KeyPath) -> str:
    kind, context = error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        return _known_keys(path)
    if kind == "missing":
        return "a value: this key is needed"
    for short, words in (
        ("greater_than_equal", "ge"),
        ("greater_than", "gt"),
        ("less_than_equal", "le"),
        ("less_than", "lt"),
    ):
        if kind == short:
            return f"a value {_LIMITS[words]} {context[words]:g}"
    message = error["msg"].removeprefix("Value error, ").removeprefix("accepted: ")
    return message.replace("Input should be", "").strip() or "another value"


def _known_keys(path: KeyPath) -> str:
    """The nearest known key of the same table, and all there are."""
    known = sorted(table_keys(path[:-1]))
    near = difflib.get_close_matches(str(path[-1]), known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]!r}? " if near else ""
    return f"{hint}keys here: {', '.join(known)}"


def table_keys(path: KeyPath) -> tuple[str, ...]:
    """The keys that a table of the sheet knows."""
    model: type[BaseModel] = JobSheet
    for step in path:
        if isinstance(step, int):
            continue
        inner = next(f.annotation for n, f in model.model_fields.items() if (f.alias or n) == step)
        models = [part for part in _parts(inner) if isinstance(part, type) and issubclass(part, BaseModel)]
        model = models[0]
    return tuple(field.alias or name for name, field in model.model_fields.items())


def _parts(annotation: Any) -> list[Any]:
    inner = typing.get_args(annotation)
    return [annotation] if not inner else [part for item in inner for part in _parts(item)]


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_GIVEN else text[: _LONGEST_GIVEN - 1] + "…"
