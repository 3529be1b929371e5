"""A sheet to fill in, written from the fields themselves."""

from pathlib import Path

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from tractwright.errors import Fault, SheetError
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet
from tractwright.job.sheet import JobSheet

_START = """# A job for tractwright. Ten lines are enough; what is silent is assumed, and listed in the packet.
# Axes: x along the crankshaft from port 1's end, y up, z out of the head; the origin is midway along the row of ports.

[job]
name = "my-manifold"

[engine]
cylinders = 4
bore = "86 mm"
stroke = "86 mm"

[pattern]
pitch = "94 mm"
port_width = "48 mm"
port_height = "32 mm"
screw_rise = "34 mm"
"""


def write_new(folder: Path) -> Path:
    """Write job.toml into a new folder: a job that runs as it stands. Raises SheetError where one is there already."""
    path = folder / "job.toml"
    if path.exists():
        raise SheetError(str(path), (Fault(key="(file)", given="a sheet is there already", accepted="a new folder"),))
    folder.mkdir(parents=True, exist_ok=True)
    path.write_text(_START, encoding="utf-8")
    sheet = read_sheet(path)
    taken = "\n".join(f"#   {item.key} = {item.value}   ({item.why})" for item in assumed_values(sheet))
    more = "\n".join(_explained(sheet))
    path.write_text(
        f"{_START}\n# Taken as it stands, heaviest first:\n{taken}\n\n# More keys:\n{more}\n", encoding="utf-8"
    )
    return path


def _explained(sheet: JobSheet) -> list[str]:
    """Keys without an assumed value that a sheet may also give."""
    found: list[str] = []
    for name, field in type(sheet).model_fields.items():
        part = getattr(sheet, name)
        if isinstance(part, BaseModel):
            found += [f"#   {name}.{inner.alias or key}: {_words(inner)}" for key, inner in _optional(part)]
    return found


def _optional(part: BaseModel) -> list[tuple[str, FieldInfo]]:
    return [
        (name, field)
        for name, field in type(part).model_fields.items()
        if field.description and not field.is_required()
    ]


def _words(field: FieldInfo) -> str:
    return field.description or ""
