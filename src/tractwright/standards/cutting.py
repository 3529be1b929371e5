"""What cutters do: cusps they leave, how far they bend, what they reach under, how fast they turn. mm, N, MPa, rpm.

Cusps and undercuts are plain geometry of circles. Bending is a cantilever of carbide, E 600 GPa, as thick as 0.8 of the
cutter (source key: kops_vo_1990). Speeds: V = pi D n.
"""

from math import asin, degrees, pi, sqrt

_CARBIDE_MPA = 600_000.0
CORE_SHARE = 0.8
_CARBIDE_KG_MM3 = 14.5e-6
_CANTILEVER_ROOT = 1.87510407


def scallop_height_mm(ball_radius_mm: float, stepover_mm: float) -> float:
    """Height of the cusp a ball leaves on a flat between two passes [mm]: R - sqrt(R^2 - s^2/4)."""
    return ball_radius_mm - sqrt(ball_radius_mm**2 - stepover_mm**2 / 4.0)


def stepover_mm(ball_radius_mm: float, scallop_mm: float) -> float:
    """The stepover that leaves a cusp of that height on a flat [mm]: 2 sqrt(2 R h - h^2)."""
    return 2.0 * sqrt(2.0 * ball_radius_mm * scallop_mm - scallop_mm**2)


def tip_deflection_mm(diameter_mm: float, stickout_mm: float, side_force_n: float) -> float:
    """How far the tip of a carbide end mill bends aside [mm]: F L^3 / (3 E I), holder and spindle left out."""
    inertia = pi / 64.0 * (CORE_SHARE * diameter_mm) ** 4
    return side_force_n * stickout_mm**3 / (3.0 * _CARBIDE_MPA * inertia)


def cutter_hz(diameter_mm: float, stickout_mm: float) -> float:
    """Lowest natural frequency of that carbide cantilever [Hz]; a real holder and spindle give, and lower it."""
    thick = CORE_SHARE * diameter_mm
    speed = sqrt(_CARBIDE_MPA * 1e3 / _CARBIDE_KG_MM3) * thick / 4.0
    return _CANTILEVER_ROOT**2 * speed / (2.0 * pi * stickout_mm**2)


def wrap_angle_deg(diameter_mm: float, neck_mm: float) -> float:
    """How far round an undercutting ball cuts [deg]: 360 - 2 asin(neck/diameter)."""
    return 360.0 - 2.0 * degrees(asin(neck_mm / diameter_mm))


def undercut_mm(diameter_mm: float, neck_mm: float) -> float:
    """How far an undercutting ball reaches under an edge that its straight neck passes [mm]."""
    return (diameter_mm - neck_mm) / 2.0


def spindle_rpm(cutting_speed_m_min: float, diameter_mm: float) -> float:
    """Turning speed for a cutting speed [m/min]."""
    return 1000.0 * cutting_speed_m_min / (pi * diameter_mm)


def feed_mm_min(turning_speed_rpm: float, teeth: int, tooth_load_mm: float) -> float:
    """Feed for a load on each tooth [mm/min]."""
    return turning_speed_rpm * teeth * tooth_load_mm
