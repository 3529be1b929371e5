"""Runners with their courses: where they start and end, how their area and their wall run."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Mouth, Port, Runner, Schedule
from tractwright.geometry.frames import vec3
from tractwright.geometry.outlines import outline_area
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import CourseRunner, RunnerCourse
from tractwright.route.layout.ending import RowOfMouths
from tractwright.route.layout.head_joint import head_thickness, suffix_of
from tractwright.route.layout.root_sizes import root_between

_PAST_FLANGE_MM = 2.0
_SCHEDULE_POINTS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """What a runner has at its two ends. port_area_mm2 : of the port's opening, seen along its axis; port_root_mm,
    mouth_root_mm : root radii there is room for on the head flange and on the mouth flange.
    """

    port: Port
    port_area_mm2: float
    port_root_mm: float
    mouth_root_mm: float


def in_row(pattern: Pattern) -> list[Port]:
    """The ports in the order in which their runners are named: bank by bank, along x."""
    way = {bank.name: -1.0 if bank.frame.x[0] < 0.0 else 1.0 for bank in pattern.banks}
    return sorted(pattern.ports, key=lambda port: (port.bank, way[port.bank] * port.at_mm[0]))


def mouth_of(name: str, wanted: Wanted, held: Held) -> tuple[float, float]:
    """A runner's bore at its mouth, and the radius of its entry [mm]."""
    path = f"runner.{name}.mouth"
    return (
        held.number(f"{path}.bore_mm", wanted.bore_mm),
        held.number(f"{path}.lip_radius_mm", wanted.lip_radius_mm),
    )


def course_runner(
    name: str, port: Port, pattern: Pattern, sheet: JobSheet, wanted: Wanted, held: Held, chamber: RowOfMouths
) -> CourseRunner:
    """A runner as the search for courses sees it."""
    bank = next(bank for bank in pattern.banks if bank.name == port.bank)
    square = float(np.dot(port.axis, bank.frame.z))
    thickness = head_thickness(bank, suffix_of(bank, pattern), pattern, sheet, held)
    turn = np.radians(port.turn_deg)
    wide = np.array([np.cos(turn), np.sin(turn), 0.0])
    if port.outline.height_mm > port.outline.width_mm:
        wide = np.array([-wide[1], wide[0], 0.0])
    halves = sorted((port.outline.width_mm / 2, port.outline.height_mm / 2))
    return CourseRunner(
        name=name,
        start_mm=vec3(bank.frame.to_world(np.array(port.at_mm))),
        axis=port.axis,
        face=chamber.name,
        port_lead_mm=held.number(f"runner.{name}.port_lead_mm", (thickness + _PAST_FLANGE_MM) / square),
        mouth_lead_mm=held.number(
            f"runner.{name}.mouth_lead_mm", chamber.floor_mm + chamber.mouth_flange_mm + _PAST_FLANGE_MM
        ),
        port_half_mm=halves[1],
        port_half_least_mm=halves[0],
        port_corner_mm=_corner(port),
        mouth_bore_mm=mouth_of(name, wanted, held)[0],
        wall_mm=max(value for _, value in _wall(name, sheet, held)),
        bank=port.bank,
        port_wide=vec3(bank.frame.turn(wide)),
    )


def ends_of(port: Port, port_root_mm: float, pattern: Pattern, chamber: RowOfMouths, sheet: JobSheet) -> Ends:
    """A runner's two ends. Its root at the mouth is as large as wanted, or as the neighbouring mouths leave room for."""
    bank = next(bank for bank in pattern.banks if bank.name == port.bank)
    between = chamber.nearest_mm - chamber.bore_mm - 2.0 * sheet.runner.wall_mm
    return Ends(
        port=port,
        port_area_mm2=outline_area(port.outline) * float(np.dot(port.axis, bank.frame.z)),
        port_root_mm=port_root_mm,
        mouth_root_mm=root_between(sheet.runner.root_blend_mm, between),
    )


def runner(
    given: CourseRunner, course: RunnerCourse, ends: Ends, sheet: JobSheet, wanted: Wanted, held: Held
) -> Runner:
    """A runner on its course."""
    path = f"runner.{given.name}"
    bore, lip = mouth_of(given.name, wanted, held)
    first, last = given.port_lead_mm / course.length_mm, 1.0 - given.mouth_lead_mm / course.length_mm
    areas = _areas(ends.port_area_mm2, np.pi / 4 * bore**2, first, last)
    return Runner(
        name=given.name,
        bank=ends.port.bank,
        ports=(ends.port.name,),
        mouth=Mouth(plenum=given.face, at_mm=course.mouth_at_mm, bore_mm=bore, lip_radius_mm=lip),
        poles_mm=course.poles_mm,
        port_lead_mm=given.port_lead_mm,
        mouth_lead_mm=given.mouth_lead_mm,
        length_mm=course.length_mm,
        length_wanted_mm=held.number(f"{path}.length_mm", wanted.length_mm),
        area_mm2=_schedule(held.get(f"{path}.area_mm2", areas)),
        wall_mm=_wall(given.name, sheet, held),
        port_blend_mm=held.number(f"{path}.port_blend_mm", ends.port_root_mm),
        mouth_blend_mm=held.number(f"{path}.mouth_blend_mm", ends.mouth_root_mm),
    )


def _corner(port: Port) -> float | None:
    """The tightest corner of a port's outline [mm]; None where it is round."""
    outline = port.outline
    if outline.kind == "d":
        return min(outline.corner_radius_mm, outline.lower_corner_radius_mm)
    return outline.corner_radius_mm if outline.kind == "rounded_rectangle" else None


def _wall(name: str, sheet: JobSheet, held: Held) -> Schedule:
    return _schedule(held.get(f"runner.{name}.wall_mm", sheet.runner.wall_mm))


def _schedule(value: float | Sequence[Sequence[float]]) -> Schedule:
    """A schedule as it is, or one number along the whole runner."""
    if isinstance(value, int | float):
        return ((0.0, float(value)), (1.0, float(value)))
    return tuple((float(place), float(number)) for place, number in value)


def _areas(port_mm2: float, mouth_mm2: float, first: float, last: float) -> Schedule:
    """The area along a runner: the port's through its lead, the mouth's through its own, a smooth step between."""
    share = np.linspace(0.0, 1.0, _SCHEDULE_POINTS)
    smooth = share * share * (3.0 - 2.0 * share)
    between = [
        (float(first + (last - first) * s), float(port_mm2 + (mouth_mm2 - port_mm2) * a))
        for s, a in zip(share, smooth, strict=True)
    ]
    return ((0.0, port_mm2), *between, (1.0, mouth_mm2))
