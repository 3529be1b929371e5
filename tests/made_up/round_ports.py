"""Round ports 40 mm wide in a row on one bank, straight out of the head: nobody's engine."""

from collections.abc import Sequence

from tractwright.design.records import Port
from tractwright.geometry.outlines import circle


def round_ports(row_mm: Sequence[float]) -> tuple[Port, ...]:
    """One a cylinder at each place along the row, p1 first."""
    return tuple(
        Port(
            name=f"p{k}", bank="a", cylinders=(k,), at_mm=(x, 0.0), outline=circle(40.0), turn_deg=0.0,
            axis=(0.0, 0.0, 1.0),
        )
        for k, x in enumerate(row_mm, start=1)
    )  # fmt: skip
