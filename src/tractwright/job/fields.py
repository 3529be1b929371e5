"""The kinds of value a sheet holds: how each is read from text with a unit, and how an assumed value says why."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from tractwright.units import read_number, read_quantity

_UNIT_OF_ENDING: Final = {
    "_mm": "mm", "_deg": "deg", "_bar": "bar", "_degc": "degC", "_rpm": "rpm", "_l": "litre",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Measure:
    """Marks a number as a quantity: how text with a unit becomes a number in `unit`; '' for a plain number."""

    unit: str

    def read(self, given: object) -> float:
        """The number in this unit. Raises ValueError naming what is accepted."""
        return read_quantity(given, self.unit) if self.unit else read_number(given)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        plain = handler(core)
        return {"type": ["number", "string"], "unit": self.unit} if self.unit else plain


Length = Annotated[float, Measure("mm")]
Angle = Annotated[float, Measure("deg")]
Pressure = Annotated[float, Measure("bar")]
Temperature = Annotated[float, Measure("degC")]
Volume = Annotated[float, Measure("litre")]
Speed = Annotated[float, Measure("rpm")]
Number = Annotated[float, Measure("")]
Count = Annotated[int, Field(strict=True)]
Switch = Annotated[bool, Field(strict=True)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Place = Annotated[float, Measure("mm"), Field(ge=-5000, le=5000)]
Direction = tuple[Number, Number, Number]
Vec2 = tuple[Place, Place]
Vec3 = tuple[Place, Place, Place]


def key_of_field(name: str) -> str:
    """The sheet's key of a field: its name without the unit."""
    ending = next((ending for ending in _UNIT_OF_ENDING if name.endswith(ending)), "")
    return name.removesuffix(ending)


def unit_of_field(name: str) -> str:
    """The unit a field's name ends in, as a person writes it; '' for none."""
    return next((unit for ending, unit in _UNIT_OF_ENDING.items() if name.endswith(ending)), "")


class Part(BaseModel):
    """A table of the sheet."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=key_of_field, populate_by_name=False, allow_inf_nan=False
    )


def assumed(value: Any, meaning: str, why: str, weight: float, **limits: Any) -> Any:
    """A field with an assumed value (or a function of the fields before it), listed openly when the sheet is silent.

    weight : the relative change of the outcome if the value is off by what is plausible.
    """
    given = {"default_factory": value} if isinstance(value, Callable) else {"default": value}
    extra: Any = {"assumed": {"why": why, "weight": weight}}
    return Field(description=meaning, json_schema_extra=extra, validate_default=True, **given, **limits)


def silent(value: Any, meaning: str, otherwise: str, *, example: Any = None, **limits: Any) -> Any:
    """A field that may stay silent without anything being assumed. otherwise : what silence means."""
    extra: Any = {"silence": otherwise}
    examples = [] if example is None else [example]
    return Field(default=value, description=meaning, json_schema_extra=extra, examples=examples, **limits)


def needed(meaning: str, example: Any, **limits: Any) -> Any:
    """A field that its table cannot do without. example : a value as it may be written."""
    return Field(description=meaning, examples=[example], **limits)
