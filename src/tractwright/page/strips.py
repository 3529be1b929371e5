"""The long section's numbers: each runner unrolled along its stations, ready to be drawn."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.design.records import Design, Runner
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array

_NEAR_SCREW_MM = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something that stands beside a runner: its station and how far from the skin it is [mm]."""

    name: str
    station_mm: float
    away_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One runner unrolled; a value a station.

    room_mm : free space outside the skin, None where it is not asked; from_port_mm, from_mouth_mm : stations as far as
    which cutters reach from either end, None before making is planned; clearance_mm : room that must be left.
    """

    runner: str
    stations_mm: tuple[float, ...]
    radius_mm: tuple[float, ...]
    wall_mm: tuple[float, ...]
    area_mm2: tuple[float, ...]
    room_mm: tuple[float | None, ...]
    length_mm: float
    length_wanted_mm: float
    port_lead_mm: float
    mouth_lead_mm: float
    clearance_mm: float
    marks: tuple[Mark, ...]
    from_port_mm: float | None = None
    from_mouth_mm: float | None = None
    meeting_mm: float | None = None


def strips_of(case: Case, room_mm: Mapping[str, Array]) -> tuple[Strip, ...]:
    """A strip a runner, in order. room_mm : by runner, free space at each station of its fast model."""
    return tuple(_strip(case, runner, room_mm[runner.name]) for runner in case.design.runners)


def _strip(case: Case, runner: Runner, room: Array) -> Strip:
    model = case.tubes[runner.name]
    passages = case.plan.passages if case.plan else ()
    reach = next((item for item in passages if item.runner == runner.name), None)
    return Strip(
        runner=runner.name,
        stations_mm=_rounded(model.s_mm, 2),
        radius_mm=_rounded(np.sqrt(model.area_mm2 / np.pi), 3),
        wall_mm=_rounded(model.wall_mm, 3),
        area_mm2=_rounded(model.area_mm2, 1),
        room_mm=tuple(round(float(value), 2) if np.isfinite(value) else None for value in room),
        length_mm=runner.length_mm,
        length_wanted_mm=runner.length_wanted_mm,
        port_lead_mm=runner.port_lead_mm,
        mouth_lead_mm=runner.mouth_lead_mm,
        clearance_mm=case.sheet.room.clearance_mm,
        marks=_marks(case.design, model),
        from_port_mm=reach.reach_from_port_end_mm if reach else None,
        from_mouth_mm=reach.reach_from_mouth_end_mm if reach else None,
        meeting_mm=reach.meeting_line_mm if reach else None,
    )


def _marks(design: Design, model: Tube) -> tuple[Mark, ...]:
    """Screws whose seats stand near the skin, at the station they are nearest to."""
    found: list[Mark] = []
    for screw in design.screws:
        apart = np.linalg.norm(model.outer_mm - np.array(screw.seat_mm), axis=2).min(axis=1)
        station = int(np.argmin(apart))
        if apart[station] < _NEAR_SCREW_MM:
            away = round(float(apart[station]), 1)
            found.append(Mark(name=screw.name, station_mm=round(float(model.s_mm[station]), 1), away_mm=away))
    return tuple(found)


def _rounded(values: Array, digits: int) -> tuple[float, ...]:
    return tuple(float(value) for value in np.round(values, digits))
