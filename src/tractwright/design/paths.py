"""Paths that name a number of a description: kind.name.field, such as runner.r3.mouth.lip_radius_mm."""

from dataclasses import fields, is_dataclass
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
