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


@dataclass(frozen=True, slots=True, kw_only=True)
class LipRoom:
    """How far a lip may reach out from its bore [mm]: to the face's edge, and half way to the nearest neighbour.

    Below 0 where the bore itself runs over the edge or into another.
    """

    to_edge_mm: float
    to_neighbour_mm: float

    def across(self, wanted_mm: float, floor_radius_mm: float) -> float:
        """The lip that fits beside a floor radius along the edge, never below 0."""
        return max(0.0, min(wanted_mm, self.to_edge_mm - floor_radius_mm, self.to_neighbour_mm))


def lip_rooms(openings: tuple[Opening, ...], edge: Contour) -> tuple[LipRoom, ...]:
    """The room of each opening's lip in a face."""
    area = Polygon(polyline(edge))
    return tuple(_room(opening, openings, area) for opening in openings)


def _room(opening: Opening, openings: tuple[Opening, ...], area: Polygon) -> LipRoom:
    place = Point(opening.at_mm)
    side = 1.0 if area.contains(place) else -1.0
    gaps = [
        place.distance(Point(other.at_mm)) - opening.radius_mm - other.radius_mm
        for other in openings
        if other is not opening
    ]
    return LipRoom(
        to_edge_mm=side * area.exterior.distance(place) - opening.radius_mm - _APART_MM,
        to_neighbour_mm=min(gaps, default=float("inf")) / 2.0 - _APART_MM,
    )
