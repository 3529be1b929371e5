"""The JSON schema of design.toml, read off the records. To write it anew: `python -m tractwright.design.schema`."""

import re
import typing
from typing import Any

from tractwright.design.leaves import MARKS, NAME
from tractwright.design.paths import leaf_types, record_types
from tractwright.design.values import words
from tractwright.job.document import SCHEMA_PATH as JOB_SCHEMA_PATH
from tractwright.job.document import schema_text

SCHEMA_ID = "tractwright-design-1"
SCHEMA_PATH = JOB_SCHEMA_PATH.with_name("design.schema.json")


def design_schema() -> dict[str, Any]:
    """The description's JSON schema, draft 2020-12. Records are tables by kind and name; any value may be marked."""
    kinds = {
        kind: {"type": "object", "description": _words(record), "additionalProperties": _record(record)}
        for kind, record in record_types().items()
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": "design.toml",
        "type": "object",
        "properties": {NAME: {"type": "string"}, **kinds},
        "required": [NAME],
        "additionalProperties": False,
        "$defs": {_name(hint): _value_or_marked(hint) for hint in _all_hints()},
    }


def _record(record: type[Any]) -> dict[str, Any]:
    hints = {name: hint for name, hint in typing.get_type_hints(record).items() if name != NAME}
    return {
        "type": "object",
        "properties": {name: _field(hint) for name, hint in hints.items()},
        "additionalProperties": False,
    }


def _field(hint: Any) -> dict[str, Any]:
    if hasattr(hint, "__dataclass_fields__"):
        return _record(hint)
    return {"$ref": f"#/$defs/{_name(hint)}"}


def _all_hints() -> list[Any]:
    return [hint for record in record_types().values() for hint in leaf_types(record).values()]


def _name(hint: Any) -> str:
    return re.sub(r"[^a-z0-9]+", "_", words(hint).lower()).strip("_")


def _value_or_marked(hint: Any) -> dict[str, Any]:
    value = _value(hint)
    marked = {
        "type": "object",
        "properties": {"value": value, "is": {"enum": list(MARKS)}},
        "required": ["value", "is"],
        "additionalProperties": False,
    }
    return {"anyOf": [value, marked]}


def _value(hint: Any) -> dict[str, Any]:
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Literal:
        return {"enum": list(inner)}
    if origin is tuple:
        if len(inner) == 2 and inner[1] is Ellipsis:
            return {"type": "array", "items": _value(inner[0])}
        count = len(inner)
        return {"type": "array", "prefixItems": [_value(item) for item in inner], "minItems": count, "maxItems": count}
    return {"type": {float: "number", int: "integer", bool: "boolean", str: "string"}[hint]}


def _words(record: type[Any]) -> str:
    return " ".join((record.__doc__ or "").split())


def main() -> None:
    """Write the schema into the package."""
    SCHEMA_PATH.write_text(schema_text(design_schema()), encoding="utf-8")


if __name__ == "__main__":
    main()
