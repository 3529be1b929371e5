"""Reads a sheet and says everything that is wrong with it at once."""

import copy
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tractwright.errors import Fault, SheetError
from tractwright.job.cross_check import cross_faults
from tractwright.job.faults import fault_of, is_missing_key, is_own, nearest_name, path_of, value_at
from tractwright.job.keys import key_at, known_in
from tractwright.job.lines import KeyPath, key_lines, spelled
from tractwright.job.sheet import JobSheet
from tractwright.job.syntax import Parsed, parsed


def sheet_path(job: Path) -> Path:
    """The job.toml of a folder, or the file itself. Raises SheetError where there is none."""
    path = job / "job.toml" if job.is_dir() else job
    if not path.is_file():
        raise SheetError(str(path), (Fault(key="(file)", given="nothing there", accepted="a folder with a job.toml"),))
    return path


def read_sheet(job: Path) -> JobSheet:
    """The sheet of a job folder or file. Raises SheetError with every fault: key, given, accepted, line."""
    path = sheet_path(job)
    text = parsed(_text(path))
    faults = list(text.faults)
    lines = key_lines(text.sound)
    try:
        sheet = JobSheet.model_validate(text.data)
    except ValidationError as found:
        own = [error for error in found.errors() if is_own(error)]
        meant = {path for error in own for path in _meant(error)}
        told = [error for error in own if text.trusted and not _missing_elsewhere(error, text, meant)]
        faults += [fault_of(error, text.data, lines) for error in told]
        sheet, unsound = _sound_part(text.data)
    else:
        unsound = frozenset[KeyPath]()
    unsound |= {tuple(fault.key.split(".")) for fault in text.faults}
    if text.trusted:
        faults += cross_faults(sheet, unsound, lines)
    if faults:
        raise SheetError(str(path), tuple(sorted(set(faults), key=lambda fault: (fault.line, fault.key))))
    return sheet


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as found:
        fault = Fault(key="(file)", given=f"bytes that are no text at byte {found.start}", accepted="text in UTF-8")
        raise SheetError(str(path), (fault,)) from found


def _missing_elsewhere(error: ErrorDetails, text: Parsed, meant: set[KeyPath]) -> bool:
    """Whether a key is missing only because its line is no TOML, or because its name is misspelt."""
    if not is_missing_key(error):
        return False
    broken = {fault.key for fault in text.faults}
    return path_of(error) in meant or not broken.isdisjoint({"(syntax)", spelled(path_of(error))})


def _sound_part(data: dict[str, Any]) -> tuple[JobSheet, frozenset[KeyPath]]:
    """The sheet with its faults taken out, so that the rest can be looked at too, and the paths not to be relied on.

    A key at fault goes; where its table cannot do without it, its example stands in.
    """
    rest = copy.deepcopy(data)
    unsound: set[KeyPath] = set()
    while True:  # each round takes out every fault the model still finds: it ends
        try:
            return JobSheet.model_validate(rest), frozenset(unsound)
        except ValidationError as found:
            errors = [error for error in found.errors() if is_own(error)]
        for error in errors:
            path = _whole_key(path_of(error))
            unsound |= {path, *_meant(error)}
            _take_out(rest, path)


def _whole_key(path: KeyPath) -> KeyPath:
    """The path without places inside a key's own list."""
    while path and isinstance(path[-1], int) and key_at(path) is not None:
        path = path[:-1]
    return path


def _meant(error: ErrorDetails) -> tuple[KeyPath, ...]:
    """The key that an unknown one was probably meant to be: silent only in the letter."""
    path = path_of(error)
    near = nearest_name(str(path[-1]), known_in(path[:-1])) if error["type"] == "extra_forbidden" else ""
    return ((*path[:-1], near),) if near else ()


def _take_out(rest: dict[str, Any], path: KeyPath) -> None:
    if path == ("job",):
        rest["job"] = {}
        return
    holder, key = value_at(rest, path[:-1]), key_at(path)
    if isinstance(holder, dict) and key is not None and key.needed:
        holder[path[-1]] = key.example
    elif isinstance(holder, dict):
        holder.pop(path[-1], None)
    elif isinstance(holder, list):
        _take_out(rest, path[:-1])  # an item of a list of tables that is no table: the list goes
