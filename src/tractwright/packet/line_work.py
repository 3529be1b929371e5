"""What a runner is drawn on by, away from any file's form: its centreline, its ends with their planes, its sections."""

from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.design.mouths import mouth_in
from tractwright.design.records import Runner
from tractwright.design.tube import runner_ports, tube_at
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.frames import Array, Frame, frame_from_normal
from tractwright.packet.drawing.face import port_contour

SECTIONS = 9
"""Sections a runner, evenly spread, its two ends among them."""

_AROUND = 48


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class End:
    """An end of a passage. frame : z along the passage, away from the head; outlines : contours in the x-y of
    `plane`, the face the passage opens in; area_mm2 of them together.
    """

    name: str
    frame: Frame
    plane: Frame
    outlines: tuple[Contour, ...]
    area_mm2: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class LineWork:
    """A runner's lines. start_mm, poles_mm (n, 3), end_mm : a straight line, the B-spline, a straight line;
    sections : (station [mm], points (m, 3)); meeting : the section where the two cuts meet, None where they do not or it
    is not known.
    """

    runner: str
    start_mm: Array
    poles_mm: Array
    end_mm: Array
    ends: tuple[End, End]
    sections: tuple[tuple[float, Array], ...]
    meeting: tuple[float, Array] | None


def lines_key(case: Case) -> tuple[object, ...]:
    """What the lines are known by: the description, and where the cuts meet."""
    return (case.design, tuple((p.runner, p.meeting_line_mm) for p in (case.plan.passages if case.plan else ())))


def line_work(case: Case) -> tuple[LineWork, ...]:
    """The lines of every runner, in the design's order."""
    return tuple(_lines(case, runner) for runner in case.design.runners)


def _lines(case: Case, runner: Runner) -> LineWork:
    model = case.tubes[runner.name]
    stations = np.linspace(0.0, float(model.s_mm[-1]), SECTIONS)
    passages = case.plan.passages if case.plan else ()
    met = next((p.meeting_line_mm for p in passages if p.runner == runner.name), None)
    cuts = tube_at(runner, case.design, stations if met is None else np.append(stations, met), _AROUND)
    named = [(float(s), points) for s, points in zip(cuts.s_mm, cuts.inner_mm, strict=True)]
    frames = [frame_from_normal(cuts.centre_mm[k], cuts.tangent[k], cuts.u[k]) for k in (0, SECTIONS - 1)]
    return LineWork(
        runner=runner.name,
        start_mm=cuts.centre_mm[0],
        poles_mm=np.array(runner.poles_mm),
        end_mm=cuts.centre_mm[SECTIONS - 1],
        ends=(_port_end(case, runner, frames[0]), _mouth_end(case, runner, frames[1])),
        sections=tuple(named[:SECTIONS]),
        meeting=None if met is None else named[-1],
    )


def _port_end(case: Case, runner: Runner, frame: Frame) -> End:
    plane = next(bank.frame for bank in case.design.banks if bank.name == runner.bank)
    outlines = tuple(port_contour(port) for port in runner_ports(runner, case.design))
    return End(name="port", frame=frame, plane=plane, outlines=outlines, area_mm2=sum(map(contour_area, outlines)))


def _mouth_end(case: Case, runner: Runner, frame: Frame) -> End:
    outline = mouth_in(runner, case.design, frame)
    return End(name="mouth", frame=frame, plane=frame, outlines=(outline,), area_mm2=contour_area(outline))
