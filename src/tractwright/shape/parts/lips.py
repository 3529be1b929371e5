"""Rounded mouths of passages: as round as wanted, and no rounder than what stands beside them allows."""

from dataclasses import dataclass

from shapely.geometry import Point, Polygon

from tractwright.geometry.contours import Contour, polyline

_APART_MM = 0.4
"""Flat metal left on each side between a lip and what stands beside it. Source: common_practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A bore in a flat face: where its centre lies in the face, its radius, the lip it should have."""

    at_mm: tuple[float, float]
    radius_mm: float
    lip_mm: float


def lip_rooms(openings: tuple[Opening, ...], edge: Contour) -> tuple[float, ...]:
    """How far each lip may reach out from its bore [mm]: half the metal to a neighbour, all of it to the edge.

    Below 0 where a bore itself runs over the edge or into another.
    """
    area = Polygon(polyline(edge))
    return tuple(_room(opening, openings, area) for opening in openings)


def _room(opening: Opening, openings: tuple[Opening, ...], area: Polygon) -> float:
    place = Point(opening.at_mm)
    to_edge = area.exterior.distance(place) * (1.0 if area.contains(place) else -1.0) - opening.radius_mm
    rooms = [to_edge - _APART_MM]
    for other in openings:
        if other is not opening:
            metal = place.distance(Point(other.at_mm)) - opening.radius_mm - other.radius_mm
            rooms.append(metal / 2.0 - _APART_MM)
    return min(rooms)
