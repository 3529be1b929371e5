"""What a flow bench would show for a runner and its port: steady flow at each lift and a stated depression. SI units."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np

from tractwright.air.breather import Breather, RunnerAir
from tractwright.air.ends.kernels import throat_flux
from tractwright.air.engine import intake_valves, supply_pressure, supply_temperature
from tractwright.air.flow.kernels import GAMMA, GAS_CONSTANT
from tractwright.air.laying import Stretch, cold_pipe, port_behind, seat_area_of, with_port
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Volume
from tractwright.air.records import BenchFlow, BenchRow
from tractwright.air.valves import Valves, discharge

LIFTS = 6
BENCH_CELL = 0.02
TRAVELS = 40.0  # times that sound goes the length of the passage before the flow is read
COURANT = 0.85


def bench_flow(breather: Breather, runner: RunnerAir) -> BenchFlow:
    """Flow through a runner with its port and valves, and through the port alone with a perfect bell, lift by lift.

    The bench draws from the surroundings through a cylinder that takes no part. Flow is told at the density before the
    passage, compressible; `incompressible_over` is what the usual square-root law would add to an ideal opening.
    """
    engine, air = breather.engine, breather.air.model_copy(update={"boost_bar": 0.0})
    still = replace(breather, air=air, cell=BENCH_CELL)
    ambient, warm, depression = supply_pressure(air), supply_temperature(air), air.bench_bar * 1e5
    density = ambient / (GAS_CONSTANT * warm)
    valves = intake_valves(engine)
    passages = sum(runner.cylinders[0] in other.cylinders for other in breather.intake.runners)
    seat = seat_area_of(engine) / passages
    rows: list[BenchRow] = []
    for lift in np.linspace(0.0, valves.lift, LIFTS + 1)[1:]:
        share = min(_effective(valves, float(lift)) / (passages * seat), 1.0)
        whole = _steady_flow(still, with_port(engine, runner, seat), (runner.entry_share, share), depression)
        bare = _steady_flow(still, port_behind(engine, seat), (1.0, share), depression)
        rows.append(
            BenchRow(
                lift_mm=round(float(lift) * 1e3, 3),
                flow_l_s=round(whole / density * 1e3, 3),
                port_alone_l_s=round(bare / density * 1e3, 3),
            )
        )
    return BenchFlow(
        depression_pa=round(depression, 2),
        rows=tuple(rows),
        incompressible_over=round(incompressible_over(ambient, warm, depression), 5),
    )


def incompressible_over(pressure: float, temperature: float, depression: float) -> float:
    """By how much the law sqrt(2 rho dp) overstates the mass flow of an ideal opening [share]."""
    density = pressure / (GAS_CONSTANT * temperature)
    return sqrt(2.0 * density * depression) / throat_flux(pressure, temperature, pressure - depression) - 1.0


def _effective(valves: Valves, lift: float) -> float:
    """Effective area of all valves [m2] at a lift [m]."""
    coefficient = float(discharge(valves, np.array([lift / valves.diameter]))[0])
    return valves.count * coefficient * pi * valves.diameter * lift


def _steady_flow(breather: Breather, along: Stretch, shares: tuple[float, float], depression: float) -> float:
    """Mass flow [kg/s] from the surroundings through a passage and a last throat, once it is steady."""
    ambient, warm = supply_pressure(breather.air), supply_temperature(breather.air)
    ends = End(volume=0, share_in=shares[0]), End(volume=1, share_out=shares[1])
    behind = Volume(pressure=ambient - depression, temperature=warm)
    pipe = cold_pipe(breather, along, ends, warm)
    network, state = build([pipe], [Volume(pressure=ambient, temperature=warm), behind])
    travel = float(along.places[-1]) / sqrt(GAMMA * GAS_CONSTANT * warm)
    advance(network, state, TRAVELS * travel, 0.0, COURANT)
    density, speed, _ = state.faces[0]
    return float(density * speed * along.area[0])
