"""A sheet to fill in: ten lines that run as they stand, and every other key with its meaning, ready to be uncommented."""

import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel

from tractwright.errors import Fault, SheetError
from tractwright.job.keys import Key, Table, tables, written
from tractwright.job.sheet import JobSheet

_FILLED_IN: Final[dict[str, dict[str, Any]]] = {
    "job": {"name": "my-manifold"},
    "engine": {"cylinders": 4, "bore": "86 mm", "stroke": "86 mm"},
    "pattern": {"port_width": "50 mm", "port_height": "32 mm", "pitch": "94 mm", "screw_rise": "34 mm"},
}
"""What the sheet starts with: an invented engine."""

_START = """\
# A job for tractwright. The figures in it are invented: put your own.
#
# The lines without a # are enough to run. Every other line is a fact you may add: take its first # away and put your
# value. What stays silent is solved or assumed; the packet lists what was assumed, heaviest first.
# Quantities stand in quotes with their unit: "4 mm", "0.5 in", "17 psi", "77 degF".
# Axes: x along the row of ports from port 1's end, y up, z out of the head; the origin is midway along the row of ports,
# on the head face.
"""
_COLUMN, _WIDTH = 40, 120


def new_sheet_text() -> str:
    """The text of a sheet to fill in."""
    sheet = JobSheet.model_validate(_FILLED_IN)
    blocks = [_START, *("\n".join(_block(table, _part_at(sheet, table))) + "\n" for table in tables())]
    return "\n".join(blocks)


def write_new(folder: Path) -> Path:
    """Write job.toml into a new folder: a job that runs as it stands. Raises SheetError where one is there already."""
    path = folder / "job.toml"
    if path.exists():
        raise SheetError(str(path), (Fault(key="(file)", given="a sheet is there already", accepted="a new folder"),))
    folder.mkdir(parents=True, exist_ok=True)
    path.write_text(new_sheet_text(), encoding="utf-8")
    return path


def _block(table: Table, part: BaseModel | None) -> Iterator[str]:
    filled = _FILLED_IN.get(".".join(table.path), {})
    yield from textwrap.wrap(table.meaning, _WIDTH, initial_indent="# ", subsequent_indent="# ")
    yield f"# {table.heading}" if table.may_be_missing and not filled else table.heading
    for key in sorted(table.keys, key=lambda key: key.name not in filled):
        line = (
            f"{key.name} = {written(filled[key.name])}" if key.name in filled else f"# {key.name} = {_offer(key, part)}"
        )
        yield from _explained(line, key)


def _explained(line: str, key: Key) -> Iterator[str]:
    """A line of the sheet with the key's meaning beside it."""
    silence = "" if key.needed else f"; silent: {'as here, ' + key.why if key.assumed else key.silence}"
    indent = " " * _COLUMN + "# "
    text = textwrap.wrap(key.meaning + silence, _WIDTH, initial_indent=indent, subsequent_indent="#" + indent[1:])
    if len(line) < _COLUMN:
        yield line + text[0][len(line) :]
    else:
        yield from (line, "#" + text[0][1:])
    yield from text[1:]


def _offer(key: Key, part: BaseModel | None) -> str:
    """The value to start from: an example, or what would be taken."""
    if key.example is not None:
        return written(key.example)
    return written(key.default if part is None else getattr(part, key.field), key.unit)


def _part_at(sheet: JobSheet, table: Table) -> BaseModel | None:
    part: Any = sheet
    for name in table.path:
        part = getattr(part, name, None)
    return part if isinstance(part, BaseModel) else None
