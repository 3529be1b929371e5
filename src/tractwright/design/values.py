"""Values of records as TOML holds them, and back: rounded to a millionth, lists for tuples."""

import math
import typing
from typing import Any

_DECIMALS = 6


def plain(value: Any, hint: Any) -> Any:
    """A record's value of that type as TOML holds it."""
    inner = typing.get_args(hint)
    if typing.get_origin(hint) is tuple:
        kinds = (inner[0],) * len(value) if inner[-1] is Ellipsis else inner
        return [plain(item, kind) for item, kind in zip(value, kinds, strict=True)]
    return round(float(value), _DECIMALS) + 0.0 if hint is float else value  # + 0.0: no -0.0


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
        many = "a list" if inner[-1] is Ellipsis else f"a list of {len(inner)}"
        return f"{many}: {words(inner[0])}"
    if origin is typing.Literal:
        return " or ".join(f'"{choice}"' for choice in inner)
    return {float: "a number", int: "a whole number", bool: "true or false", str: "text"}[hint]


def _typed_tuple(value: Any, inner: tuple[Any, ...]) -> tuple[Any, ...]:
    as_many_as_wanted = inner[-1] is Ellipsis
    if not isinstance(value, list) or not (as_many_as_wanted or len(value) == len(inner)):
        raise ValueError(words(tuple[inner]))
    kinds = (inner[0],) * len(value) if as_many_as_wanted else inner
    return tuple(typed(item, kind) for item, kind in zip(value, kinds, strict=True))
