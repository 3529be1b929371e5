"""What the engine's breathing asks of a manifold, and what a drawn manifold gives it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """What the room allows: least and greatest length of a runner [mm]; of the plena together [litre], None for 1 to 2 x
    the engine's displacement.
    """

    length_mm: tuple[float, float] = (150.0, 450.0)
    volume_l: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the air asks for. `why` : one plain sentence a number, in the order of the fields.

    length_mm : head face to plenum floor's inner face; bore_mm : at the mouth; plenum_volume_l : all plena together;
    throttle_bore_mm : each throttle;
    length_price : (length [mm], share of the torque in the band of revs that it gives up), nothing where not simulated.
    """

    length_mm: float
    bore_mm: float
    port_area_mm2: float
    mouth_area_mm2: float
    plenum_volume_l: float
    throttle_bore_mm: float
    lip_radius_mm: float
    why: tuple[str, ...]
    length_price: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleOfThumb:
    """A closed-form guess shown beside the simulation, never instead of it. label : what it leaves out."""

    name: str
    value: float
    unit: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRow:
    """Flow [litre/s at the density before it] at a lift: through runner and port, and through the port alone."""

    lift_mm: float
    flow_l_s: float
    port_alone_l_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchFlow:
    """A flow bench foretold for the first runner. incompressible_over : share that the square-root law would read high."""

    depression_pa: float
    rows: tuple[BenchRow, ...]
    incompressible_over: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one change of the manifold or the cam does to torque, as shares: about the wanted revs (over the sheet's
    band, where it gives one), and near the highest.
    """

    what: str
    about_wanted: float
    near_highest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unequal:
    """The price of runners of unequal length: how much they differ, what torque about the wanted revs and near the highest
    gains if all had the mean length, and the spread of filling between cylinders with both.
    """

    differ_mm: float
    about_wanted: float
    near_highest: float
    spread: float
    spread_if_equal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Traces:
    """One cycle at the wanted revs, at the cylinder that fires first: pressures [bar], speed at its mouth [m/s]."""

    rpm: float
    crank_deg: tuple[float, ...]
    cylinder_bar: tuple[float, ...]
    port_bar: tuple[float, ...]
    plenum_bar: tuple[float, ...]
    mouth_speed: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachAlong:
    """Highest Mach number of a cycle along a runner and its port at the highest revs; places from the mouth [mm]."""

    runner: str
    place_mm: tuple[float, ...]
    mach: tuple[float, ...]


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
    residual: tuple[float, ...]
    cylinder_ve: tuple[tuple[float, ...], ...]
    wanted_peak_rpm: float
    peak_rpm: float
    cylinder_spread: float
    length_chart_mm: tuple[float, ...]
    length_chart_rpm: tuple[float, ...]
    length_chart_ve: tuple[tuple[float, ...], ...]
    peak_speed_at_mouth: float
    mach_peak: tuple[float, ...]
    mach_along: tuple[MachAlong, ...]
    traces: Traces
    sensitivity: tuple[Change, ...]
    unequal: Unequal
    bench: BenchFlow
    notes: tuple[str, ...]
    rules_of_thumb: tuple[RuleOfThumb, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickLook:
    """Trapped filling and torque [N m] by the quick model, one value a speed, and how far its filling lies from the whole
    simulation's: as shares, in the mean and at the worst speed.
    """

    rpm: tuple[float, ...]
    trapped_ve: tuple[float, ...]
    torque_nm: tuple[float, ...]
    mean_error: float
    most_error: float
