"""The inlet as the air sees it: from a few numbers while it is only wanted, from the description once it is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tractwright.air.engine import Intake, PlenumAir, RunnerAir
from tractwright.air.losses import bend_loss, entry_loss, mouth_extension, throat_of_loss
from tractwright.design.records import Design, Port, Runner
from tractwright.design.tube import centreline, schedule_at
from tractwright.job.engine_tables import AirSupply, Engine

SUPPOSED_TURN_RADIUS = 2.0  # while no course is known: one 90 degree bend of two bores' radius (judgement)
STATIONS = 65


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """An inlet of like runners, not drawn yet: mm, mm2, litres; fed : cylinders of each runner."""

    fed: tuple[tuple[int, ...], ...]
    length_mm: float
    port_area_mm2: float
    mouth_area_mm2: float
    lip_radius_mm: float
    plenum_volume_l: float
    throttle_bore_mm: float
    neck_mm: float


def bore_of(area: float) -> float:
    """Diameter of a circle of that area."""
    return float(np.sqrt(4.0 / np.pi * area))


def area_of(bore: float) -> float:
    """Area of a circle of that diameter."""
    return float(np.pi / 4.0 * bore**2)


def cylinders_fed(ports: Sequence[Port], engine: Engine) -> tuple[tuple[int, ...], ...]:
    """Cylinders of each port: as the pattern says; where it is silent, in order along the row, evenly shared."""
    if all(port.cylinders for port in ports):
        return tuple(port.cylinders for port in ports)
    each = engine.cylinders / len(ports)
    if each >= 1.0:
        first = [round(i * each) for i in range(len(ports) + 1)]
        return tuple(tuple(range(a + 1, b + 1)) for a, b in pairwise(first))
    return tuple((min(int(i * each) + 1, engine.cylinders),) for i in range(len(ports)))


def planned_intake(plan: Plan, air: AirSupply) -> Intake:
    """The intake of a plan."""
    bore = bore_of(plan.mouth_area_mm2) * 1e-3
    before = mouth_extension(bore, plan.lip_radius_mm * 1e-3)
    turn = np.array([0.0, 0.5 * np.pi * SUPPOSED_TURN_RADIUS * bore])
    loss = bend_loss(turn, np.full(2, 1.0 / (SUPPOSED_TURN_RADIUS * bore)), np.full(2, bore))
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, before, before + plan.length_mm * 1e-3]),
            area=np.array([plan.mouth_area_mm2, plan.mouth_area_mm2, plan.port_area_mm2]) * 1e-6,
            loss=loss,
            entry_share=throat_of_loss(entry_loss(plan.lip_radius_mm * 1e-3 / bore)),
            cylinders=cylinders,
            plenum=0,
        )
        for cylinders in plan.fed
    )
    plenum = PlenumAir(
        size=plan.plenum_volume_l * 1e-3, throttle_bores=(plan.throttle_bore_mm * 1e-3,), neck=plan.neck_mm * 1e-3
    )
    return Intake(runners=runners, plena=(plenum,), wall_temperature=air.wall_degc + 273.15)


def drawn_intake(design: Design, engine: Engine, air: AirSupply, stretch: float = 1.0) -> Intake:
    """The intake of a description. stretch : every runner this many times as long, for the chart of lengths."""
    plena = tuple(
        PlenumAir(
            size=plenum.volume_l * 1e-3,
            throttle_bores=tuple(t.bore_mm * 1e-3 for t in design.throttles if t.plenum == plenum.name),
            neck=max((t.neck_mm * 1e-3 for t in design.throttles if t.plenum == plenum.name), default=0.0),
        )
        for plenum in design.plena
    )
    fed = dict(zip((port.name for port in design.ports), cylinders_fed(design.ports, engine), strict=True))
    names = [plenum.name for plenum in design.plena]
    runners = tuple(
        _drawn_runner(runner, design, fed, names.index(runner.mouth.plenum), stretch) for runner in design.runners
    )
    return Intake(runners=runners, plena=plena, wall_temperature=air.wall_degc + 273.15)


def _drawn_runner(
    runner: Runner, design: Design, fed: dict[str, tuple[int, ...]], plenum: int, stretch: float
) -> RunnerAir:
    bore, lip = runner.mouth.bore_mm * 1e-3, runner.mouth.lip_radius_mm * 1e-3
    before = mouth_extension(bore, lip)
    share = np.linspace(0.0, 1.0, STATIONS)
    area = schedule_at(runner.area_mm2, 1.0 - share) * 1e-6
    places = before + share * runner.length_mm * 1e-3 * stretch
    return RunnerAir(
        places=np.concatenate([[0.0], places]),
        area=np.concatenate([[area[0]], area]),
        loss=_loss_of_course(runner, design),
        entry_share=throat_of_loss(entry_loss(lip / bore)),
        cylinders=tuple(sorted({number for name in runner.ports for number in fed[name]})),
        plenum=plenum,
    )


def _loss_of_course(runner: Runner, design: Design) -> float:
    """Loss of the bends of a drawn course, from the turn between points along its centreline."""
    line = centreline(runner, design)
    arc = line.s_mm * 1e-3
    curvature = np.linalg.norm(np.gradient(line.tangents, arc, axis=0), axis=1)
    area = schedule_at(runner.area_mm2, line.s_mm / line.length_mm) * 1e-6
    return bend_loss(arc, curvature, np.sqrt(4.0 / np.pi * area))
