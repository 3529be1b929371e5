"""A shop's cuts in numbers: removal rate, power and force; how far thin walls give way and how they ring."""

from dataclasses import dataclass
from math import inf, pi, sqrt

from tractwright.job.shop_tables import Cutter, Mill, Shop
from tractwright.standards.cutting import spindle_rpm, stepover_mm

SPECIFIC_J_MM3 = 0.8
"""Energy to cut aluminium alloys of 100 to 150 HB, sharp tool, 0.25 mm chip. Source: groover_unit_power."""
ALUMINIUM_MPA, ALUMINIUM_KG_MM3, POISSON = 68.9e3, 2.70e-6, 0.33
FINISHING_N = 20.0
"""Side force of a finishing cut. Judgement."""
_OF_POWER = 0.8
_CANTILEVER_ROOT = 1.87510407


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A cutter at work: turns a minute, feed [mm/min], removal rate [mm3/min], power [kW], mean force along the cut [N]."""

    rpm: float
    feed_mm_min: float
    removal_mm3_min: float
    power_kw: float
    force_n: float


def turning(shop: Shop, mill: Mill, cutter: Cutter) -> tuple[float, float]:
    """Turns a minute at the shop's cutting speed, no more than the spindle has; feed at the shop's chip [mm/min]."""
    rpm = min(spindle_rpm(shop.cutting_speed_m_min, cutter.diameter_mm), mill.spindle_rpm)
    return rpm, rpm * cutter.teeth * shop.chip_of_diameter * cutter.diameter_mm


def roughing(shop: Shop, mill: Mill, cutter: Cutter, most_n: float = inf) -> Cut:
    """A roughing cut at the shop's width and depth, slowed where the spindle has not the power, and where its mean force
    would be more than most_n [N].
    """
    rpm, feed = turning(shop, mill, cutter)
    section = shop.rough_width * shop.rough_depth * cutter.diameter_mm**2
    most = _OF_POWER * mill.power_kw * 1e3 / SPECIFIC_J_MM3 * 60.0
    speed_m_s = pi * cutter.diameter_mm * rpm / 60e3
    held = most_n * speed_m_s / SPECIFIC_J_MM3 * 60.0
    slowed = min(1.0, min(most, held) / (section * feed))
    removal = section * feed * slowed
    watts = removal / 60.0 * SPECIFIC_J_MM3
    return Cut(
        rpm=rpm, feed_mm_min=feed * slowed, removal_mm3_min=removal, power_kw=watts / 1e3, force_n=watts / speed_m_s
    )


def ball_rate(shop: Shop, mill: Mill, cutter: Cutter) -> float:
    """Surface a ball cutter finishes [mm2/min]: feed times the step that leaves the shop's ridge."""
    return turning(shop, mill, cutter)[1] * stepover_mm(cutter.diameter_mm / 2, shop.ridge_mm)


def wall_bend_mm(force_n: float, height_mm: float, thickness_mm: float, length_mm: float) -> float:
    """How far the free edge of a wall held at its foot gives way in the middle [mm]: a strip as wide as twice its height.

    At a free corner about 2.2 times as much. Within some tens of per cent of finite elements; judgement beyond.
    """
    width = min(length_mm, 2.0 * height_mm)
    return force_n * height_mm**3 / (3.0 * ALUMINIUM_MPA * width * thickness_mm**3 / 12.0)


def wall_hz(height_mm: float, thickness_mm: float) -> float:
    """Lowest natural frequency of a long wall held at its foot [Hz]: a plate strip held at one end."""
    stiff = ALUMINIUM_MPA * 1e6 * (thickness_mm / 1e3) ** 2 / (12.0 * ALUMINIUM_KG_MM3 * 1e9 * (1.0 - POISSON**2))
    return _CANTILEVER_ROOT**2 / (2.0 * pi) * sqrt(stiff) / (height_mm / 1e3) ** 2


def tooth_hz(rpm: float, teeth: float) -> float:
    """How often an edge comes round [Hz]."""
    return rpm * teeth / 60.0
