"""The sheet's tables and keys as a list: read off the model, for messages, for the documents, for a new sheet."""

import json
import typing
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from tractwright.job.fields import Measure, key_of_field, unit_of_field
from tractwright.job.lines import KeyPath
from tractwright.job.sheet import JobSheet

_SIGNS = {"gt": "above", "ge": "at least", "lt": "below", "le": "at most"}
_KINDS = {
    "mm": "a length",
    "deg": "an angle",
    "bar": "a pressure",
    "degC": "a temperature",
    "litre": "a volume",
    "rpm": "a turning speed",
}
_COUNTED = {2: "two", 3: "three"}
_OPTIONAL_TABLES = ("engine", "pattern", "scan")


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of the sheet.

    form : what is accepted, in words; limits : the bounds among it, by sign (gt, ge, lt, le);
    silence : what a silent key means, '' where it is needed; assumed : whether silence is listed as an assumed value;
    why, weight : of that; example : a value as it may be written, None for none.
    """

    name: str
    field: str
    form: str
    limits: dict[str, float]
    unit: str
    needed: bool
    silence: str
    assumed: bool
    why: str
    weight: float
    default: Any
    example: Any
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table of the sheet. model : name of its class; listed : written [[...]] as often as wanted;
    needed : the sheet cannot do without it.
    """

    path: tuple[str, ...]
    model: str
    listed: bool
    needed: bool
    meaning: str
    keys: tuple[Key, ...]

    @property
    def heading(self) -> str:
        """As the sheet writes it."""
        name = ".".join(self.path)
        return f"[[{name}]]" if self.listed else f"[{name}]"

    @property
    def may_be_missing(self) -> bool:
        """Whether leaving it out differs from leaving it empty."""
        return self.path[0] in _OPTIONAL_TABLES or self.listed


@cache
def tables() -> tuple[Table, ...]:
    """Every table, a table's own lists right after it."""
    return tuple(_tables(JobSheet, ()))


def table_at(path: KeyPath) -> Table | None:
    """The table of that path, numbers in it passed over; None where there is none."""
    names = tuple(step for step in path if isinstance(step, str))
    return next((table for table in tables() if table.path == names), None)


def key_at(path: KeyPath) -> Key | None:
    """The key of that path, numbers in it passed over; None where there is none."""
    names = tuple(step for step in path if isinstance(step, str))
    table = table_at(names[:-1])
    return next((key for key in table.keys if key.name == names[-1]), None) if table else None


def known_in(path: KeyPath) -> tuple[str, ...]:
    """Every key and table that may stand in a table; at the top the tables."""
    names = tuple(step for step in path if isinstance(step, str))
    table = table_at(names)
    own = tuple(key.name for key in table.keys) if table else ()
    below = tuple(other.path[-1] for other in tables() if other.path[:-1] == names)
    return own + below


def homes_of(name: str) -> tuple[str, ...]:
    """The headings of the tables that know a key of that name."""
    return tuple(table.heading for table in tables() if any(key.name == name for key in table.keys))


def written(value: Any, unit: str = "") -> str:
    """A value as the sheet writes it: numbers of a quantity with their unit."""
    if isinstance(value, float):
        return f'"{value:.6g} {unit}"' if unit else f"{value:.6g}"
    if isinstance(value, tuple | list):
        return "[" + ", ".join(written(item, unit) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def _tables(model: type[BaseModel], path: tuple[str, ...]) -> Iterator[Table]:
    for name, field in model.model_fields.items():
        part = _part_of(field.annotation)
        if part is None:
            continue
        here = (*path, field.alias or name)
        keys = tuple(_key(key, inner) for key, inner in part.model_fields.items() if _part_of(inner.annotation) is None)
        yield Table(
            path=here,
            model=part.__name__,
            listed=typing.get_origin(field.annotation) is tuple,
            needed=field.is_required(),
            meaning=" ".join((part.__doc__ or "").split()),
            keys=keys,
        )
        yield from _tables(part, here)


def _part_of(annotation: Any) -> type[BaseModel] | None:
    """The table a field holds, bare, optional or in a list; None for a value."""
    found = [item for item in (annotation, *typing.get_args(annotation)) if _is_part(item)]
    return found[0] if found else None


def _is_part(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _key(field_name: str, field: FieldInfo) -> Key:
    extra: Any = field.json_schema_extra or {}
    reason = extra.get("assumed")
    unit = unit_of_field(field_name)
    return Key(
        name=key_of_field(field_name),
        field=field_name,
        form=_form(field, unit),
        limits=_limits(field.metadata),
        unit=unit,
        needed=field.is_required(),
        silence=_silence(field, reason, extra, unit),
        assumed=reason is not None,
        why=str(reason["why"]) if reason else "",
        weight=float(reason["weight"]) if reason else 0.0,
        default=None if field.is_required() else field.default,
        example=field.examples[0] if field.examples else None,
        meaning=field.description or "",
    )


def _silence(field: FieldInfo, reason: Any, extra: Any, unit: str) -> str:
    if field.is_required():
        return ""
    if reason is None:
        return str(extra["silence"])
    if field.default_factory is not None:
        return str(reason["why"])
    value = written(field.default, unit).replace('"', "")
    return f"{value} ({reason['why']})"


def _form(field: FieldInfo, unit: str) -> str:
    """What is accepted, in words: kind, unit, limits."""
    kind = _kind(_without_none(field.annotation), field.metadata, unit)
    limits = [f"{_SIGNS[sign]} {bound:g}" for sign, bound in _limits(field.metadata).items()]
    return ", ".join([kind, " and ".join(limits + _text_limits(field.metadata))]).removesuffix(", ")


def _kind(annotation: Any, metadata: list[Any], unit: str) -> str:
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is tuple:
        several = "a list" if inner[-1] is Ellipsis else f"a list of {_COUNTED[len(inner)]}"
        return f"{several}: {_kind(inner[0], [], unit)}"
    if origin is typing.Annotated:
        return _kind(inner[0], list(inner[1:]), unit)
    if origin is typing.Literal:
        return " or ".join(written(choice) for choice in inner)
    if annotation is float:
        measured = any(isinstance(item, Measure) and item.unit for item in metadata)
        return f"{_KINDS[unit]} in {unit}" if measured else "a number"
    return {int: "a whole number", bool: "true or false", str: "text"}[annotation]


def _without_none(annotation: Any) -> Any:
    inner = [item for item in typing.get_args(annotation) if item is not NoneType]
    return inner[0] if NoneType in typing.get_args(annotation) and len(inner) == 1 else annotation


def _limits(metadata: list[Any]) -> dict[str, float]:
    found = {sign: getattr(item, sign, None) for item in metadata for sign in _SIGNS if hasattr(item, sign)}
    return {sign: float(bound) for sign, bound in found.items() if bound is not None}


def _text_limits(metadata: list[Any]) -> list[str]:
    least = ["not empty" for item in metadata if getattr(item, "min_length", None)]
    return least + [f"at most {item.max_length} characters" for item in metadata if getattr(item, "max_length", None)]
