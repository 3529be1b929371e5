"""What the sheet is silent on, taken openly, heaviest first."""

from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from tractwright.job.sheet import JobSheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """A value taken because the sheet is silent. weight : how far it can move the outcome, as a share."""

    key: str
    value: str
    why: str
    weight: float


def assumed_values(sheet: JobSheet) -> tuple[Assumed, ...]:
    """Every assumed value of the tables that apply, heaviest first, then by key."""
    found = list(_of_part(sheet, ""))
    return tuple(sorted(found, key=lambda item: (-item.weight, item.key)))


def _of_part(part: BaseModel, prefix: str) -> list[Assumed]:
    found: list[Assumed] = []
    for name, field in type(part).model_fields.items():
        value, key = getattr(part, name), f"{prefix}{field.alias or name}"
        if isinstance(value, BaseModel):
            found += _of_part(value, f"{key}.")
        elif name not in part.model_fields_set and (reason := _reason(field)) is not None:
            text = f"{_plain(value)} {unit_of(name)}".strip()
            found.append(Assumed(key=key, value=text, why=str(reason["why"]), weight=float(reason["weight"])))
    return found


def unit_of(field_name: str) -> str:
    """The unit a field's name ends in, as a person writes it; '' for none."""
    units = {"_mm": "mm", "_deg": "deg", "_bar": "bar", "_degc": "degC", "_rpm": "rpm", "_l": "l", "_nm": "Nm"}
    return next((unit for ending, unit in units.items() if field_name.endswith(ending)), "")


def _reason(field: FieldInfo) -> dict[str, Any] | None:
    extra = field.json_schema_extra
    reason = extra.get("assumed") if isinstance(extra, dict) else None
    return reason if isinstance(reason, dict) else None


def _plain(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, tuple):
        return ", ".join(_plain(item) for item in value)
    return str(value)
