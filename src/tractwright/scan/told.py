"""Openings of the head face put right by whoever looked: a hole that is no screw's, a screw hole that the scan hardly shows."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tractwright.design.pattern import Measurement
from tractwright.design.records import HeadHole
from tractwright.errors import Fault, SheetError
from tractwright.job.space_tables import ScanOpening
from tractwright.scan.holes import Pair, is_figure_of, with_hole, without_hole
from tractwright.scan.measure import Measured

SAME_MM = 6.0
"""A place told within this of a hole means that hole: less than half of what two screws can stand apart; judgement."""


def with_told(measured: Measured, openings: Sequence[ScanOpening]) -> Measured:
    """The pattern as told. Raises SheetError for a place without a hole that is said to be none, or no hole to go by."""
    for number, told in enumerate(openings, start=1):
        near = _near(measured.holes, told.at_mm)
        place = f"x {told.at_mm[0]:.1f}, y {told.at_mm[1]:.1f}"
        if told.what == "no screw hole":
            if near is None:
                accepted = f"a place within {SAME_MM:.0f} mm of a screw hole found on the scan"
                raise SheetError("job.toml", (Fault(f"scan.opening[{number}].at", place, accepted),))
            measured, said = (
                without_hole(measured, near),
                f"the hole at {place} is no screw hole, as told: it is left out",
            )
        elif near is not None:
            measured, said = _sure(measured, near), f"the hole at {place} is a screw hole, as told"
        else:
            measured, said = (
                _added(measured, told.at_mm, number),
                f"a screw hole at {place}, as told: the scan shows none",
            )
        probable = tuple(item for item in measured.probable if _apart_mm(item.at_mm, told.at_mm) > SAME_MM)
        measured = replace(measured, probable=probable, notes=(*measured.notes, said))
    return measured


def _near(holes: tuple[HeadHole, ...], at_mm: Pair) -> HeadHole | None:
    nearest = min(holes, key=lambda hole: _apart_mm(hole.at_mm, at_mm), default=None)
    return nearest if nearest is not None and _apart_mm(nearest.at_mm, at_mm) <= SAME_MM else None


def _apart_mm(one: Pair, other: Pair) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))


def _sure(measured: Measured, hole: HeadHole) -> Measured:
    """That it is one is certain now; where it is stays as it was measured."""
    figures = tuple(replace(item, sure=1.0) if is_figure_of(item, hole) else item for item in measured.measurements)
    return replace(measured, measurements=figures)


def _added(measured: Measured, at_mm: Pair, number: int) -> Measured:
    if not measured.holes:
        accepted = "a scan that shows at least one screw hole, or [[pattern.screw]]"
        raise SheetError("job.toml", (Fault(f"scan.opening[{number}]", "no screw hole on the scan", accepted),))
    grown, hole = with_hole(measured, at_mm)
    figures = tuple(
        Measurement(what=f"hole {hole.name} {axis}", value=value, unit="mm", residual=0.0, sure=1.0)
        for axis, value in zip("xy", at_mm, strict=True)
    )
    return replace(grown, measurements=(*grown.measurements, *figures))
