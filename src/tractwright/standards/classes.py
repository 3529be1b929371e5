"""Property classes of steel screws: proof and breaking loads by class and thread. N and MPa."""

from dataclasses import dataclass
from functools import cache

from tractwright.standards.tables import Origin, row, rows
from tractwright.standards.threads import thread


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyClass:
    """Least tensile strength and stress under proof load [MPa], threads up to M16."""

    name: str
    tensile_mpa: float
    proof_mpa: float
    origin: Origin


@cache
def property_class(name: str) -> PropertyClass:
    """The class '8.8', '10.9' or '12.9' (ISO 898-1), of inch screws 'grade 5', 'grade 8' or 'A574'. Raises TableError."""
    found = row("property_classes", name=name)
    return PropertyClass(
        name=name,
        tensile_mpa=found.number("tensile_mpa"),
        proof_mpa=found.number("proof_mpa"),
        origin=found.origin,
    )


@cache
def class_in_system(designation: str, name: str) -> str:
    """The class of that strength in the thread's own system: 'grade 8' for an inch screw where '10.9' is asked.

    A class without a counterpart stays as it is. Raises TableError.
    """
    system = thread(designation).system
    twins = {item.text("name"): item.text("counterpart") for item in rows("property_classes")}
    known = {item.text("name"): item.text("system") for item in rows("property_classes")}
    return name if name not in known or known[name] == system else twins[name]


def proof_load_n(designation: str, class_name: str) -> float:
    """Proof load [N] = stress area x stress under proof load. Raises TableError. Source: ISO 898-1."""
    return thread(designation).stress_area_mm2 * property_class(class_name).proof_mpa


def breaking_load_n(designation: str, class_name: str) -> float:
    """Least breaking load [N] = stress area x tensile strength. Raises TableError. Source: ISO 898-1."""
    return thread(designation).stress_area_mm2 * property_class(class_name).tensile_mpa
