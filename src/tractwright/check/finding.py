"""What a rule finds, and what would put it right."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, Self

from tractwright.check.case import Case
from tractwright.geometry.frames import Vec3

Verdict = Literal["stop", "look", "ok", "unknown"]
BitesAt = Literal["pattern", "air", "fit", "join", "seal", "wall", "cut", "hold", "price"]
BITES_IN_ORDER: tuple[BitesAt, ...] = ("pattern", "air", "fit", "join", "seal", "wall", "cut", "hold", "price")
Needs = Literal["description", "air", "solids", "making"]


_IN_ORDER = "In order."


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A number of the description to change: its path, the value that puts it right, and why in a few words."""

    path: str
    value: float | str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a rule measured of one subject. Give `at_least` or `at_most`; `measured` None says it cannot be known yet.

    subject : a path in the description ('runner.r3') or a sorted pair ('runner.r3+screw.head.s4').
    message : what a machinist should do, one line; the figures are added by whoever prints it.
    """

    subject: str
    measured: float | None
    unit: str
    message: str
    at_least: float | None = None
    at_most: float | None = None
    broken: Literal["stop", "look"] = "stop"
    at_mm: Vec3 | None = None
    fix: Fix | None = None

    @property
    def limit(self) -> float:
        """The limit, whichever side it is on."""
        return self.at_least if self.at_least is not None else self.at_most if self.at_most is not None else 0.0

    @property
    def slack(self) -> float:
        """How far inside the limit, in the reading's unit; negative is broken."""
        if self.measured is None:
            return 0.0
        return self.measured - self.limit if self.at_least is not None else self.limit - self.measured

    @property
    def verdict(self) -> Verdict:
        """Ok at the limit, broken just over it; a hair of rounding is forgiven."""
        if self.measured is None:
            return "unknown"
        return "ok" if self.slack >= -1e-6 * max(1.0, abs(self.limit)) else self.broken


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One question asked of a manifold. `judge` yields a Reading for each subject; the texts make docs/rules.md."""

    id: str
    question: str
    limit: str
    cure: str
    bites_at: BitesAt
    needs: Needs
    source: str
    judge: Callable[[Case], Iterator[Reading]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A reading with the rule it belongs to. margin : slack as a share of the limit (of 1 where the limit is 0).

    message : of a reading that holds only that it is in order.
    """

    id: str
    rule: str
    subject: str
    at_mm: Vec3 | None
    measured: float | None
    limit: float
    unit: str
    margin: float
    verdict: Verdict
    bites_at: BitesAt
    message: str
    source: str
    fix: Fix | None

    @classmethod
    def of(cls, rule: Rule, reading: Reading) -> Self:
        """The finding a reading amounts to."""
        verdict = reading.verdict
        return cls(
            id=f"{rule.id}:{reading.subject}",
            rule=rule.id,
            subject=reading.subject,
            at_mm=reading.at_mm,
            measured=reading.measured,
            limit=reading.limit,
            unit=reading.unit,
            margin=reading.slack / (abs(reading.limit) or 1.0),
            verdict=verdict,
            bites_at=rule.bites_at,
            message=_IN_ORDER if verdict == "ok" else reading.message,
            source=rule.source,
            fix=reading.fix if verdict in ("stop", "look") else None,
        )
