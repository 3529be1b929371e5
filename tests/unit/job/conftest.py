"""A sheet without fault, and ways to spoil it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from tractwright.errors import SheetError
from tractwright.job.read import read_sheet

Change = dict[str, Any]


def good_sheet() -> dict[str, Any]:
    return {
        "job": {"name": "good"},
        "engine": {"cylinders": 4, "bore": "86 mm", "stroke": "86 mm"},
        "pattern": {"pitch": "94 mm", "port_width": "50 mm", "port_height": "32 mm", "screw_rise": "34 mm"},
    }


def changed(change: Change) -> dict[str, Any]:
    """The good sheet with dotted keys set, or taken out where the value is None."""
    sheet = good_sheet()
    for dotted, value in change.items():
        table, _, key = dotted.partition(".")
        if not key:
            sheet.pop(table, None) if value is None else sheet.update({table: value})
        elif value is None:
            sheet[table].pop(key, None)
        else:
            sheet.setdefault(table, {})[key] = value
    return sheet


@pytest.fixture
def keys_at_fault(tmp_path: Path) -> Callable[[Change], list[str]]:
    """Keys of the faults of the good sheet after a change."""

    def told(change: Change) -> list[str]:
        path = tmp_path / "job.toml"
        path.write_text(tomlkit.dumps(changed(change)))
        try:
            read_sheet(path)
        except SheetError as found:
            return [fault.key for fault in found.faults]
        return []

    return told
