"""Round cord and O-ring sections in face grooves: squeeze, fill, corners. All lengths in mm, shares as fractions."""

from dataclasses import dataclass
from functools import cache
from math import floor, pi

from tractwright.standards.tables import Origin, row_of_number, rows

GROOVE_WIDTH_TOLERANCE_MM = 0.13
"""Width tolerance the published worst fills imply. Source key: iso_3601_face_groove."""
FILL_NOMINAL_MOST = 0.85
"""Nominal fill above this stops. Source key: groove_fill."""
FILL_WORST_LOOK = 0.85
"""Worst fill above this is worth a look; above 1 it stops. Source key: groove_fill."""

CORD_SHORTER_MOST = 0.02
"""A cord may be so much shorter than its groove, never longer: stretched a little it lies in it. Source key: memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord:
    """A round section with its published face groove [mm]."""

    section_mm: float
    section_tolerance_mm: float
    depth_least_mm: float
    depth_most_mm: float
    width_mm: float
    bottom_radius_least_mm: float
    bottom_radius_most_mm: float
    origin: Origin

    @property
    def depth_mm(self) -> float:
        """Middle of the depth's limits."""
        return (self.depth_least_mm + self.depth_most_mm) / 2.0

    @property
    def depth_tolerance_mm(self) -> float:
        """Half of the depth's limits."""
        return (self.depth_most_mm - self.depth_least_mm) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gland:
    """A cord squeezed in a groove. squeeze: share of the section; fill: area of the section over area of the groove.

    least, most, worst : over the tolerances of section, depth and width; the bottom radii's small loss is left out.
    """

    squeeze_nominal: float
    squeeze_least: float
    squeeze_most: float
    fill_nominal: float
    fill_worst: float


@cache
def cord(section_mm: float) -> Cord:
    """The cord of that section. Raises TableError naming the sections held."""
    found = row_of_number("cords", "section_mm", section_mm)
    return Cord(
        section_mm=found.number("section_mm"),
        section_tolerance_mm=found.number("section_tolerance_mm"),
        depth_least_mm=found.number("depth_least_mm"),
        depth_most_mm=found.number("depth_most_mm"),
        width_mm=found.number("width_mm"),
        bottom_radius_least_mm=found.number("bottom_radius_least_mm"),
        bottom_radius_most_mm=found.number("bottom_radius_most_mm"),
        origin=found.origin,
    )


def cord_sections() -> tuple[float, ...]:
    """Sections held [mm], rising."""
    return tuple(item.number("section_mm") for item in rows("cords"))


def gland(
    section: Cord, groove_width_mm: float, groove_depth_mm: float, width_tolerance_mm: float = GROOVE_WIDTH_TOLERANCE_MM
) -> Gland:
    """Squeeze and fill of a cord in a groove of that width and depth, at the cord's own tolerances [mm].

    Arithmetic on areas: an incompressible section between the groove's floor and a flat lid.
    """
    w, give = section.section_mm, section.section_tolerance_mm
    shallow, deep = groove_depth_mm - section.depth_tolerance_mm, groove_depth_mm + section.depth_tolerance_mm
    narrow = groove_width_mm - width_tolerance_mm
    return Gland(
        squeeze_nominal=1.0 - groove_depth_mm / w,
        squeeze_least=1.0 - deep / (w - give),
        squeeze_most=1.0 - shallow / (w + give),
        fill_nominal=pi / 4.0 * w**2 / (groove_width_mm * groove_depth_mm),
        fill_worst=pi / 4.0 * (w + give) ** 2 / (narrow * shallow),
    )


def width_for_fill_mm(section: Cord, fill_worst: float = FILL_WORST_LOOK) -> float:
    """The groove width at the published depth whose worst fill is at most that [mm], never under the published width."""
    biggest = pi / 4.0 * (section.section_mm + section.section_tolerance_mm) ** 2
    return max(section.width_mm, biggest / (fill_worst * section.depth_least_mm) + GROOVE_WIDTH_TOLERANCE_MM)


def smallest_corner_radius_mm(section_mm: float) -> float:
    """Least radius of the groove's centreline round a corner [mm]: three sections (common practice, no source)."""
    return 3.0 * section_mm


def cord_length_mm(groove_mm: float) -> float:
    """Length to cut a cord to for a groove that long along its middle [mm]: half a per cent less, to the half millimetre."""
    return floor(2.0 * groove_mm / (1.0 + CORD_SHORTER_MOST / 4.0)) / 2.0
