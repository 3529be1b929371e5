"""The kinds of value a sheet holds: how each is read from text with a unit, and how an assumed value says why."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from tractwright.units import read_quantity

Length = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "mm"))]
Angle = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "deg"))]
Pressure = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "bar"))]
Temperature = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "degC"))]
Volume = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "litre"))]
Speed = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "rpm"))]
Area = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "mm2"))]
Torque = Annotated[float, BeforeValidator(lambda given: read_quantity(given, "N*m"))]


@dataclass(frozen=True, slots=True)
class Assumption:
    """Why a value is assumed, and its weight: the relative change of the outcome if it is off by what is plausible."""

    why: str
    weight: float


def assumed(value: Any, why: str, weight: float, **limits: Any) -> Any:
    """A field with an assumed value (or a function of the fields before it), listed openly when the sheet is silent."""
    given = {"default_factory": value} if isinstance(value, Callable) else {"default": value}
    extra = {"assumed": {"why": why, "weight": weight}}
    return Field(json_schema_extra=extra, validate_default=True, **given, **limits)
