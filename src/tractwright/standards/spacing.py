"""How far apart screws may stand round a seal, and how near to an edge. mm.

Source: ASME VIII division 1, appendix 2 (spacing, moment factor); edge distances: engineers' practice.
"""

from math import sqrt

GASKET_FACTOR = {"cord": 0.5, "sheet": 2.75}
"""Gasket factor m: 0.5 a soft elastomer, 2.75 a compressed sheet. Source key: asme_viii_appendix_2."""
EDGE_SHARE = 1.5
"""Least distance from a hole's centre to the metal's edge over the screw's diameter, with a stress check; 2 without.
Source key: edge_distance."""


def widest_spacing_mm(screw_mm: float, flange_mm: float, gasket_factor: float) -> float:
    """Greatest distance between screws, 2a + 6t/(m + 0.5) [mm].

    screw_mm : a, nominal diameter; flange_mm : t, thickness; gasket_factor : m.
    """
    return 2.0 * screw_mm + 6.0 * flange_mm / (gasket_factor + 0.5)


def flange_for_spacing_mm(spacing_mm: float, screw_mm: float, gasket_factor: float) -> float:
    """The thickness of a flange whose screws may stand that far apart [mm]: `widest_spacing_mm` the other way round."""
    return (spacing_mm - 2.0 * screw_mm) * (gasket_factor + 0.5) / 6.0


def moment_factor(spacing_mm: float, screw_mm: float, flange_mm: float) -> float:
    """How many times as hard a flange is bent as with screws side by side: root of spacing/(2a + t), 1 at least.

    screw_mm : a, nominal diameter; flange_mm : t, thickness. Source key: asme_viii_appendix_2.
    """
    return max(1.0, sqrt(spacing_mm / (2.0 * screw_mm + flange_mm)))


def edge_distance_mm(screw_mm: float) -> float:
    """Least distance from a hole's centre to the edge of the metal, loaded towards it [mm]."""
    return EDGE_SHARE * screw_mm
