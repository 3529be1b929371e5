"""An engine, its supply and its intake as plain records, ready to be made a network. SI units."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.job.engine_tables import AirSupply, Engine

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class RunnerAir:
    """A runner as the air sees it, from its mouth to the head face.

    places [m] : from 0, the end correction before the mouth included; area [m2] there; loss : of its bends;
    entry_share, exit_share : throats of the losses into the mouth and out of it, of a throttle plate behind it as well;
    cylinders : numbers from 1; plenum : index; part : of the plenum's row.
    """

    places: Array
    area: Array
    loss: float
    entry_share: float
    cylinders: tuple[int, ...]
    plenum: int
    part: int = 0
    exit_share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlenumAir:
    """A plenum: size [m3], None where there is none and its runners draw from the supply, or from the box before it, straight
    away; bore and neck length of each of its throttles [m].

    parts : equal volumes in a row, `length` [m] in all, the air between them swinging; throttle_parts : where each
    throttle opens, the first where it is silent.
    """

    size: float | None
    throttle_bores: tuple[float, ...] = ()
    necks: tuple[float, ...] = ()
    parts: int = 1
    length: float = 0.0
    throttle_parts: tuple[int, ...] = ()


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


def with_whole_plena(intake: Intake) -> Intake:
    """The same intake with each plenum one volume: quicker, and blind to waves inside the plenum."""
    return replace(
        intake,
        runners=tuple(replace(runner, part=0) for runner in intake.runners),
        plena=tuple(replace(plenum, parts=1, throttle_parts=()) for plenum in intake.plena),
    )
