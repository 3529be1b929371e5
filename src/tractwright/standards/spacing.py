"""How far apart screws may stand round a seal, and how much metal belongs round them. mm.

Source: ASME VIII division 1, appendix 2 (spacing); edge distances: engineers' practice.
"""

from math import sqrt

GASKET_FACTOR = {"cord": 0.5, "sheet": 2.75}
"""Gasket factor m: 0.5 a soft elastomer, 2.75 a compressed sheet. Source key: asme_viii_appendix_2."""
EDGE_SHARE = 1.5
"""Least distance from a hole's centre to the metal's edge over the screw's diameter, with a stress check; 2 without.
Source key: edge_distance."""
WALL_ROUND_THREAD_MM = 3.0
"""Least metal round a tapped hole in aluminium, and half the screw's diameter. Source key: shop_judgement."""
LAND_MM = 3.0
"""Least metal between a hole and a groove, port or gasket's edge, and half the screw's diameter. Source: shop_judgement."""


def widest_spacing_mm(screw_mm: float, flange_mm: float, gasket_factor: float) -> float:
    """Greatest distance between screws, 2a + 6t/(m + 0.5) [mm].

    screw_mm : a, nominal diameter; flange_mm : t, thickness; gasket_factor : m.
    """
    return 2.0 * screw_mm + 6.0 * flange_mm / (gasket_factor + 0.5)


def moment_factor(spacing_mm: float, screw_mm: float, flange_mm: float) -> float:
    """How much the flange's bending is raised by screws standing far apart, sqrt(B/(2a + t)), at least 1."""
    return max(1.0, sqrt(spacing_mm / (2.0 * screw_mm + flange_mm)))


def closest_spacing_mm(screw_mm: float, tool_outside_mm: float) -> float:
    """Least distance between screws, 3 d or the turning tool's outside and 1 mm [mm] (judgement)."""
    return max(3.0 * screw_mm, tool_outside_mm + 1.0)


def wall_round_thread_mm(screw_mm: float) -> float:
    """Least metal outside a tapped hole's major diameter [mm]: half a diameter and 3 mm (judgement)."""
    return max(0.5 * screw_mm, WALL_ROUND_THREAD_MM)


def land_mm(screw_mm: float) -> float:
    """Least metal between a hole's edge and a groove, port or gasket edge [mm]: half a diameter or 3 mm (judgement)."""
    return max(0.5 * screw_mm, LAND_MM)


def edge_distance_mm(screw_mm: float) -> float:
    """Least distance from a hole's centre to the edge of the metal, loaded towards it [mm]."""
    return EDGE_SHARE * screw_mm
