"""The courses of all runners and the pose of every plenum's face, found together."""

from dataclasses import replace


from tractwright.route.course.attempt import Attempt, attempt_from
from tractwright.route.course.binding import binding_of, freed_by, shortfalls_of
from tractwright.route.course.demands import Question, question
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.starts import starts_of
from tractwright.route.course.symmetry import ties_of
from tractwright.route.course.unknowns import frame_of
from tractwright.route.course.verify import courses_of

_ENOUGH = 2
"""Good courses to choose among."""
_STARTS = (7, 3, 2)
"""Starts tried under the strictest tie and the looser ones, besides the best found before."""
_CARRIED = 2
_MOST_EVALUATIONS = 1600
_STRETCHES, _SHORTEST_STRETCH = 8, 0.1


def solve_courses(problem: CourseProblem) -> CourseSolution:
    """The best courses found; never raises for want of space: what is missed is named.

    Work is bounded by counting evaluations, so the same problem gives the same courses anywhere.
    """
    asked = question(pack_problem(problem))
    tried = _searched(asked)
    best = min(tried, key=_rank)
    if best.verdict.sound and not best.verdict.feasible:
        tried += _stretched(asked, best)
        best = min(tried, key=_rank)
    return _solution(asked, best, tried)


def _rank(attempt: Attempt) -> tuple[int, float]:
    return attempt.rank


def _searched(asked: Question) -> list[Attempt]:
    """Attempts from the starts in turn, tie by tie, until enough are good or the work allowed is done."""
    starts = starts_of(asked)
    tried: list[Attempt] = []
    for tie, count in zip(ties_of(asked.packed, asked.bounds), _STARTS, strict=False):
        begin = [attempt.x for attempt in sorted(tried, key=_rank)[:_CARRIED]]
        begin += [start.x for start in starts[:count]]
        for x in begin:
            tried.append(attempt_from(asked, tie, x))
            good = sum(attempt.verdict.feasible for attempt in tried)
            if good >= _ENOUGH or _spent(tried) > _MOST_EVALUATIONS:
                return tried
        if any(attempt.verdict.feasible for attempt in tried):
            return tried
    return tried


def _stretched(asked: Question, best: Attempt) -> list[Attempt]:
    """From courses that meet all but the length: towards it step by step, each from the last."""
    wanted = asked.wish.length_mm
    step, tried = 0.5, [best]
    for _ in range(_STRETCHES):
        reached = tried[-1].verdict.sight.place.length
        aim = replace(asked.wish, length_mm=reached + step * (wanted - reached))
        new = attempt_from(replace(asked, wish=aim), tried[-1].tie, tried[-1].x, rounds=2)
        if new.verdict.sound and new.verdict.length_error < tried[-1].verdict.length_error - 1e-4:
            tried.append(new)
            step = 1.0
        else:
            step /= 2.0
        if tried[-1].verdict.feasible or step < _SHORTEST_STRETCH:
            break
    return tried[1:]


def _spent(tried: list[Attempt]) -> int:
    return sum(attempt.evaluations for attempt in tried)


def _solution(asked: Question, best: Attempt, tried: list[Attempt]) -> CourseSolution:
    packed, sight = asked.packed, best.verdict.sight
    names = [face.name for face in packed.faces]
    binding = binding_of(asked, best)
    freed, more = ((), 0) if best.verdict.feasible else freed_by(asked, best, tuple(name for name, _ in binding))
    return CourseSolution(
        courses=courses_of(best.verdict),
        frames={name: frame_of(packed, sight.place, f) for f, name in enumerate(names)},
        pitches_mm={name: float(sight.place.pitch[f]) for f, name in enumerate(names)},
        feasible=best.verdict.feasible,
        shortfalls=shortfalls_of(packed, best.verdict),
        binding=binding,
        starts_tried=len(tried),
        evaluations=_spent(tried) + more,
        freed_by=freed,
    )
