"""Flat rectangular plates under even pressure: stress, bow, least thickness, first frequency. mm, N, MPa, kg.

a : long side, b : short side, t : thickness. Source: Roark's Formulas, table 11.4, cases 1a and 8a, for Poisson's ratio
0.3; frequencies: simply supported in closed form, clamped by series (Leissa 1973). Small bows only: under half of t.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import pi, sqrt
from typing import Literal

import numpy as np
from scipy.interpolate import PchipInterpolator

from tractwright.standards.materials import Material

Edges = Literal["supported", "clamped"]
_COLUMNS = ("stress", "centre_stress", "bow", "frequency")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateFactors:
    """Factors of one shape: stress = stress_factor p b^2/t^2, bow = bow_factor p b^4/(E t^3),
    circular frequency = frequency_factor/b^2 sqrt(D/(rho t)).
    """

    stress: float
    centre_stress: float
    bow: float
    frequency: float


def plate_factors(edges: Edges, long_mm: float, short_mm: float) -> PlateFactors:
    """The factors for sides in that ratio, either order; between the table's rows by a monotone curve in b/a."""
    slender = min(long_mm, short_mm) / max(long_mm, short_mm)
    return PlateFactors(**{name: float(curve(slender)) for name, curve in _curves(edges).items()})


def plate_stress_mpa(edges: Edges, sides_mm: tuple[float, float], thickness_mm: float, pressure_mpa: float) -> float:
    """Largest bending stress [MPa]: in the middle when supported, in the middle of the long edges when clamped."""
    factor = plate_factors(edges, *sides_mm).stress
    return factor * abs(pressure_mpa) * min(sides_mm) ** 2 / thickness_mm**2


def plate_bow_mm(
    edges: Edges, sides_mm: tuple[float, float], thickness_mm: float, pressure_mpa: float, metal: Material
) -> float:
    """Bow in the middle [mm]."""
    factor = plate_factors(edges, *sides_mm).bow
    return factor * abs(pressure_mpa) * min(sides_mm) ** 4 / (metal.modulus_mpa * thickness_mm**3)


def plate_thickness_mm(edges: Edges, sides_mm: tuple[float, float], pressure_mpa: float, allowed_mpa: float) -> float:
    """Least thickness that keeps the stress to `allowed_mpa` [mm]."""
    return min(sides_mm) * sqrt(plate_factors(edges, *sides_mm).stress * abs(pressure_mpa) / allowed_mpa)


def plate_frequency_hz(edges: Edges, sides_mm: tuple[float, float], thickness_mm: float, metal: Material) -> float:
    """First natural frequency in still air, without its own screws' give [Hz]."""
    stiffness = metal.modulus_mpa * 1e6 * (thickness_mm / 1000.0) ** 3 / (12.0 * (1.0 - metal.poisson**2))
    mass = metal.density_kg_m3 * thickness_mm / 1000.0
    factor = plate_factors(edges, *sides_mm).frequency
    return factor / (min(sides_mm) / 1000.0) ** 2 * sqrt(stiffness / mass) / (2.0 * pi)


@cache
def _curves(edges: Edges) -> dict[str, PchipInterpolator]:
    lines = files("tractwright.strength").joinpath("rectangular_plates.csv").read_text(encoding="utf-8").splitlines()
    names = lines[0].split(",")
    rows = [dict(zip(names, line.split(","), strict=True)) for line in lines[1:]]
    mine = sorted((row for row in rows if row["edges"] == edges), key=lambda row: 1.0 / float(row["ratio"]))
    slender = np.array([1.0 / float(row["ratio"]) for row in mine])
    return {name: PchipInterpolator(slender, [float(row[name]) for row in mine]) for name in _COLUMNS}
