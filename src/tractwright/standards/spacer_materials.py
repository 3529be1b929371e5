"""What insulating spacers are cut from: how they conduct, what they bear, how warm they may stay. SI and MPa, named so."""

from dataclasses import dataclass
from functools import cache

from tractwright.standards.tables import Origin, row, rows


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacerMaterial:
    """Typical values. conductivity_w_mk : through the sheet; long_term_degc : may be lasting; compressive_mpa : strength on
    its faces, short and cold; expansion_per_k : along the sheet, expansion_through_per_k : through it.
    """

    name: str
    conductivity_w_mk: float
    long_term_degc: float
    compressive_mpa: float
    expansion_per_k: float
    expansion_through_per_k: float
    density_kg_m3: float
    origin: Origin


@cache
def spacer_material(name: str) -> SpacerMaterial:
    """The material of that name. Raises TableError naming those held."""
    found = row("spacer_materials", name=name)
    return SpacerMaterial(
        name=name,
        conductivity_w_mk=found.number("conductivity_w_mk"),
        long_term_degc=found.number("long_term_degc"),
        compressive_mpa=found.number("compressive_mpa"),
        expansion_per_k=found.number("expansion_per_k"),
        expansion_through_per_k=found.number("expansion_through_per_k"),
        density_kg_m3=found.number("density_kg_m3"),
        origin=found.origin,
    )


def spacer_materials() -> tuple[str, ...]:
    """The names held."""
    return tuple(item.text("name") for item in rows("spacer_materials"))
