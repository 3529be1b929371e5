"""Quantities as typed by people: a number, or a number with a unit ("17 psi", "0.5 in"). Used at the sheet only."""

from functools import cache
from typing import Any

import pint


@cache
def _registry() -> Any:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def read_quantity(given: object, unit: str) -> float:
    """The value in `unit`. A bare number is taken to be in it. Raises ValueError naming what is accepted."""
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise ValueError(f"accepted: a number in {unit}, or text with a unit such as '1 {unit}'")
    if not isinstance(given, str):
        return float(given)
    try:
        return float(_registry().Quantity(given).to(unit).magnitude)
    except Exception as fault:
        raise ValueError(f"accepted: a number in {unit}, or text with a unit that converts to it") from fault
