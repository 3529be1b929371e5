"""Why the courses are as they are: what is missed, and which demands hold them where they are."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls

from tractwright.design.room import nearest
from tractwright.geometry.frames import Array
from tractwright.route.course.attempt import Attempt
from tractwright.route.course.demands import Question
from tractwright.route.course.demands_runner import LENGTH_ROW_MM, MOST_TURN, TURN_ROW, length_slack
from tractwright.route.course.packed import Packed
from tractwright.route.course.records import CourseProblem, Shortfall
from tractwright.route.course.rows import KINDS, ROW_MM, Rows
from tractwright.route.course.search import look
from tractwright.route.course.verify import Verdict

_ACTIVE = 0.03
_LEAST_SHARE = 0.02
_OF_ROOM = ("room", "plenum room")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Words:
    """How a missed row is told: unit, and the path of the number it is about."""

    unit: str
    path: str


_UNITS = {
    "bend radius": _Words(unit="times half size and wall", path="runner.{}.least_bend_radius_mm"),
    "total turn": _Words(unit="rad", path="runner.{}.turn_rad"),
    "equal length": _Words(unit="mm off the common length", path="runner.{}.length_mm"),
    "neighbour gap": _Words(unit="mm", path="runner.{}.neighbour_gap_mm"),
}
_OTHERS = _Words(unit="mm", path="runner.{}")


def shortfalls_of(packed: Packed, verdict: Verdict) -> tuple[Shortfall, ...]:
    """One for each kind of demand missed, about its worst place; last the length."""
    found: list[Shortfall] = []
    for kind in verdict.missed:
        at = int(np.argmin(np.where(verdict.rows.kind == KINDS.index(kind), verdict.rows.value, np.inf)))
        found.append(_shortfall(packed, verdict.rows, kind, at))
    wanted = packed.share * packed.problem.length_wanted_mm
    error = np.abs(verdict.sight.length / wanted - 1.0)
    worst = int(error.argmax())
    if error[worst] > packed.problem.length_tolerance:
        subject = f"runner.{packed.problem.runners[worst].name}.length_mm"
        reached = float(verdict.sight.length[worst])
        found.append(
            Shortfall(demand="length", subject=subject, wanted=float(wanted[worst]), reached=reached, unit="mm")
        )
    return tuple(found)


def _shortfall(packed: Packed, rows: Rows, kind: str, at: int) -> Shortfall:
    problem, value, subject = packed.problem, float(rows.value[at]), int(rows.subject[at])
    words = _UNITS.get(kind, _OTHERS)
    path = words.path.format(problem.runners[min(subject, len(problem.runners) - 1)].name)
    if kind in ("plenum room", "other plenum", "flange over keys"):
        path = f"plenum.{problem.faces[subject].name}"
    if kind == "bend radius":
        wanted, reached = problem.bend_factor, problem.bend_factor / (1.0 - value)
    elif kind == "total turn":
        wanted, reached = MOST_TURN, MOST_TURN - TURN_ROW * value
    elif kind == "equal length":
        wanted = float(length_slack(packed)[subject])
        reached = wanted - value * LENGTH_ROW_MM
    else:
        wanted = _wanted_mm(problem, kind)
        reached = wanted + value * ROW_MM
    demand = _named(packed, kind, rows.place[at])
    return Shortfall(demand=demand, subject=path, wanted=wanted, reached=reached, unit=words.unit)


def _wanted_mm(problem: CourseProblem, kind: str) -> float:
    if kind in (*_OF_ROOM, "head face"):
        return problem.clearance_mm
    return problem.gap_mm if kind in ("neighbour gap", "own plenum", "own skin", "other plenum") else 0.0


def _named(packed: Packed, kind: str, place: Array) -> str:
    """The kind of demand, with the name of the thing kept out where it is the room's."""
    if kind not in _OF_ROOM:
        return kind
    room = packed.free_room if kind == "room" else packed.whole_room
    return f"{kind}: {nearest(room, place[None])[0]}"


def binding_of(asked: Question, attempt: Attempt) -> tuple[tuple[str, float], ...]:
    """Demands that hold the courses, with their share of the whole pull (sum 1), heaviest first.

    The pull is the aim's slope, and where demands are missed the slope of what is missed; the shares are the
    non-negative least-squares multipliers of the rows at their limit that balance it.
    """
    view = look(asked, attempt.tie, attempt.tie.drawn_together(attempt.x))
    answer, mask = view.answer, attempt.tie.asked(view.answer.rows)
    active = view.rows < _ACTIVE
    if not active.any():
        return ()
    try:
        weight, _ = nnls(view.row_slopes[active].T, view.slope, maxiter=50 * len(view.slope))
    except RuntimeError:  # it ran out of rounds: nothing can be said about shares
        return ()
    weight = weight + 100.0 * np.maximum(0.0, -view.rows[active] - _ACTIVE)
    kinds, places = answer.rows.kind[mask][active], answer.rows.place[mask][active]
    pull: dict[str, float] = {}
    for kind, place, value in zip(kinds, places, weight, strict=True):
        name = _named(asked.packed, KINDS[kind], place)
        pull[name] = pull.get(name, 0.0) + float(value)
    total = sum(pull.values())
    shares = [(name, value / total) for name, value in pull.items() if total > 0 and value > _LEAST_SHARE * total]
    return tuple(sorted(shares, key=lambda pair: (-pair[1], pair[0])))
