"""The inlet as the air sees it: from a few numbers while it is only wanted, from the description once it is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tractwright.air.breather import Intake, PlenumAir, RunnerAir
from tractwright.air.entrance import OnMouth, body_drawn, out_of_plenum, through_body
from tractwright.air.losses import bend_loss
from tractwright.design.mouths import ground_of, grounds
from tractwright.design.records import Design, Plenum, Port, Runner
from tractwright.design.tube import centreline, schedule_at
from tractwright.job.engine_tables import AirSupply, Engine

SUPPOSED_TURN_RADIUS = 2.0  # while no course is known: one 90 degree bend of two bores' radius (judgement)
STATIONS = 65
APART_MM, MOST_PARTS = 20.0, 8  # mouths nearer along the row share a volume of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """An inlet of like runners, not drawn yet: mm, mm2, litres; fed : cylinders of each runner; on_mouth : the throttle body
    on each mouth, where there is no plenum; rooms : which plenum each runner enters, the one where it is silent; the volume is
    of all plena together, shared by their runners; throttles : how many like ones each of them has.
    """

    fed: tuple[tuple[int, ...], ...]
    length_mm: float
    port_area_mm2: float
    mouth_area_mm2: float
    lip_radius_mm: float
    plenum_volume_l: float
    throttle_bore_mm: float
    neck_mm: float
    on_mouth: OnMouth | None = None
    throttles: int = 1
    rooms: tuple[int, ...] = ()

    @property
    def entered(self) -> tuple[int, ...]:
        """The plenum that each runner enters."""
        return self.rooms or (0,) * len(self.fed)


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
    if plan.on_mouth is None:
        entrance = out_of_plenum(bore, plan.lip_radius_mm * 1e-3)
    else:
        entrance = through_body(bore, plan.on_mouth, air.throttle_open_deg)
    before = entrance.before
    turn = np.array([0.0, 0.5 * np.pi * SUPPOSED_TURN_RADIUS * bore])
    loss = bend_loss(turn, np.full(2, 1.0 / (SUPPOSED_TURN_RADIUS * bore)), np.full(2, bore))
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, before, before + plan.length_mm * 1e-3]),
            area=np.array([plan.mouth_area_mm2, plan.mouth_area_mm2, plan.port_area_mm2]) * 1e-6,
            loss=loss,
            entry_share=entrance.entry_share,
            cylinders=cylinders,
            plenum=room,
            exit_share=entrance.exit_share,
        )
        for cylinders, room in zip(plan.fed, plan.entered, strict=True)
    )
    plena = (PlenumAir(size=None),) if plan.on_mouth is not None else _planned_plena(plan)
    return Intake(runners=runners, plena=plena, wall_temperature=air.wall_degc + 273.15)


def _planned_plena(plan: Plan) -> tuple[PlenumAir, ...]:
    entered = plan.entered
    return tuple(
        PlenumAir(
            size=plan.plenum_volume_l * 1e-3 * entered.count(room) / len(entered),
            throttle_bores=(plan.throttle_bore_mm * 1e-3,) * plan.throttles,
            necks=(plan.neck_mm * 1e-3,) * plan.throttles,
        )
        for room in sorted(set(entered))
    )


def drawn_intake(design: Design, engine: Engine, air: AirSupply, stretch: float = 1.0) -> Intake:
    """The intake of a description. stretch : every runner this many times as long, for the chart of lengths."""
    plena = (
        *(_drawn_plenum(plenum, design) for plenum in design.plena),
        *(PlenumAir(size=None) for _ in design.body_rows),
    )
    fed = dict(zip((port.name for port in design.ports), cylinders_fed(design.ports, engine), strict=True))
    runners = tuple(_drawn_runner(runner, design, fed, stretch, air) for runner in design.runners)
    return Intake(runners=runners, plena=plena, wall_temperature=air.wall_degc + 273.15)


def _drawn_plenum(plenum: Plenum, design: Design) -> PlenumAir:
    """A plenum as a row of as many volumes as it has mouths one beside the other."""
    throttles = [throttle for throttle in design.throttles if throttle.plenum == plenum.name]
    return PlenumAir(
        size=plenum.volume_l * 1e-3,
        throttle_bores=tuple(throttle.bore_mm * 1e-3 for throttle in throttles),
        necks=tuple(throttle.neck_mm * 1e-3 for throttle in throttles),
        parts=_parts(plenum, design),
        length=plenum.width_mm * 1e-3,
        throttle_parts=tuple(
            _part_at(plenum, design, float(plenum.frame.to_local(throttle.frame.origin_mm)[0]))
            for throttle in throttles
        ),
    )


def _parts(plenum: Plenum, design: Design) -> int:
    places = sorted(runner.mouth.at_mm[0] for runner in design.runners if runner.mouth.plenum == plenum.name)
    return min(1 + sum(b - a > APART_MM for a, b in pairwise(places)), MOST_PARTS)


def _part_at(plenum: Plenum, design: Design, along_mm: float) -> int:
    """Which volume of a plenum's row lies at a place along its x."""
    parts = _parts(plenum, design)
    share = (along_mm - plenum.centre_mm[0]) / plenum.width_mm + 0.5
    return int(np.clip(np.floor(share * parts), 0, parts - 1))


def _drawn_runner(
    runner: Runner, design: Design, fed: dict[str, tuple[int, ...]], stretch: float, air: AirSupply
) -> RunnerAir:
    ground = ground_of(runner, design)
    bore, lip = runner.mouth.bore_mm * 1e-3, runner.mouth.lip_radius_mm * 1e-3
    if isinstance(ground, Plenum):
        entrance, part = out_of_plenum(bore, lip), _part_at(ground, design, runner.mouth.at_mm[0])
    else:
        entrance, part = through_body(bore, body_drawn(ground), air.throttle_open_deg), 0
    share = np.linspace(0.0, 1.0, STATIONS)
    area = schedule_at(runner.area_mm2, 1.0 - share) * 1e-6
    places = entrance.before + share * runner.length_mm * 1e-3 * stretch
    return RunnerAir(
        places=np.concatenate([[0.0], places]),
        area=np.concatenate([[area[0]], area]),
        loss=_loss_of_course(runner, design),
        entry_share=entrance.entry_share,
        cylinders=tuple(sorted({number for name in runner.ports for number in fed[name]})),
        plenum=grounds(design).index(ground),
        part=part,
        exit_share=entrance.exit_share,
    )


def _loss_of_course(runner: Runner, design: Design) -> float:
    """Loss of the bends of a drawn course, from the turn between points along its centreline."""
    line = centreline(runner, design)
    arc = line.s_mm * 1e-3
    curvature = np.linalg.norm(np.gradient(line.tangents, arc, axis=0), axis=1)
    area = schedule_at(runner.area_mm2, line.s_mm / line.length_mm) * 1e-6
    return bend_loss(arc, curvature, np.sqrt(4.0 / np.pi * area))
