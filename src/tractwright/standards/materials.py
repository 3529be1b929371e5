"""Metals met: plate, castings, screw steel. MPa, mm; thermal values in SI, named so."""

from dataclasses import dataclass
from functools import cache

from tractwright.standards.tables import Origin, row


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Values to design with. tensile_mpa, yield_mpa : least; the rest typical.

    fatigue_mpa : stress amplitude allowed for many cycles on a machined surface; seat_limit_mpa : pressure a screw head
    may make (source key: vdi_2230_seat, for wrought AlMgSi); emissivity : of the surface as delivered or machined.
    """

    name: str
    tensile_mpa: float
    yield_mpa: float
    fatigue_mpa: float
    modulus_mpa: float
    poisson: float
    conductivity_w_mk: float
    heat_capacity_j_kgk: float
    density_kg_m3: float
    expansion_per_k: float
    emissivity: float
    seat_limit_mpa: float
    origin: Origin

    @property
    def density_kg_mm3(self) -> float:
        """Density [kg/mm3]."""
        return self.density_kg_m3 * 1e-9

    @property
    def shear_strength_mpa(self) -> float:
        """Shear strength taken as 0.6 of the tensile strength (common practice for wrought and cast aluminium)."""
        return 0.6 * self.tensile_mpa

    @property
    def allowable_mpa(self) -> float:
        """Allowable static stress, min(yield/1.5, tensile/2.4): the form of EN 13445, judgement here."""
        return min(self.yield_mpa / 1.5, self.tensile_mpa / 2.4)


@cache
def material(name: str) -> Material:
    """The material of that name. Raises TableError naming those held."""
    found = row("materials", name=name)
    return Material(
        name=name,
        tensile_mpa=found.number("tensile_mpa"),
        yield_mpa=found.number("yield_mpa"),
        fatigue_mpa=found.number("fatigue_mpa"),
        modulus_mpa=found.number("modulus_mpa"),
        poisson=found.number("poisson"),
        conductivity_w_mk=found.number("conductivity_w_mk"),
        heat_capacity_j_kgk=found.number("heat_capacity_j_kgk"),
        density_kg_m3=found.number("density_kg_m3"),
        expansion_per_k=found.number("expansion_per_k"),
        emissivity=found.number("emissivity"),
        seat_limit_mpa=found.number("seat_limit_mpa"),
        origin=found.origin,
    )
