"""What a single stage leaves in the packet's folder, and its record for programs: by the schemas beside this file."""

from dataclasses import asdict
from typing import Any

import numpy as np

from tractwright.air.records import Breathing
from tractwright.design.pattern import Pattern, Room
from tractwright.packet.charts.air import air_charts, air_pictures
from tractwright.packet.charts.scan_picture import scan_picture
from tractwright.packet.contents import Contents
from tractwright.packet.draft import sheet_draft
from tractwright.packet.drawing.pattern_sheet import pattern_sheet
from tractwright.packet.summary import plain
from tractwright.packet.tables import (
    MEASURED_COLUMNS,
    PATTERN_COLUMNS,
    air_tables,
    csv_text,
    measured_rows,
    pattern_rows,
)


def air_files(contents: Contents, breathing: Breathing) -> dict[str, bytes]:
    """The air's charts and tables, under air/."""
    mean = float(np.mean([runner.length_mm for runner in contents.case.design.runners]))
    files = air_charts(breathing, mean) | air_pictures(breathing, mean) | air_tables(breathing)
    return {f"air/{name}": content for name, content in files.items()}


def air_record(contents: Contents, breathing: Breathing | None) -> dict[str, Any]:
    """What the air wants and what it gets, by air.schema.json."""
    wanted = asdict(contents.case.wanted)
    found = None if breathing is None else asdict(breathing)
    record = {"schema": "tractwright-air-1", "job": contents.case.sheet.job.name, "wanted": wanted, "found": found}
    return plain(record)


def scan_files(pattern: Pattern, room: Room) -> dict[str, bytes]:
    """The pattern as a table and a drawing a bank, what was measured, a picture, a draft of the sheet, under scan/."""
    drawings = {f"scan/pattern_{bank.name}.svg": pattern_sheet(pattern, bank.name) for bank in pattern.banks}
    return {
        "scan/pattern.csv": csv_text(PATTERN_COLUMNS, pattern_rows(pattern)),
        "scan/measurements.csv": csv_text(MEASURED_COLUMNS, measured_rows(pattern.measurements)),
        "scan/scan.png": scan_picture(pattern, room),
        "scan/sheet_draft.toml": sheet_draft(pattern, room).encode(),
        **drawings,
    }


def scan_record(name: str, pattern: Pattern) -> dict[str, Any]:
    """The pattern and what was measured, by scan.schema.json."""
    return plain(
        {
            "schema": "tractwright-scan-1",
            "job": name,
            "pattern": [dict(zip(PATTERN_COLUMNS, row, strict=True)) for row in pattern_rows(pattern)],
            "measurements": [
                dict(zip(MEASURED_COLUMNS, row, strict=True)) for row in measured_rows(pattern.measurements)
            ],
            "notes": pattern.notes,
        }
    )
