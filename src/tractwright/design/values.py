"""Values of records as TOML holds them, and back: rounded to a millionth, lists for tuples."""

import math
import typing
from typing import Any

_DECIMALS = 6


def plain(value: Any) -> Any:
    """A record's value as TOML holds it. Raises TypeError for a value that a description cannot hold."""
    if isinstance(value, bool | str | int):
        return value
    if isinstance(value, float):
        return round(value, _DECIMALS) + 0.0  # no -0.0
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    raise TypeError(f"a description cannot hold {type(value).__name__}")


def typed(value: Any, hint: Any) -> Any:
    """A TOML value as the type a record asks for. Raises ValueError saying what is accepted."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        return _typed_tuple(value, inner)
    if origin is typing.Literal:
        accepted = value in inner and isinstance(value, type(inner[0]))
    elif hint is float:
        accepted = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        value = float(value) if accepted else value
    else:
        accepted = isinstance(value, hint) and (hint is bool or not isinstance(value, bool))
    if not accepted:
        raise ValueError(words(hint))
    return value


def words(hint: Any) -> str:
    """What a type accepts, for people."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        many = "a list" if len(inner) == 2 and inner[1] is Ellipsis else f"a list of {len(inner)}"
        return f"{many}: {words(inner[0])}"
    if origin is typing.Literal:
        return " or ".join(f'"{choice}"' for choice in inner)
    return {float: "a number", int: "a whole number", bool: "true or false", str: "text"}[hint]


def _typed_tuple(value: Any, inner: tuple[Any, ...]) -> tuple[Any, ...]:
    as_many_as_wanted = len(inner) == 2 and inner[1] is Ellipsis
    if not isinstance(value, list) or not (as_many_as_wanted or len(value) == len(inner)):
        raise ValueError(words(tuple[inner]))
    kinds = (inner[0],) * len(value) if as_many_as_wanted else inner
    return tuple(typed(item, kind) for item, kind in zip(value, kinds, strict=True))
