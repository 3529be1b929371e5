"""Writes docs/sheet.md and job.schema.json from the sheet's own tables, so that they cannot say anything else.

To write them anew: `python -m tractwright.job.document docs/sheet.md`.
"""

import json
import sys
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

from tractwright.job.keys import Key, Table, tables
from tractwright.job.sheet import JobSheet
from tractwright.units import UNITS

SCHEMA_ID = "tractwright-job-1"
SCHEMA_PATH = Path(__file__).parent / "schema" / "job.schema.json"
_SIGNS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum"}
_KINDS = {
    "mm": "lengths",
    "deg": "angles",
    "bar": "pressures",
    "degC": "temperatures",
    "litre": "volumes",
    "rpm": "turning speeds",
}


def sheet_markdown() -> str:
    """docs/sheet.md: the written frame with the units and the tables of keys put in."""
    frame = files("tractwright.job").joinpath("sheet_frame.md").read_text(encoding="utf-8")
    units = "\n".join(_units())
    keys = "\n".join(line for table in tables() for line in _table_lines(table))
    return frame.replace("<!-- units -->", units).replace("<!-- keys -->", keys)


def job_schema() -> dict[str, Any]:
    """The sheet's JSON schema, draft 2020-12: names, kinds, limits of bare numbers; not what keys say together."""
    inner = _without_titles(JobSheet.model_json_schema(by_alias=True))
    for table in tables():
        properties = inner["$defs"][table.model]["properties"]
        for key in table.keys:
            _limit(properties[key.name], key)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        **inner,
        "title": "job.toml",
    }


def schema_text(schema: dict[str, Any]) -> str:
    """A schema as its file holds it."""
    return json.dumps(schema, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def _units() -> Iterator[str]:
    yield "| kind | bare number | text may carry |"
    yield "|---|---|---|"
    for unit, kind in _KINDS.items():
        yield f"| {kind} | {unit} | {', '.join(f'`{spelling}`' for spelling in UNITS[unit])} |"


def _table_lines(table: Table) -> Iterator[str]:
    yield f"### `{table.heading}`"
    yield ""
    yield table.meaning
    yield ""
    yield "| key | accepted | where silent | meaning |"
    yield "|---|---|---|---|"
    yield from (_key_line(key) for key in table.keys)
    yield ""


def _key_line(key: Key) -> str:
    silence = "**needed**" if key.needed else f"assumed: {key.silence}" if key.assumed else key.silence
    return f"| `{key.name}` | {key.form} | {silence} | {key.meaning} |"


def _limit(schema: dict[str, Any], key: Key) -> None:
    """Put a quantity's limits where they bind bare numbers; text with a unit is beyond a schema."""
    for choice in schema.get("anyOf", [schema]):
        if "unit" in choice or choice.get("type") in ("number", "integer"):
            for sign, bound in key.limits.items():
                choice.pop(sign, None)
                choice[_SIGNS[sign]] = bound


def _without_titles(schema: Any) -> Any:
    """The schema without the titles that repeat each key's name."""
    if isinstance(schema, dict):
        kept = {name: value for name, value in schema.items() if not (name == "title" and isinstance(value, str))}
        return {name: _without_titles(value) for name, value in kept.items()}
    if isinstance(schema, list):
        return [_without_titles(item) for item in schema]
    return schema


def main() -> None:
    """Write the schema beside this module, and the markdown where asked."""
    SCHEMA_PATH.parent.mkdir(exist_ok=True)
    SCHEMA_PATH.write_text(schema_text(job_schema()), encoding="utf-8")
    for place in sys.argv[1:]:
        Path(place).write_text(sheet_markdown(), encoding="utf-8")


if __name__ == "__main__":
    main()
