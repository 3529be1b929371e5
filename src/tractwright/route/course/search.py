"""From a start to courses that meet the demands: augmented Lagrangian with Gauss-Newton steps, then a closing polish.

Augmented Lagrangian: Nocedal, Wright (2006), Numerical Optimization, ch. 17 (memory). The polish is SLSQP (scipy) on the
rows that are near their limit, repeated while others turn up.
"""

from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from tractwright.geometry.frames import Array
from tractwright.route.course.demands import Answer, Question, ask
from tractwright.route.course.packed import Mask
from tractwright.route.course.symmetry import Tie

_FIRST_PENALTY, _PENALTY_GROWTH, _MOST_PENALTY = 20.0, 4.0, 2e4
_LONGEST_STEP = 1.0
_SLIGHT = 0.1
_POLISH_ROUNDS, _NEAR, _MOST_POLISH = 3, 0.15, 150
_MISS_WEIGHT = 1e3
"""What is missed, in a row's unit, weighs more than any aim."""
_SOFTEST, _BOUND_NEAR = 1e-2, 1.5


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Found:
    """Free unknowns y, the answer there, worst row (negative: not met), evaluations spent."""

    y: Array
    answer: Answer
    worst: float
    evaluations: int

    @property
    def promise(self) -> float:
        """Small where the aim is small; what is missed by more than a millimetre weighs more than any aim."""
        return self.answer.aim.value + 1e3 * max(0.0, -self.worst - _SLIGHT)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _View:
    """An answer in the free unknowns: aim with slope and curvature, asked rows with slopes."""

    answer: Answer
    value: float
    slope: Array
    curvature: Array
    rows: Array
    row_slopes: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Push:
    """Multipliers of the rows and the penalty."""

    multiplier: Array
    penalty: float

    def merit(self, view: _View) -> float:
        pull = np.maximum(0.0, self.multiplier - self.penalty * view.rows)
        return view.value + float(pull @ pull) / (2.0 * self.penalty)


def limits(asked: Question, tie: Tie) -> tuple[Array, Array]:
    """Least and largest free unknowns."""
    leader = tie.member[:, 0]
    return asked.bounds.low[leader], asked.bounds.high[leader]


def look(asked: Question, tie: Tie, y: Array) -> _View:
    """The answer at free unknowns y."""
    answer = ask(asked, tie.widened(y))
    mask = tie.asked(answer.rows)
    return _View(
        answer=answer,
        value=answer.aim.value,
        slope=tie.narrowed(answer.aim.slope),
        curvature=tie.narrowed(tie.narrowed(answer.aim.curvature).T),
        rows=answer.rows.value[mask],
        row_slopes=tie.narrowed(answer.rows.slope[mask]),
    )


def approach(asked: Question, tie: Tie, y: Array, rounds: int = 4, steps: int = 15) -> Found:
    """Augmented Lagrangian rounds of Gauss-Newton steps from y."""
    low, high = limits(asked, tie)
    view = look(asked, tie, np.clip(y, low, high))
    y, spent = np.clip(y, low, high), 1
    push = _Push(multiplier=np.zeros(len(view.rows)), penalty=_FIRST_PENALTY)
    for _ in range(rounds):
        y, view, more = _descend(asked, tie, (y, view), push, steps)
        spent += more
        push = _Push(
            multiplier=np.maximum(0.0, push.multiplier - push.penalty * view.rows),
            penalty=min(push.penalty * _PENALTY_GROWTH, _MOST_PENALTY),
        )
    return Found(y=y, answer=view.answer, worst=float(view.rows.min()), evaluations=spent)


def _descend(asked: Question, tie: Tie, at: tuple[Array, _View], push: _Push, steps: int) -> tuple[Array, _View, int]:
    """Gauss-Newton steps on the augmented Lagrangian inside the limits."""
    low, high = limits(asked, tie)
    (y, view), spent, damping = at, 0, 1e-3
    merit = push.merit(view)
    for _ in range(steps):
        slope, square = _model(view, push)
        held = ((y <= low + 1e-9) & (slope > 0)) | ((y >= high - 1e-9) & (slope < 0))
        before = merit
        for _ in range(8):
            tried = np.clip(y + _step(slope, square, ~held, damping), low, high)
            new = look(asked, tie, tried)
            spent += 1
            if push.merit(new) < merit - 1e-12:
                y, view, merit = tried, new, push.merit(new)
                damping = max(damping / 4.0, 1e-7)
                break
            damping = min(damping * 5.0, 1e3)
        if before - merit < 1e-5 * (1.0 + abs(merit)):
            break
    return y, view, spent


def _model(view: _View, push: _Push) -> tuple[Array, Array]:
    pull = np.maximum(0.0, push.multiplier - push.penalty * view.rows)
    active = view.row_slopes[pull > 0]
    return view.slope - pull @ view.row_slopes, view.curvature + push.penalty * active.T @ active


def _step(slope: Array, square: Array, loose: Mask, damping: float) -> Array:
    inner = square[np.ix_(loose, loose)]
    damped = inner + damping * (1.0 + float(np.diag(inner).mean())) * np.eye(len(inner))
    step = np.zeros(len(slope))
    step[loose] = -np.linalg.solve(damped, slope[loose])
    return step * min(1.0, _LONGEST_STEP / max(float(np.abs(step).max()), 1e-12))


def polish(asked: Question, tie: Tie, y: Array, steps: int = 80) -> Found:
    """SLSQP from y on the rows near their limit; rows that turn up violated join and it goes on.

    It works in unknowns in which the aim's curvature is the unit matrix, which is what the method begins with.
    """
    low, high = limits(asked, tie)
    seen = _Seen(asked, tie)
    y = np.clip(y, low, high)
    near = _near(seen.at(y))
    with suppress(_EnoughError):
        for _ in range(_POLISH_ROUNDS):
            y = np.clip(_minimised(seen, y, near, steps), low, high)
            view = seen.at(y)
            missed = (view.rows < -1e-4) & ~near
            if not missed.any():
                break
            near = near | missed | _near(view)
    y, view = seen.best
    return Found(y=y, answer=view.answer, worst=float(view.rows.min()), evaluations=seen.spent)


def _near(view: _View) -> Mask:
    return view.rows < np.linalg.norm(view.row_slopes, axis=1) * _NEAR + 0.05


def _minimised(seen: "_Seen", y: Array, near: Mask, steps: int) -> Array:
    """One run of the minimiser on chosen rows."""
    low, high = seen.limits
    curvature = seen.at(y).curvature
    ridge = _SOFTEST + 1e-9 * float(np.diag(curvature).max())
    stiff = np.linalg.cholesky(curvature + ridge * np.eye(len(y)))
    back: Array = np.linalg.inv(stiff.T).astype(np.float64)
    at_low, at_high = y - low < _BOUND_NEAR, high - y < _BOUND_NEAR

    def rows(z: Array) -> Array:
        v = y + back @ z
        return np.concatenate([seen.at(v).rows[near], (v - low)[at_low], (high - v)[at_high]])

    def row_slopes(z: Array) -> Array:
        return np.concatenate([seen.at(y + back @ z).row_slopes[near] @ back, back[at_low], -back[at_high]])

    result = minimize(
        lambda z: seen.at(y + back @ z).value,
        np.zeros(len(y)),
        jac=lambda z: seen.at(y + back @ z).slope @ back,
        constraints={"type": "ineq", "fun": rows, "jac": row_slopes},
        method="SLSQP",
        options={"maxiter": steps, "ftol": 1e-5},
    )
    return y + back @ result.x


class _EnoughError(Exception):
    """The evaluations a polish may take are spent."""


class _Seen:
    """The last view, for a minimiser that asks for value, slope and rows one by one, and the best; counts evaluations."""

    def __init__(self, asked: Question, tie: Tie) -> None:
        self._asked, self._tie = asked, tie
        self.limits = limits(asked, tie)
        self._y: Array | None = None
        self._view: _View | None = None
        self._best: tuple[float, Array, _View] | None = None
        self.spent = 0

    @property
    def best(self) -> tuple[Array, _View]:
        """Where least was missed, and among those that miss nothing, where the aim was smallest."""
        if self._best is None:
            raise _EnoughError
        return self._best[1], self._best[2]

    def at(self, y: Array) -> _View:
        if self._view is None or self._y is None or not np.array_equal(self._y, y):
            if self.spent >= _MOST_POLISH:
                raise _EnoughError
            self._y, self._view = y.copy(), look(self._asked, self._tie, y)
            self.spent += 1
            self._remember(self._y, self._view)
        return self._view

    def _remember(self, y: Array, view: _View) -> None:
        low, high = self.limits
        if (y < low - 1e-9).any() or (y > high + 1e-9).any():
            return
        cost = view.value + _MISS_WEIGHT * max(0.0, -float(view.rows.min()) - 1e-4)
        if self._best is None or cost < self._best[0]:
            self._best = cost, y, view
