"""Wire thread inserts: a coil of hard steel wire that turns a worn or soft tapped hole into a strong one. mm.

Its outside sits in a thread larger than the screw's, cut deeper than the insert is long; it is that larger thread which
strips from the metal. Source key: asme_b18_29_8m.
"""

from dataclasses import dataclass
from functools import cache
from math import pi, sqrt

from tractwright.errors import TableError
from tractwright.standards.tables import Origin, Row, rows
from tractwright.standards.threads import thread


@dataclass(frozen=True, slots=True, kw_only=True)
class WireInsert:
    """An insert of one thread and nominal length [mm].

    assembled_least_mm : its least length once in place: the thread the screw finds; tapped_depth_mm : least full thread in
    the metal; drill_bottoming_mm, drill_plug_mm : drill for a bottoming and a plug tap; outer_mm, outer_minor_mm : the
    thread in the metal.
    """

    size: str
    nominal_mm: float
    assembled_least_mm: float
    tapped_depth_mm: float
    drill_bottoming_mm: float
    drill_plug_mm: float
    outer_mm: float
    outer_minor_mm: float
    pitch_mm: float
    origin: Origin

    @property
    def hole_shear_area_mm2_per_mm(self) -> float:
        """Shear area of the thread in the metal for 1 mm of insert [mm2/mm], basic sizes: pi d/P (P/2 + (d - d2)/sqrt 3)."""
        pitch_diameter = self.outer_mm - 0.649519 * self.pitch_mm
        per_thread = self.pitch_mm / 2.0 + (self.outer_mm - pitch_diameter) / sqrt(3.0)
        return pi / self.pitch_mm * self.outer_mm * per_thread * _LIMITS_SHARE


_LIMITS_SHARE = 0.74
"""Shear area at the worst limits of size over that of the basic sizes: as of a plain M6, the least of those met.
Source key: shop_judgement."""


@cache
def wire_insert(designation: str, nominal_mm: float) -> WireInsert:
    """The insert of that thread and nominal length. Raises TableError naming the lengths held."""
    for found in _of(designation):
        if abs(found.number("nominal_mm") - nominal_mm) < 0.01:
            return WireInsert(
                size=found.text("size"),
                nominal_mm=found.number("nominal_mm"),
                assembled_least_mm=found.number("assembled_least_mm"),
                tapped_depth_mm=found.number("tapped_depth_mm"),
                drill_bottoming_mm=found.number("drill_bottoming_mm"),
                drill_plug_mm=found.number("drill_plug_mm"),
                outer_mm=found.number("outer_major_mm"),
                outer_minor_mm=found.number("outer_minor_mm"),
                pitch_mm=thread(designation).pitch_mm,
                origin=found.origin,
            )
    known = tuple(f"{length:g}" for length in wire_insert_lengths(designation))
    raise TableError("wire_inserts", f"{designation} {nominal_mm:g} mm", known)


def wire_insert_lengths(designation: str) -> tuple[float, ...]:
    """Nominal lengths held for a thread [mm], rising; none where the tables hold no insert for it, or not that thread."""
    return tuple(found.number("nominal_mm") for found in _of(designation))


def _of(designation: str) -> list[Row]:
    """The table's rows for a coarse thread."""
    try:
        held = thread(designation)
    except TableError:
        return []
    if not held.coarse:
        return []
    return [found for found in rows("wire_inserts") if found.text("size") == held.size]
