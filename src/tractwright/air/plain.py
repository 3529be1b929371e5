"""Numbers as they are handed on: rounded, so that the same engine gives the same bytes."""

import numpy as np
import numpy.typing as npt

DIGITS = 5  # beyond them the order of sums in compiled loops may show


def plain(value: float, digits: int = DIGITS) -> float:
    """The number rounded; what rounds to nothing carries no sign, for the sign of a last digit is chance."""
    return round(float(value), digits) + 0.0


def plain_row(values: npt.ArrayLike) -> tuple[float, ...]:
    """A row of numbers, each rounded."""
    return tuple(plain(value) for value in np.asarray(values))
