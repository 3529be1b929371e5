"""A measured pattern with one hole more or one less: all are named anew along the row, and their figures with them."""

from dataclasses import replace

from tractwright.design.pattern import Measurement
from tractwright.design.records import HeadHole
from tractwright.scan.facts import SCREW_DEPTH_MM, head_holes_at
from tractwright.scan.measure import Measured

Pair = tuple[float, float]


def with_hole(measured: Measured, at_mm: Pair) -> tuple[Measured, HeadHole]:
    """One hole more, of the others' thread, and that hole. There has to be one already."""
    studs = {hole.at_mm: hole.stud for hole in measured.holes} | {at_mm: False}
    holes = head_holes_at(tuple(studs), measured.holes[0].thread, SCREW_DEPTH_MM, tuple(studs.values()))
    added = next(hole for hole in holes if hole.at_mm == at_mm)
    return replace(measured, holes=holes, measurements=_renamed(measured, holes)), added


def without_hole(measured: Measured, gone: HeadHole) -> Measured:
    """One hole less, and no figures of it."""
    left = [hole for hole in measured.holes if hole is not gone]
    places, studs = tuple(hole.at_mm for hole in left), tuple(hole.stud for hole in left)
    holes = head_holes_at(places, gone.thread, SCREW_DEPTH_MM, studs)
    return replace(measured, holes=holes, measurements=_renamed(measured, holes))


def is_figure_of(figure: Measurement, hole: HeadHole) -> bool:
    """Whether a figure was measured on that hole."""
    return figure.what.startswith(f"hole {hole.name} ")


def _renamed(measured: Measured, holes: tuple[HeadHole, ...]) -> tuple[Measurement, ...]:
    """The figures under the new names; those of a hole that is gone go with it."""
    new = {hole.at_mm: hole.name for hole in holes}
    names = {hole.name: new.get(hole.at_mm, "") for hole in measured.holes}
    figures: list[Measurement] = []
    for figure in measured.measurements:
        first, *rest = figure.what.split(" ")
        if first == "hole" and rest[0] in names:
            if names[rest[0]]:
                figures.append(replace(figure, what=" ".join([first, names[rest[0]], *rest[1:]])))
        else:
            figures.append(figure)
    return tuple(figures)
