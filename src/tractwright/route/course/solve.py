"""The courses of all runners and the pose of every plenum's face, found together."""

from dataclasses import dataclass, replace

from tractwright.geometry.frames import Array
from tractwright.route.course.attempt import Attempt, attempt_from
from tractwright.route.course.binding import binding_of, freed_by, shortfalls_of
from tractwright.route.course.demands import Question, question
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.search import approach
from tractwright.route.course.starts import starts_of
from tractwright.route.course.symmetry import Tie, ties_of
from tractwright.route.course.unknowns import frame_of
from tractwright.route.course.verify import courses_of

_ENOUGH = 2
"""Good courses to choose among."""
_CARRIED = 2
"""Best attempts under a strict tie from which a looser one begins."""
_MOST_EVALUATIONS = 1500
_STRETCHES, _SHORTEST_STRETCH = 5, 0.1


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """How hard a tie is tried: batches of starts, starts a batch, how many of a batch are finished."""

    batches: int
    size: int
    finished: int


_PLANS = (
    _Plan(batches=4, size=6, finished=2),
    _Plan(batches=1, size=6, finished=2),
    _Plan(batches=1, size=4, finished=1),
)


def _searched(asked: Question) -> list[Attempt]:
    """Attempts tie by tie, strictest first, until enough are good or the work allowed is done."""
    starts = [start.x for start in starts_of(asked)]
    ties = ties_of(asked.packed, asked.bounds)
    tried: list[Attempt] = []
    for tie, plan in zip(ties, _PLANS if len(ties) > 1 else _PLANS[:1], strict=False):
        for x in [attempt.x for attempt in sorted(tried, key=_rank)[:_CARRIED]]:
            if not _enough(tried):
                tried.append(attempt_from(asked, tie, x))
        for batch in range(plan.batches):
            if _enough(tried):
                return tried
            tried += _finished(asked, tie, starts[batch * plan.size : (batch + 1) * plan.size], plan.finished)
        if _good(tried):
            return tried
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


def _enough(tried: list[Attempt]) -> bool:
    return _good(tried) >= _ENOUGH or _spent(tried) > _MOST_EVALUATIONS


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
