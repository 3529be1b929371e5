"""What the sheet's engine and supply mean to the air: pressures, masses, valves, firing. SI units, degrees of crank."""

from typing import Final

import numpy as np

from tractwright.air.flow.kernels import GAS_CONSTANT
from tractwright.air.valves import Valves
from tractwright.job.engine_tables import AirSupply, Engine

# Heat of a kg of air with its fuel where all oxygen is used [J/kg] (memory), 0.95 of it released (engine_judgement).
HEAT_OF_AIR: Final = {"petrol": 0.95 * 2.95e6, "ethanol": 0.95 * 2.98e6, "methanol": 0.95 * 3.09e6}
EXHAUST_RISE = 0.10e5  # engine_judgement: back pressure over ambient at the highest revs, as the square of the revs
CYCLE = 720.0
FRICTION_STROKE_MM = 80.0


def supply_pressure(air: AirSupply) -> float:
    """Absolute pressure before the throttle [Pa]."""
    return (air.ambient_bar + air.boost_bar) * 1e5


def supply_temperature(air: AirSupply) -> float:
    """Temperature before the throttle [K]."""
    return air.charge_degc + 273.15


def swept_volume(engine: Engine) -> float:
    """Of one cylinder [m3]."""
    return np.pi / 4.0 * (engine.bore_mm * 1e-3) ** 2 * engine.stroke_mm * 1e-3


def filling_mass(engine: Engine, air: AirSupply) -> float:
    """Swept volume of a cylinder x density of the supply [kg]: what a filling of 1 means."""
    return swept_volume(engine) * supply_pressure(air) / (GAS_CONSTANT * supply_temperature(air))


def exhaust_pressure(engine: Engine, air: AirSupply, rpm: float) -> float:
    """Fixed back pressure [Pa]: ambient and boost, and a rise with the square of the revs (engine_judgement)."""
    return supply_pressure(air) + EXHAUST_RISE * (rpm / engine.highest_rpm) ** 2


def friction_torque(engine: Engine, rpm: float) -> float:
    """Torque lost to friction [N m]: 0.97 + 0.15 n + 0.05 n^2 bar, n in 1000/min at a stroke of 80 mm, by piston speed.

    Sources: barnes_moss_memory (unverified), for engines of about that stroke; engine_judgement: others by piston speed.
    """
    thousands = rpm / 1000.0 * engine.stroke_mm / FRICTION_STROKE_MM
    pressure = (0.97 + 0.15 * thousands + 0.05 * thousands**2) * 1e5
    return pressure * swept_volume(engine) * engine.cylinders / (4.0 * np.pi)


def intake_valves(engine: Engine) -> Valves:
    """The intake valves of a cylinder: a measured cam and a flowed head where the sheet has them."""
    cam = tuple(zip(engine.intake_lift_at_deg, (lift * 1e-3 for lift in engine.intake_lifts_mm), strict=True))
    opens, closes = -engine.intake_opens_btdc_deg, 180.0 + engine.intake_closes_abdc_deg
    return Valves(
        count=engine.intake_valves,
        diameter=engine.intake_valve_mm * 1e-3,
        lift=max((lift for _, lift in cam), default=engine.intake_lift_mm * 1e-3),
        opens=cam[0][0] if cam else opens,
        closes=cam[-1][0] if cam else closes,
        cam=cam,
        flow=tuple(zip(engine.intake_flow_at, engine.intake_flow, strict=True)),
    )


def exhaust_valves(engine: Engine) -> Valves:
    """The exhaust valves of a cylinder."""
    return Valves(
        count=engine.exhaust_valves,
        diameter=engine.exhaust_valve_mm * 1e-3,
        lift=engine.exhaust_lift_mm * 1e-3,
        opens=-180.0 - engine.exhaust_opens_bbdc_deg,
        closes=engine.exhaust_closes_atdc_deg,
    )


def firing_phases(engine: Engine) -> dict[int, float]:
    """Each cylinder's gas-exchange top dead centre after that of the first to fire [deg].

    As the sheet's firing angles say; else evenly; with a bank angle the second of each pair in the firing order comes that
    angle, or that and whole turns, after the first: whichever is nearest to even.
    """
    if engine.firing_at_deg:
        return dict(zip(engine.firing_order, engine.firing_at_deg, strict=True))
    even = CYCLE / engine.cylinders
    phases = {number: place * even for place, number in enumerate(engine.firing_order)}
    if engine.bank_angle_deg > 0.0:
        turns = round((even - engine.bank_angle_deg) / 360.0)
        later = engine.bank_angle_deg + 360.0 * max(turns, 0)
        for first, second in zip(engine.firing_order[::2], engine.firing_order[1::2], strict=False):
            phases[second] = phases[first] + later
    return phases


def has_primaries(engine: Engine) -> bool:
    """Whether the sheet gives the exhaust pipes, so that their waves can be told."""
    return engine.primary_length_mm > 0.0
