"""Where a hole is to be expected: holes repeat by mirror, half turn and pitch, and a place left empty is named."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mask

SAME_PLACE_MM = 1.0
"""A repeated hole that lies this near to another is that one; judgement."""
HOLDS = 0.74
"""A symmetry that brings so many holes onto holes is one of the pattern; judgement."""
FEWEST = 4
"""Fewer holes than this show no symmetry; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Expected:
    """A place (2,) at which the pattern repeats itself but no hole was found, and why: in words."""

    at_mm: Array
    why: str


IMAGES: tuple[tuple[str, Callable[[Array], Array]], ...] = (
    ("mirror image", lambda at: at * [-1.0, 1.0]),
    ("image across the row of ports", lambda at: at * [1.0, -1.0]),
    ("image after half a turn", lambda at: -at),
)


def expected_places(holes: Array, names: tuple[str, ...], port_x: Array) -> tuple[Expected, ...]:
    """Places without a hole where a symmetry that holds wants one. holes (n, 2) [mm] about the middle of the row."""
    if len(holes) < FEWEST:
        return ()
    found: list[Expected] = []
    for place in (*_by_images(holes, names), *_by_pitch(holes, names, port_x)):
        if all(np.linalg.norm(place.at_mm - other.at_mm) > 2.0 * SAME_PLACE_MM for other in found):
            found.append(place)
    return tuple(found)


def _met(places: Array, holes: Array) -> Mask:
    away = np.linalg.norm(places[:, None] - holes[None], axis=2)
    return np.logical_or.reduce(away < SAME_PLACE_MM, axis=1)


def _by_images(holes: Array, names: tuple[str, ...]) -> list[Expected]:
    """By mirrors and half a turn, of each that brings most holes onto holes."""
    found: list[Expected] = []
    for words, image in IMAGES:
        images = image(holes)
        met = _met(images, holes)
        if met.mean() >= HOLDS:
            found += [Expected(at_mm=images[i], why=f"{words} of {names[i]}") for i in np.flatnonzero(~met)]
    return found


def _by_pitch(holes: Array, names: tuple[str, ...], port_x: Array) -> list[Expected]:
    """Between two holes twice the ports' pitch apart, where most such pairs have one between them."""
    steps = np.diff(np.sort(port_x))
    if len(steps) == 0 or np.ptp(steps) > SAME_PLACE_MM:
        return []
    pitch = float(steps.mean())
    away = holes[None] - holes[:, None] - [2.0 * pitch, 0.0]
    pairs = np.argwhere(np.linalg.norm(away, axis=2) < 2.0 * SAME_PLACE_MM)
    if len(pairs) == 0:
        return []
    middles = (holes[pairs[:, 0]] + holes[pairs[:, 1]]) / 2.0
    met = _met(middles, holes)
    if met.mean() < HOLDS:
        return []
    words = f"at the pitch of {pitch:.1f} mm between"
    return [
        Expected(at_mm=middles[i], why=f"{words} {names[pairs[i, 0]]} and {names[pairs[i, 1]]}")
        for i in np.flatnonzero(~met)
    ]
