"""An engine with its inlet as a network: plena, runners, ports, valves, cylinders. SI units, degrees of crank."""

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from tractwright.air.flow.kernels import GAS_CONSTANT
from tractwright.air.losses import CAST_DARCY, FLANGED_END, MACHINED_DARCY, UNFLANGED_END
from tractwright.air.network.build import build, cells_for
from tractwright.air.network.bundles import Network, State
from tractwright.air.network.parts import End, Pipe, Piston, Throat, Volume
from tractwright.air.valves import Valves, effective_area
from tractwright.job.engine_tables import AirSupply, Engine

Array = npt.NDArray[np.float64]

# Heat of a kg of air with its fuel where all oxygen is used [J/kg] (memory), 0.95 of it released (engine_judgement).
HEAT_OF_AIR: Final = {"petrol": 0.95 * 2.95e6, "ethanol": 0.95 * 2.98e6, "methanol": 0.95 * 3.09e6}
BURN_START, BURN_LENGTH = 337.0, 60.0  # engine_judgement: half burnt about 8 degrees after top dead centre
EXHAUST_TEMPERATURE = 950.0  # engine_judgement
EXHAUST_RISE = 0.10e5  # engine_judgement: back pressure over ambient at the highest revs, as the square of the revs
CYLINDER_WALL = 430.0  # engine_judgement
SEAT_OVER_VALVE = 0.86  # engine_judgement: port bore at the seat over the valve's diameter
THROTTLE_SHARE = 0.90  # engine_judgement: plate, shaft and entry together
FIRST_PLENUM = 2  # index of the first plenum among the volumes, after supply and exhaust
THROTTLE_BODY = 0.060  # engine_judgement: length of the body before the neck [m]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class RunnerAir:
    """A runner as the air sees it, from its mouth to the head face.

    places [m] : from 0, the end correction before the mouth included; area [m2] there; loss : of its bends;
    entry_share : throat of the entry loss; cylinders : numbers from 1; plenum : index.
    """

    places: Array
    area: Array
    loss: float
    entry_share: float
    cylinders: tuple[int, ...]
    plenum: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlenumAir:
    """A plenum: size [m3], None for one so large that its pressure stays; throttle bore and neck length [m]."""

    size: float | None
    throttle_bores: tuple[float, ...] = ()
    neck: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """Everything between the supply and the head face."""

    runners: tuple[RunnerAir, ...]
    plena: tuple[PlenumAir, ...]
    wall_temperature: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Breather:
    """An engine and its supply, with an intake, ready to be run at any speed.

    cell : wanted cell length [m]; settled : share by which filling may still change from cycle to cycle.
    """

    engine: Engine
    air: AirSupply
    intake: Intake
    cell: float
    settled: float = 5e-4


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


def intake_valves(engine: Engine) -> Valves:
    """The intake valves of a cylinder."""
    return Valves(
        count=engine.intake_valves,
        diameter=engine.intake_valve_mm * 1e-3,
        lift=engine.intake_lift_mm * 1e-3,
        opens=-engine.intake_opens_btdc_deg,
        closes=180.0 + engine.intake_closes_abdc_deg,
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
    """Each cylinder's gas-exchange top dead centre after that of the first to fire [deg], evenly spread."""
    return {number: place * 720.0 / engine.cylinders for place, number in enumerate(engine.firing_order)}


def network_at(breather: Breather, rpm: float) -> tuple[Network, State]:
    """The network of an engine at a speed, and its state at the start.

    Volumes: supply, exhaust, plena, cylinders by number, then a chamber for each runner that divides. Pipes: one a runner
    in order, then ports of runners that divide, then throttle necks.
    """
    engine, air, intake = breather.engine, breather.air, breather.intake
    numbers = tuple(sorted(engine.firing_order))
    phases = firing_phases(engine)
    back = exhaust_pressure(engine, air, rpm)
    still = [_resting(air, plenum.size) for plenum in intake.plena]
    burnt = Volume(pressure=back, temperature=EXHAUST_TEMPERATURE, burnt=1.0)
    index = {number: FIRST_PLENUM + len(still) + i for i, number in enumerate(numbers)}
    tracts, ports, forks = _tracts(breather, index)
    necks = [pipe for i, plenum in enumerate(intake.plena) for pipe in _necks(breather, plenum, FIRST_PLENUM + i)]
    cylinders = [_cylinder(breather, phases[number], back) for number in numbers]
    exhaust = effective_area(exhaust_valves(engine))
    throats = [Throat(between=(index[n], 1), table=exhaust, phase_deg=phases[n]) for n in numbers]
    return build(tracts + ports + necks, [_resting(air, None), burnt, *still, *cylinders, *forks], throats)


def _resting(air: AirSupply, size: float | None) -> Volume:
    return Volume(pressure=supply_pressure(air), temperature=supply_temperature(air), size=size)


def exhaust_pressure(engine: Engine, air: AirSupply, rpm: float) -> float:
    """Fixed back pressure [Pa]: ambient and boost, and a rise with the square of the revs (engine_judgement)."""
    return supply_pressure(air) + EXHAUST_RISE * (rpm / engine.highest_rpm) ** 2


def _cylinder(breather: Breather, phase: float, back: float) -> Volume:
    engine = breather.engine
    piston = Piston(
        bore=engine.bore_mm * 1e-3,
        stroke=engine.stroke_mm * 1e-3,
        rod=engine.rod_length_mm * 1e-3,
        compression=engine.compression_ratio,
        phase=phase,
        heat=HEAT_OF_AIR[breather.air.fuel],
        wall_temperature=CYLINDER_WALL,
        burn_start=BURN_START,
        burn_length=BURN_LENGTH,
        closes=intake_valves(engine).closes,
    )
    return Volume(pressure=back, temperature=0.7 * EXHAUST_TEMPERATURE, burnt=0.5, piston=piston)


def _necks(breather: Breather, plenum: PlenumAir, volume: int) -> list[Pipe]:
    """Throttle body and neck of a plenum as a pipe from the supply, end corrections added."""
    made: list[Pipe] = []
    for bore in plenum.throttle_bores:
        length = plenum.neck + THROTTLE_BODY + 0.5 * bore * (FLANGED_END + UNFLANGED_END)
        neck = _Stretch(places=np.array([0.0, length]), area=np.full(2, np.pi / 4.0 * bore**2), loss=0.0)
        ends = End(volume=0, share_in=THROTTLE_SHARE), End(volume=volume)
        made.append(_pipe(breather, neck, ends, supply_temperature(breather.air)))
    return made


def _tracts(breather: Breather, index: dict[int, int]) -> tuple[list[Pipe], list[Pipe], list[Volume]]:
    """Runners in order with the port of the cylinder each feeds; where one divides, its ports and a chamber apart."""
    engine = breather.engine
    phases = firing_phases(engine)
    shares = {n: max(sum(n in runner.cylinders for runner in breather.intake.runners), 1) for n in index}
    valves = effective_area(intake_valves(engine))
    tables = {n: valves / shares[n] for n in index}
    warm = breather.intake.wall_temperature
    tracts: list[Pipe] = []
    ports: list[Pipe] = []
    forks: list[Volume] = []
    for runner in breather.intake.runners:
        mouth = End(volume=FIRST_PLENUM + runner.plenum, share_in=runner.entry_share)
        seats = [_seat_area(engine) / shares[n] for n in runner.cylinders]
        ends = [End(volume=index[n], table=tables[n], phase_deg=phases[n]) for n in runner.cylinders]
        if len(ends) == 1:
            tracts.append(_pipe(breather, _with_port(engine, runner, seats[0]), (mouth, ends[0]), warm))
            continue
        fork = End(volume=FIRST_PLENUM + len(breather.intake.plena) + len(index) + len(forks))
        forks.append(_fork(breather, runner))
        along = _Stretch(places=runner.places, area=runner.area, loss=runner.loss)
        tracts.append(_pipe(breather, along, (mouth, fork), warm))
        for seat, end in zip(seats, ends, strict=True):
            ports.append(_pipe(breather, _port(engine, seat), (fork, end), warm))
    return tracts, ports, forks


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Stretch:
    """Places [m], area [m2] there, and the bends' loss of a pipe to be; cast : how much of its length is as cast."""

    places: Array
    area: Array
    loss: float
    cast: float = 0.0


def _pipe(breather: Breather, stretch: _Stretch, ends: tuple[End, End], wall_temperature: float) -> Pipe:
    return Pipe(
        places=stretch.places,
        area=stretch.area,
        cells=cells_for(float(stretch.places[-1]), breather.cell),
        low=ends[0],
        high=ends[1],
        darcy=MACHINED_DARCY + (CAST_DARCY - MACHINED_DARCY) * stretch.cast,
        loss=stretch.loss,
        wall_temperature=wall_temperature,
        pressure=supply_pressure(breather.air),
        temperature=supply_temperature(breather.air),
    )


def _seat_area(engine: Engine) -> float:
    """Port area at the seats of a cylinder [m2]."""
    return engine.intake_valves * np.pi / 4.0 * (SEAT_OVER_VALVE * engine.intake_valve_mm * 1e-3) ** 2


def _with_port(engine: Engine, runner: RunnerAir, seat_area: float) -> _Stretch:
    """The runner carried on through the port in the head to the seats."""
    port = engine.port_length_mm * 1e-3
    places = np.append(runner.places, runner.places[-1] + port)
    area = np.append(runner.area, seat_area)
    return _Stretch(places=places, area=area, loss=runner.loss, cast=port / places[-1])


def _port(engine: Engine, seat_area: float) -> _Stretch:
    """One port in the head behind a runner that divides: of the seats' area throughout."""
    places = np.array([0.0, engine.port_length_mm * 1e-3])
    return _Stretch(places=places, area=np.full(2, seat_area), loss=0.0, cast=1.0)


def _fork(breather: Breather, runner: RunnerAir) -> Volume:
    """Where a runner divides: a chamber as long as the runner's bore. The flow's head is lost in it."""
    end = float(runner.area[-1])
    return _resting(breather.air, float(np.sqrt(4.0 / np.pi * end)) * end)
