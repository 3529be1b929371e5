"""The courses of all runners and the pose of every plenum's face, found together."""

from dataclasses import dataclass, replace

from tractwright.geometry.frames import Array
from tractwright.route.course.demands import Question, question
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.rows import ROW_MM, Strictness
from tractwright.route.course.search import Found, approach, polish
from tractwright.route.course.starts import starts_of
from tractwright.route.course.symmetry import Tie, ties_of
from tractwright.route.course.unknowns import frame_of
from tractwright.route.course.verify import Verdict, courses_of, verdict_of

_ENOUGH = 2
"""Good courses to choose among."""
_MOST_STARTS = 7
_MOST_EVALUATIONS = 2500
_HOPELESS = -3.0
_TIGHTENINGS = 3


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Attempt:
    """One searched and verified set of courses: scaled unknowns x, how tied, what it costs, evaluations spent."""

    x: Array
    tie: Tie
    verdict: Verdict
    cost: float
    evaluations: int

    @property
    def rank(self) -> tuple[int, float]:
        """Feasible before sound before the rest; then by cost."""
        return (0 if self.verdict.feasible else 1 if self.verdict.sound else 2, self.cost)


def solve_courses(problem: CourseProblem) -> CourseSolution:
    """The best courses found; never raises for want of space: what is missed is named."""
    asked = question(pack_problem(problem))
    tried = _from_starts(asked)
    best = min(tried, key=lambda attempt: attempt.rank)
    return _solution(asked, best, tried)


def _from_starts(asked: Question) -> list[Attempt]:
    """Attempts from the starts in turn until enough are good or the work allowed is done."""
    tie = ties_of(asked.packed, asked.bounds)[0]
    tried: list[Attempt] = []
    for start in starts_of(asked)[:_MOST_STARTS]:
        tried.append(attempt_from(asked, tie, start.x))
        good = sum(attempt.verdict.feasible for attempt in tried)
        if good >= _ENOUGH or _spent(tried) > _MOST_EVALUATIONS:
            break
    return tried


def attempt_from(asked: Question, tie: Tie, x: Array, rounds: int = 4) -> Attempt:
    """Search from x, polish, verify; demands that the dense look finds missed a little are tightened and met again."""
    found = approach(asked, tie, tie.drawn_together(x), rounds=rounds)
    spent = found.evaluations
    if found.worst > _HOPELESS:
        found = polish(asked, tie, found.y)
        spent += found.evaluations
    strict = asked.strict
    verdict = verdict_of(asked, found.answer.x)
    for _ in range(_TIGHTENINGS):
        if verdict.sound or max(verdict.missed.values()) > 0.3:
            break
        strict = _tightened(strict, verdict)
        found = polish(replace(asked, strict=strict), tie, found.y)
        spent += found.evaluations
        verdict = verdict_of(asked, found.answer.x)
    return Attempt(x=found.answer.x, tie=tie, verdict=verdict, cost=_cost(found, verdict), evaluations=spent)


def _tightened(strict: Strictness, verdict: Verdict) -> Strictness:
    extra = dict(strict.extra)
    for kind, miss in verdict.missed.items():
        extra[kind] = extra.get(kind, 0.0) + 1.2 * miss * ROW_MM
    return replace(strict, extra=extra)


def _cost(found: Found, verdict: Verdict) -> float:
    """The aim, and what is missed made to weigh more than any aim."""
    return found.answer.aim.value + 100.0 * sum(verdict.missed.values())


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
        shortfalls=(),
        binding=(),
        starts_tried=len(tried),
        evaluations=_spent(tried),
    )
