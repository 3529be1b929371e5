"""Plate as it is sold."""

from typing import Literal

from tractwright.standards.tables import row


def plate_thicknesses(series: Literal["metric", "inch"] = "metric") -> tuple[float, ...]:
    """Nominal plate thicknesses [mm], rising. From memory: shown unverified, a shop's own list wins."""
    return row("plates", series=series).numbers("thicknesses_mm")
