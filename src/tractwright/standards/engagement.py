"""How long a thread must be so that it does not strip: shear areas at the worst 6H/6g (2B/2A) fit, by class and metal.

Source: ISO/TR 16224 shear areas; shear strength 0.6 x tensile strength (common practice). mm, N, MPa.
"""

from math import pi, sqrt

from tractwright.standards.classes import breaking_load_n, property_class
from tractwright.standards.materials import material
from tractwright.standards.threads import Thread, thread

STRIP_RESERVE = 1.5
"""Strip strength over the highest clamp where the screw is not asked to break first. Source key: shop_judgement."""


def hole_shear_area_mm2_per_mm(held: Thread) -> float:
    """Shear area of the tapped hole's thread for 1 mm of engagement [mm2/mm]: smallest screw in the widest hole."""
    d, p = held.screw_major_min_mm, held.pitch_mm
    return pi / p * d * (p / 2.0 + (d - held.hole_pitch_max_mm) / sqrt(3.0))


def screw_shear_area_mm2_per_mm(held: Thread) -> float:
    """Shear area of the screw's thread for 1 mm of engagement [mm2/mm]: smallest screw in the widest hole."""
    d1, p = held.hole_minor_max_mm, held.pitch_mm
    return pi / p * d1 * (p / 2.0 + (held.screw_pitch_min_mm - d1) / sqrt(3.0))


def strip_load_n(designation: str, class_name: str, tapped_material: str, engagement_mm: float) -> float:
    """Load that strips the thread, hole or screw, whichever gives first [N]. Raises TableError."""
    held = thread(designation)
    hole = material(tapped_material).shear_strength_mpa * hole_shear_area_mm2_per_mm(held)
    screw = 0.6 * property_class(class_name).tensile_mpa * screw_shear_area_mm2_per_mm(held)
    return min(hole, screw) * engagement_mm


def engagement_needed_mm(designation: str, class_name: str, tapped_material: str) -> float:
    """Least full thread for the screw to break before the thread strips [mm]. Raises TableError."""
    return breaking_load_n(designation, class_name) / strip_load_n(designation, class_name, tapped_material, 1.0)


def engagement_for_clamp_mm(strip_n_mm: float, highest_clamp_n: float) -> float:
    """Least full thread to hold 1.5 x the highest clamp [mm]: enough where depth for the breaking load is not to be had.

    strip_n_mm : load that strips 1 mm of it [N/mm].
    """
    return STRIP_RESERVE * highest_clamp_n / strip_n_mm
