"""The courses of all runners and the pose of every plenum's face, found together."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.route.course.attempt import Attempt, attempt_from, kept_from
from tractwright.route.course.binding import binding_of, shortfalls_of
from tractwright.route.course.demands import Question, question, settled_at
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.placing import finds_room
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.search import approach
from tractwright.route.course.starts import starts_of
from tractwright.route.course.symmetry import Tie, aslant_tie, ties_of
from tractwright.route.course.unknowns import frame_of, size_of
from tractwright.route.course.verify import courses_of

_ENOUGH = 2
"""Good courses to choose among."""
_CARRIED = 2
"""Best attempts under a strict tie from which a looser one begins."""
_SHORTER = (0.6, 0.4, 0.8)
"""Shares of the wanted length at which courses are sought when none is found at the whole."""
_ASIDE = (-0.25, 0.25, -0.45, 0.45)
"""How far along the row plenums are drawn where runners are sought that leave their planes, as shares of the length."""
_SHORTEST_STRETCH, _WORTH = 0.1, 0.2
"""Share of the way to the wanted length below which no step is tried; share of a step that has to be gained by it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How hard a tie is tried: batches of starts, starts a batch, how many of a batch are finished."""

    batches: int
    size: int
    finished: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard courses are sought: a plan a tie, strictest first; evaluations after which no further batch is begun;
    shares of the wanted length that are tried when nothing is found at the whole; steps towards it from courses that miss
    nothing else; how hard courses all aslant are sought when not even those get there.
    """

    plans: tuple[Plan, ...]
    evaluations: int
    shorter: tuple[float, ...]
    stretches: int
    aslant: Plan


NOT_AT_ALL = Plan(batches=0, size=0, finished=0)
WHOLE = Effort(
    plans=(
        Plan(batches=4, size=6, finished=2),
        Plan(batches=1, size=6, finished=2),
        Plan(batches=1, size=6, finished=2),
        Plan(batches=1, size=4, finished=1),
    ),
    evaluations=1500,
    shorter=_SHORTER,
    stretches=7,
    aslant=Plan(batches=2, size=12, finished=3),
)
"""Before anything is refused."""
QUICK = Effort(
    plans=(Plan(batches=1, size=6, finished=2), Plan(batches=1, size=4, finished=1)),
    evaluations=600,
    shorter=(),
    stretches=4,
    aslant=NOT_AT_ALL,
)
"""Where it costs little to be wrong."""
NO_COURSES: tuple[float, ...] = ()
"""Where no courses of a like problem are known."""
STAY = Effort(plans=(), evaluations=0, shorter=(), stretches=2, aslant=NOT_AT_ALL)
"""Only from courses that are known."""


def solve_courses(problem: CourseProblem, near: Sequence[float] = NO_COURSES, effort: Effort = WHOLE) -> CourseSolution:
    """The best courses found; never raises for want of space: what is missed is named.

    near : unknowns of courses found for a like problem: if those will do they stay, or as little of them is changed as
    does. Work is bounded by counting evaluations, so the same problem gives the same courses anywhere.
    """
    asked = question(pack_problem(problem))
    tried = _from_near(asked, near)
    if not _good(tried):
        tried += _searched(asked, effort)
    if effort.shorter and not any(attempt.verdict.sound for attempt in tried) and finds_room(asked.packed):
        tried += _shorter(asked, effort)
    best = min(tried, key=_rank)
    if best.verdict.sound and not best.verdict.feasible:
        tried += _stretched(asked, best, effort.stretches)
    if not _good(tried):
        tried += _aslant(asked, effort.aslant)
    return _solution(asked, min(tried, key=_rank), tried)


def _rank(attempt: Attempt) -> tuple[int, float]:
    return attempt.rank


def _from_near(asked: Question, near: Sequence[float]) -> list[Attempt]:
    """What comes of courses that were good for a like problem, under the strictest tie they keep to and the next looser."""
    if len(near) != size_of(asked.packed):
        return []
    x = np.clip(np.array(near), asked.bounds.low, asked.bounds.high)
    ties = [tie for tie in ties_of(asked.packed, asked.bounds) if tie.holds(x)]
    tried: list[Attempt] = []
    for tie in ties[:2]:
        tried.append(kept_from(asked, tie, x))
        if tried[-1].verdict.feasible:
            break
    return tried


def _searched(asked: Question, effort: Effort) -> list[Attempt]:
    """Attempts tie by tie, strictest first, until enough are good or the work allowed is done."""
    starts = [start.x for start in starts_of(asked)]
    ties = ties_of(asked.packed, asked.bounds)
    tried: list[Attempt] = []
    for tie, plan in zip(ties, effort.plans if len(ties) > 1 else effort.plans[:1], strict=False):
        for x in [attempt.x for attempt in sorted(tried, key=_rank)[:_CARRIED]]:
            if not _enough(tried, effort):
                tried.append(attempt_from(asked, tie, x))
        for batch in range(plan.batches):
            if _enough(tried, effort):
                return tried
            tried += _finished(asked, tie, starts[batch * plan.size : (batch + 1) * plan.size], plan.finished)
        if _good(tried):
            return tried
    return tried


def _aslant(asked: Question, plan: Plan) -> list[Attempt]:
    """Where a row of like ports stands before too little depth and height, the length lies along the row: runners all aslant
    to a plenum further along it. From courses in their planes no search gets there: to either side is as good.
    """
    tie, tried = aslant_tie(asked.packed, asked.bounds), list[Attempt]()
    if tie is None or not plan.batches:
        return tried
    starts = [start.x for start in starts_of(asked, _ASIDE)]
    for batch in range(plan.batches):
        tried += _finished(asked, tie, starts[batch * plan.size : (batch + 1) * plan.size], plan.finished)
        if _good(tried):
            break
    return tried


def _finished(asked: Question, tie: Tie, starts: list[Array], most: int) -> list[Attempt]:
    """A short search from each start, then whole attempts from the most promising."""
    tasted = [approach(asked, tie, tie.drawn_together(x), rounds=2, steps=8) for x in starts]
    tasted.sort(key=lambda found: found.promise)
    spent = sum(found.evaluations for found in tasted)
    tried: list[Attempt] = []
    for found in tasted[:most]:
        attempt = attempt_from(asked, tie, found.answer.x)
        tried.append(replace(attempt, evaluations=attempt.evaluations + spent))
        spent = 0
    return tried


def _good(tried: list[Attempt]) -> int:
    return sum(attempt.verdict.feasible for attempt in tried)


def _enough(tried: list[Attempt], effort: Effort) -> bool:
    return _good(tried) >= _ENOUGH or _spent(tried) > effort.evaluations


def _shorter(asked: Question, effort: Effort) -> list[Attempt]:
    """Courses that meet all but the length, sought at shorter lengths; the first that are found."""
    tried: list[Attempt] = []
    for share in effort.shorter:
        aim = replace(asked.wish, length_mm=asked.wish.length_mm * share)
        tried += _searched(replace(asked, wish=aim), QUICK)
        if any(attempt.verdict.sound for attempt in tried):
            break
    return tried


def _stretched(asked: Question, best: Attempt, most: int) -> list[Attempt]:
    """From courses that meet all but the length: towards it step by step, each from the last."""
    wanted = asked.wish.length_mm
    step, tried = 0.5, [best]
    for _ in range(most):
        reached = tried[-1].verdict.sight.place.length
        aim = replace(asked.wish, length_mm=reached + step * (wanted - reached))
        new = attempt_from(replace(asked, wish=aim), tried[-1].tie, tried[-1].x, rounds=2)
        gained = (tried[-1].verdict.length_error - new.verdict.length_error) / tried[-1].verdict.length_error
        if new.verdict.sound and gained > 0.0:
            tried.append(new)
        step = min(1.0, 2.0 * step) if new.verdict.sound and gained > _WORTH * step else step / 2.0
        if tried[-1].verdict.feasible or step < _SHORTEST_STRETCH:
            break
    return tried[1:]


def _spent(tried: list[Attempt]) -> int:
    return sum(attempt.evaluations for attempt in tried)


def _solution(asked: Question, best: Attempt, tried: list[Attempt]) -> CourseSolution:
    packed, sight = asked.packed, best.verdict.sight
    names = [face.name for face in packed.faces]
    return CourseSolution(
        courses=courses_of(best.verdict),
        frames={name: frame_of(packed, sight.place, f) for f, name in enumerate(names)},
        pitches_mm={name: float(sight.place.pitch[f]) for f, name in enumerate(names)},
        feasible=best.verdict.feasible,
        sound=best.verdict.sound,
        shortfalls=shortfalls_of(packed, best.verdict),
        binding=() if best.verdict.feasible else binding_of(settled_at(asked, best.x), best),
        starts_tried=len(tried),
        evaluations=_spent(tried),
        unknowns=tuple(float(value) for value in best.x),
    )
