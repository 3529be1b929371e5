"""Torque to clamp, clamp against pressure, pressure under heads. T = K d F, with the spread of K. N, Nm, mm, MPa.

Which K judges what: the clamp that keeps a joint shut is taken at the high K, proof load and seat pressure at the low.
"""

from dataclasses import dataclass
from math import pi

from tractwright.standards.classes import proof_load_n
from tractwright.standards.threads import thread

K_USUAL = 0.20
"""Nut factor of a lightly oiled steel screw. Source key: nut_factor."""
K_LOW_SHARE = 0.6
K_HIGH_SHARE = 1.5
"""Spread of the nut factor about its stated value: 0.12 to 0.30 about 0.20. Source key: nut_factor."""
EMBEDDING_LOSS = 0.10
"""Share of the clamp lost as faces and threads settle. Source key: shop_judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp:
    """Clamp of one screw at one torque [N]: at the high K, as stated, at the low K."""

    low_n: float
    stated_n: float
    high_n: float


def tension_n(designation: str, torque_nm: float, nut_factor: float) -> float:
    """Tension F = T/(K d) [N]. Raises TableError."""
    return torque_nm * 1000.0 / (nut_factor * thread(designation).major_mm)


def torque_nm(designation: str, wanted_tension_n: float, nut_factor: float) -> float:
    """Torque T = K d F [Nm]. Raises TableError."""
    return nut_factor * thread(designation).major_mm * wanted_tension_n / 1000.0


def clamp_of(designation: str, torque: float, nut_factor: float = K_USUAL) -> Clamp:
    """The clamp of a screw tightened to `torque` [Nm], with the spread of the nut factor. Raises TableError."""
    return Clamp(
        low_n=tension_n(designation, torque, nut_factor * K_HIGH_SHARE),
        stated_n=tension_n(designation, torque, nut_factor),
        high_n=tension_n(designation, torque, nut_factor * K_LOW_SHARE),
    )


def torque_at_proof_share_nm(
    designation: str, class_name: str, share: float = 0.60, nut_factor: float = K_USUAL
) -> float:
    """Torque that brings a screw to a share of its proof load at the stated K [Nm].

    At a share of 0.60 the low K just reaches the proof load.
    """
    return torque_nm(designation, share * proof_load_n(designation, class_name), nut_factor)


def proof_used(designation: str, class_name: str, tension: float) -> float:
    """A tension [N] as a share of the proof load."""
    return tension / proof_load_n(designation, class_name)


def seat_pressure_mpa(tension: float, outer_mm: float, inner_mm: float) -> float:
    """Pressure under a head or washer [MPa] on the ring between two diameters; infinite where nothing is left.

    inner_mm : hole, its chamfer or, over a fixture thread, that thread's mouth, whichever is widest.
    """
    area = pi / 4.0 * (outer_mm**2 - inner_mm**2)
    return tension / area if area > 0.0 else float("inf")


def end_force_n(area_mm2: float, pressure_mpa: float) -> float:
    """Force that pushes two pieces apart [N]: pressure on the area inside the seal. 1 bar = 0.1 MPa."""
    return area_mm2 * pressure_mpa


def settled_clamp_n(lowest_clamps_n: tuple[float, ...]) -> float:
    """Clamp of a joint's screws together after settling [N]."""
    return (1.0 - EMBEDDING_LOSS) * sum(lowest_clamps_n)


def separation_factor(clamp_n: float, parting_n: float) -> float:
    """How many times the clamp outweighs what parts the joint; infinite where nothing does."""
    return clamp_n / parting_n if parting_n > 0.0 else float("inf")
