"""Parts of a network as they are put together, and the pipes that the air knows. SI units."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tractwright.air.breather import Breather, RunnerAir
from tractwright.air.engine import supply_pressure, supply_temperature
from tractwright.air.losses import CAST_DARCY, MACHINED_DARCY
from tractwright.air.network.build import cells_for
from tractwright.air.network.parts import End, Pipe, Throat, Volume
from tractwright.job.engine_tables import Engine

Array = npt.NDArray[np.float64]

EXHAUST_TEMPERATURE = 950.0  # engine_judgement
SEAT_OVER_VALVE = 0.86  # engine_judgement: port bore at the seat over the valve's diameter
EXHAUST_WALL = 700.0  # engine_judgement: metal of the primaries
EXHAUST_CELL = 2.5  # cells of hot pipes over those of cold ones: sound is about twice as fast there


@dataclass(slots=True)
class Laying:
    """Parts put together so far. Volumes 0 and 1: the supply, and the space behind the exhaust."""

    breather: Breather
    pipes: list[Pipe] = field(default_factory=list[Pipe])
    volumes: list[Volume] = field(default_factory=list[Volume])
    throats: list[Throat] = field(default_factory=list[Throat])
    joints: int = 0

    def volume(self, made: Volume) -> int:
        """Put a volume in; gives its index."""
        self.volumes.append(made)
        return len(self.volumes) - 1

    def space(self, size: float | None) -> int:
        """A volume of the supply's air."""
        air = self.breather.air
        return self.volume(Volume(pressure=supply_pressure(air), temperature=supply_temperature(air), size=size))

    def pipe(self, made: Pipe) -> int:
        """Put a pipe in; gives its index."""
        self.pipes.append(made)
        return len(self.pipes) - 1

    def joint(self) -> int:
        """The number of a new joint."""
        self.joints += 1
        return self.joints - 1


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Stretch:
    """Places [m], area [m2] there, and the bends' loss of a pipe to be; cast : how much of its length is as cast."""

    places: Array
    area: Array
    loss: float = 0.0
    cast: float = 0.0


def even_pipe(length: float, bore: float) -> Stretch:
    """A pipe of one bore [m]."""
    return Stretch(places=np.array([0.0, length]), area=np.full(2, np.pi / 4.0 * bore**2))


def cold_pipe(breather: Breather, stretch: Stretch, ends: tuple[End, End], wall_temperature: float) -> Pipe:
    """A pipe of the supply's air at rest; low end, high end."""
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


def seat_area_of(engine: Engine) -> float:
    """Port area at the seats of a cylinder [m2]."""
    return engine.intake_valves * np.pi / 4.0 * (SEAT_OVER_VALVE * engine.intake_valve_mm * 1e-3) ** 2


def with_port(engine: Engine, runner: RunnerAir, seat_area: float) -> Stretch:
    """The runner carried on through the port in the head to the seats."""
    port = engine.port_length_mm * 1e-3
    places = np.append(runner.places, runner.places[-1] + port)
    area = np.append(runner.area, seat_area)
    return Stretch(places=places, area=area, loss=runner.loss, cast=port / places[-1])


def port_behind(engine: Engine, seat_area: float) -> Stretch:
    """One port in the head behind a runner that divides: of the seats' area throughout."""
    places = np.array([0.0, engine.port_length_mm * 1e-3])
    return Stretch(places=places, area=np.full(2, seat_area), cast=1.0)


def hot_pipe(breather: Breather, stretch: Stretch, ends: tuple[End, End], pressure: float) -> Pipe:
    """A pipe of burnt gas at rest; low end, high end."""
    return Pipe(
        places=stretch.places,
        area=stretch.area,
        cells=cells_for(float(stretch.places[-1]), EXHAUST_CELL * breather.cell),
        low=ends[0],
        high=ends[1],
        darcy=CAST_DARCY,
        wall_temperature=EXHAUST_WALL,
        pressure=pressure,
        temperature=EXHAUST_TEMPERATURE,
        hot=True,
        burnt=1.0,
    )
