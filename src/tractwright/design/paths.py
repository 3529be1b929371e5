"""Paths that name a number of a description: kind.name.field, such as runner.r3.mouth.lip_radius_mm."""

import typing
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from tractwright.design.records import Design

KINDS = {
    "bank": "banks",
    "port": "ports",
    "head_hole": "head_holes",
    "runner": "runners",
    "plenum": "plena",
    "throttle": "throttles",
    "piece": "pieces",
    "flange": "flanges",
    "joint": "joints",
    "screw": "screws",
    "dowel": "dowels",
    "seal": "seals",
    "boss": "bosses",
    "pocket": "pockets",
    "spacer": "spacers",
    "body_row": "body_rows",
    "channel": "channels",
}


def items_by_path(design: Design) -> dict[str, Any]:
    """Every record of a description by 'kind.name'."""
    return {f"{kind}.{item.name}": item for kind, group in KINDS.items() for item in getattr(design, group)}


def value_at(design: Design, path: str) -> Any:
    """The value a path names. Raises KeyError where it names nothing."""
    for start, item in items_by_path(design).items():
        if path.startswith(start + "."):
            value: Any = item
            for step in path.removeprefix(start + ".").split("."):
                if not is_dataclass(value) or step not in {field.name for field in fields(value)}:
                    break
                value = getattr(value, step)
            else:
                return value
    raise KeyError(path)


@cache
def record_types() -> dict[str, type[Any]]:
    """The record that each kind holds."""
    hints = typing.get_type_hints(Design)
    return {kind: typing.get_args(hints[group])[0] for kind, group in KINDS.items()}


@cache
def leaf_types(record: type[Any]) -> dict[str, Any]:
    """The type of every value of a record but its name, by dotted field path, records inside it walked through."""
    found: dict[str, Any] = {}
    for name, hint in typing.get_type_hints(record).items():
        if is_dataclass(hint):
            found |= {f"{name}.{inner}": kind for inner, kind in leaf_types(typing.cast("type[Any]", hint)).items()}
        elif name != "name":
            found[name] = hint
    return found


def resolved(path: str) -> tuple[str, str, str] | None:
    """Kind, name and field path of a dotted path whose name may hold points itself; None where no record has it."""
    kind, *steps = path.split(".")
    known = leaf_types(record_types()[kind]) if kind in KINDS else {}
    for end in range(1, len(steps)):
        field = ".".join(steps[end:])
        if field in known:
            return kind, ".".join(steps[:end]), field
    return None
