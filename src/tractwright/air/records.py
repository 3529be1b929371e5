"""What the engine's breathing asks of a manifold, and what a drawn manifold gives it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the air asks for. `why` : one plain sentence a number, in the order of the fields.

    length_mm : head face to plenum floor's inner face; bore_mm : at the mouth; plenum_volume_l : all plena together.
    """

    length_mm: float
    bore_mm: float
    port_area_mm2: float
    mouth_area_mm2: float
    plenum_volume_l: float
    throttle_bore_mm: float
    lip_radius_mm: float
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleOfThumb:
    """A closed-form guess shown beside the simulation, never instead of it. label : what it leaves out."""

    name: str
    value: float
    unit: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Breathing:
    """How a drawn manifold breathes, by unsteady simulation.

    rpm, delivered_ve, trapped_ve, torque_nm, power_kw : one value a speed. delivered : fresh air through the inlet
    valves a cycle, trapped : fresh air in the cylinders when they close, both over swept volume x supply density.
    peak_rpm : of the torque. cylinder_spread : (most - least) / mean trapped filling at the worst speed.
    length_chart_ve : trapped filling, a row a length of length_chart_mm, a column a speed of length_chart_rpm.
    peak_speed_at_mouth [m/s] and mach_peak (one a runner) : at the highest revs.
    notes : what is assumed and what is a trend only.
    """

    rpm: tuple[float, ...]
    delivered_ve: tuple[float, ...]
    trapped_ve: tuple[float, ...]
    torque_nm: tuple[float, ...]
    power_kw: tuple[float, ...]
    wanted_peak_rpm: float
    peak_rpm: float
    cylinder_spread: float
    length_chart_mm: tuple[float, ...]
    length_chart_rpm: tuple[float, ...]
    length_chart_ve: tuple[tuple[float, ...], ...]
    peak_speed_at_mouth: float
    mach_peak: tuple[float, ...]
    notes: tuple[str, ...]
    rules_of_thumb: tuple[RuleOfThumb, ...]
