"""Quantities as typed by people: a number, or a number with a unit ("17 psi", "0.5 in"). Used at the sheet only.

Only units listed here are understood, so that no text is taken for what it was not meant to be ("25 C" is no charge,
"50 Hz" no turning speed). The arithmetic of conversion is the units library's.
"""

import math
import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any, Final

import pint

UNITS: Final[Mapping[str, Mapping[str, str]]] = {
    "mm": {
        "mm": "mm", "cm": "cm", "m": "m", "um": "um", "µm": "um", "in": "inch", "inch": "inch", "inches": "inch",
        '"': "inch", "ft": "foot", "feet": "foot", "foot": "foot", "thou": "thou",
    },
    "deg": {"deg": "degree", "degree": "degree", "degrees": "degree", "°": "degree", "rad": "radian"},
    "bar": {
        "bar": "bar", "mbar": "mbar", "psi": "psi", "Pa": "Pa", "hPa": "hPa", "kPa": "kPa", "MPa": "MPa",
        "N/mm2": "MPa", "atm": "atm", "mmHg": "mmHg", "inHg": "inHg",
    },
    "degC": {
        "degC": "degC", "°C": "degC", "C": "degC", "degF": "degF", "°F": "degF", "F": "degF", "K": "kelvin",
        "kelvin": "kelvin",
    },
    "litre": {
        "litre": "litre", "litres": "litre", "liter": "litre", "liters": "litre", "l": "litre", "L": "litre",
        "ml": "ml", "mL": "ml", "cc": "cm**3", "cm3": "cm**3", "cm^3": "cm**3", "dm3": "dm**3", "dm^3": "dm**3",
        "m3": "m**3", "mm3": "mm**3", "in3": "inch**3", "in^3": "inch**3", "cu in": "inch**3",
    },
    "rpm": {"rpm": "rpm", "1/min": "rpm", "rev/min": "rpm", "revs/min": "rpm", "r/min": "rpm", "rev/s": "rps"},
}  # fmt: skip
"""For each unit of the sheet: the units a text may carry, each with the units library's name for it."""

_DIGITS = 12
"""Conversions are rounded to this many digits: 1.5 in is 38.1 mm, not 38.099999999999994."""

_QUANTITY = re.compile(
    r"(?P<sign>[-+]?)\s*(?:(?:(?P<whole>\d+)[ -]+)?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    r"|(?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))\s*(?P<unit>[^\d\s,.].*|1/min)?"
)


@cache
def _registry() -> Any:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def accepted_units(unit: str) -> tuple[str, ...]:
    """The units a text may carry where the sheet's own is `unit`, one spelling each, that one first."""
    spellings: dict[str, str] = {}
    for spelling, name in UNITS[unit].items():
        spellings.setdefault(name, spelling)
    return tuple(spellings.values())


def read_quantity(given: object, unit: str) -> float:
    """The value in `unit`. A bare number is taken to be in it; fractions of an inch may be typed as such ("1 1/2 in").

    unit : a key of UNITS. Raises ValueError naming what is accepted.
    """
    if isinstance(given, str):
        return _converted(given, unit)
    return read_number(given, f"a number in {unit}, or text with a unit such as '1 {unit}'")


def read_number(given: object, accepted: str = "a number") -> float:
    """A finite plain number. Raises ValueError naming what is accepted."""
    if isinstance(given, bool) or not isinstance(given, int | float) or not math.isfinite(given):
        raise ValueError(f"accepted: {accepted}")
    return float(given)


def _converted(text: str, unit: str) -> float:
    found = _QUANTITY.fullmatch(text.strip())
    typed = " ".join((found["unit"] or unit).split()) if found else ""
    name = UNITS[unit].get(typed)
    value = _value(found) if found else None
    if name is None or value is None:
        raise ValueError(
            f"accepted: a number in {unit}, or text with a number and one of {', '.join(accepted_units(unit))}"
        )
    if typed == unit:
        return value
    converted = float(_registry().Quantity(value, name).to(UNITS[unit][unit]).magnitude)
    return float(f"{converted:.{_DIGITS}g}")


def _value(found: re.Match[str]) -> float | None:
    """The number of a match; None where it is no finite number."""
    sign = -1.0 if found["sign"] == "-" else 1.0
    if found["number"] is not None:
        value = float(found["number"])
        return sign * value if math.isfinite(value) else None
    if int(found["under"]) == 0:
        return None
    return sign * float(int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"])))
