"""One attempt at the courses: search from somewhere, polish, verify densely, tighten what was missed by a little."""

from dataclasses import dataclass, replace

from tractwright.geometry.frames import Array
from tractwright.route.course.demands import Question, settled_at
from tractwright.route.course.rows import ROW_MM, Strictness
from tractwright.route.course.search import Found, approach, polish
from tractwright.route.course.symmetry import Tie
from tractwright.route.course.verify import Verdict, verdict_of

_HOPELESS = -3.0
_TIGHTENINGS, _LITTLE = 3, 0.3
_FEW_STEPS = 25
_MET = 0.02
"""Rows missed by more where they were searched for are not met by asking for more between them."""


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
        """Feasible before sound before the rest; sound ones by the length they miss; then by cost."""
        if self.verdict.feasible:
            return 0, self.cost
        return (1, self.verdict.length_error) if self.verdict.sound else (2, self.cost)


def attempt_from(asked: Question, tie: Tie, x: Array, rounds: int = 4) -> Attempt:
    """Search from x, polish, verify; demands that the dense look finds missed a little are tightened and met again."""
    found = approach(asked, tie, tie.drawn_together(x), rounds=rounds)
    spent = found.evaluations
    asked = settled_at(asked, found.answer.x)
    if found.worst > _HOPELESS:
        found = polish(asked, tie, found.y)
        spent += found.evaluations
    return _verified(asked, tie, found, spent)


def kept_from(asked: Question, tie: Tie, x: Array) -> Attempt:
    """From courses that were good for a like problem: as they are if they still are, else polished, else searched from."""
    verdict = verdict_of(asked, x)
    if verdict.feasible:
        return Attempt(x=x, tie=tie, verdict=verdict, cost=0.0, evaluations=1)
    sized = settled_at(asked, x)
    found = polish(sized, tie, tie.drawn_together(x), steps=_FEW_STEPS)
    attempt = _verified(sized, tie, found, found.evaluations)
    return attempt if attempt.verdict.feasible else attempt_from(asked, tie, attempt.x, rounds=2)


def _verified(asked: Question, tie: Tie, found: Found, spent: int) -> Attempt:
    strict = asked.strict
    verdict = verdict_of(asked, found.answer.x)
    for _ in range(_TIGHTENINGS):
        if verdict.sound or found.worst < -_MET or max(verdict.missed.values()) > _LITTLE:
            break
        strict = _tightened(strict, verdict)
        found = polish(replace(settled_at(asked, found.answer.x), strict=strict), tie, found.y)
        spent += found.evaluations
        verdict = verdict_of(asked, found.answer.x)
    cost = _cost(found, verdict)
    return Attempt(x=found.answer.x, tie=tie, verdict=verdict, cost=cost, evaluations=spent)


def _tightened(strict: Strictness, verdict: Verdict) -> Strictness:
    extra = dict(strict.extra)
    for kind, miss in verdict.missed.items():
        extra[kind] = extra.get(kind, 0.0) + 1.2 * miss * ROW_MM
    return replace(strict, extra=extra)


def _cost(found: Found, verdict: Verdict) -> float:
    """The aim, and what is missed made to weigh more than any aim."""
    return found.answer.aim.value + 100.0 * sum(verdict.missed.values())
