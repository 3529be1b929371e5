"""Closed loops of a gasket, drawn or pictured: which are ports, which are holes, which is the outline."""

from dataclasses import dataclass

import numpy as np
from shapely import Point, Polygon

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import circle
from tractwright.scan.likeness import ALIKE
from tractwright.scan.rims import LARGEST_MM, SCREW_MM, SMALLEST_MM
from tractwright.scan.shapes import FittedShape, fit_circle, fit_outline, rough_circle

ROUND_MM = 0.25
"""A small loop whose points lie so near to a circle is a hole; judgement."""
MOST_POINTS = 3000


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Loop:
    """A closed loop (n, 2) [mm]. exact : its circle as drawn (centre x, y, diameter), None where it is no drawn circle."""

    points_mm: Array
    exact: tuple[float, float, float] | None = None


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class FlatPattern:
    """What a gasket shows, in its own axes: ports, round holes, and how many loops are neither."""

    ports: tuple[FittedShape, ...]
    holes: tuple[FittedShape, ...]
    others: tuple[FittedShape, ...]


def flat_pattern(loops: tuple[Loop, ...], cylinders: int | None, file: str) -> FlatPattern:
    """Loops sorted out: the outline that holds the others goes. Raises ScanError where no openings are alike."""
    inner = [loop for loop in _not_holding(loops) if SMALLEST_MM <= np.ptp(loop.points_mm, axis=0).max() <= LARGEST_MM]
    holes = [loop for loop in inner if _is_hole(loop)]
    large = [loop for loop in inner if _size(loop) > SCREW_MM]
    chosen = _alike(large, cylinders)
    if not chosen:
        raise ScanError(file, "no openings of a port's size were found in it", "a gasket's outline with its openings")
    rest = [loop for loop in large if not any(loop is port for port in chosen)]
    return FlatPattern(
        ports=tuple(_fitted(loop) for loop in chosen),
        holes=tuple(_fitted_circle(loop) for loop in holes),
        others=tuple(_fitted(loop) for loop in rest),
    )


def _size(loop: Loop) -> float:
    return float(np.ptp(loop.points_mm, axis=0).max())


def _not_holding(loops: tuple[Loop, ...]) -> list[Loop]:
    """The loops that hold no other."""
    shapes = [Polygon(loop.points_mm).buffer(0) for loop in loops]
    middles = [Point(loop.points_mm.mean(axis=0)) for loop in loops]
    return [
        loop
        for i, loop in enumerate(loops)
        if not any(
            k != i and shapes[i].area > shapes[k].area and shapes[i].contains(middles[k]) for k in range(len(loops))
        )
    ]


def _is_hole(loop: Loop) -> bool:
    return (loop.exact is not None and loop.exact[2] < SCREW_MM) or (
        _size(loop) < SCREW_MM and rough_circle(loop.points_mm).residual_mm < ROUND_MM
    )


def _alike(large: list[Loop], cylinders: int | None) -> list[Loop]:
    """The largest set of loops of one size; sets that suit the cylinders come first."""
    sets = [[other for other in large if abs(_size(other) - _size(one)) < ALIKE * _size(one)] for one in large]
    wanted = {cylinders, 2 * cylinders, (cylinders + 1) // 2} if cylinders else set[int]()
    return max(sets, key=lambda some: (len(some) in wanted, len(some), _size(some[0])), default=[])


def _fitted(loop: Loop) -> FittedShape:
    if loop.exact is not None:
        return _as_drawn(loop.exact)
    points = loop.points_mm[:: max(1, len(loop.points_mm) // MOST_POINTS)]
    return fit_outline(points, np.zeros(len(points)), False)


def _fitted_circle(loop: Loop) -> FittedShape:
    if loop.exact is not None:
        return _as_drawn(loop.exact)
    return fit_circle(loop.points_mm, np.zeros(len(loop.points_mm)), False)


def _as_drawn(exact: tuple[float, float, float]) -> FittedShape:
    x, y, diameter = exact
    centre, still = np.array([x, y]), np.zeros(2)
    return FittedShape(outline=circle(diameter), centre_mm=centre, turn=0.0, drift=still, residual_mm=0.0)
