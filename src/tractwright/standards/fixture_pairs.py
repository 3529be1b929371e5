"""A hole that later passes a screw may first carry a larger thread that holds the work: which pairs go together. mm."""

from dataclasses import dataclass
from typing import Literal

from tractwright.standards.holes import clearance_hole
from tractwright.standards.threads import Thread, thread, threads

LEAST_CLEARANCE_MM = 0.1
"""Less play on the diameter than this does not count as passing (0.004 in). Source key: shop_judgement."""

Verdict = Literal["no", "marginal", "fine", "medium", "coarse"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FixturePair:
    """A screw through a fixture thread, clearances on the diameter [mm].

    least_mm : largest screw in the smallest 6H or 2B minor diameter; at_drill_mm : nominal screw in the tap drill's hole;
    most_mm : nominal screw in the largest minor diameter.
    verdict : 'no' does not pass; 'marginal' passes with less than a fine clearance hole's play; else the clearance hole the
    tap drill's hole comes up to.
    mouth_mm : the thread's major diameter, where the head's seat begins once the fixture thread is cut.
    """

    screw: str
    fixture: str
    least_mm: float
    at_drill_mm: float
    most_mm: float
    verdict: Verdict
    mouth_mm: float


def fixture_pair(screw: str, fixture: str) -> FixturePair:
    """A screw ('M6') through a fixture thread ('M8x1.25'). Raises TableError for a thread or hole not held."""
    inner, outer = thread(screw), thread(fixture)
    least = outer.hole_minor_min_mm - inner.screw_major_max_mm
    return FixturePair(
        screw=inner.designation,
        fixture=outer.designation,
        least_mm=least,
        at_drill_mm=outer.tap_drill_mm - inner.major_mm,
        most_mm=outer.hole_minor_max_mm - inner.major_mm,
        verdict=_verdict(inner, outer, least),
        mouth_mm=outer.major_mm,
    )


def fixture_threads_for(screw: str) -> tuple[FixturePair, ...]:
    """Every fixture thread a screw passes through with at least a fine hole's play, tightest first."""
    inner = thread(screw)
    pairs = [fixture_pair(screw, item.designation) for item in threads() if item.major_mm > inner.major_mm]
    return tuple(sorted((p for p in pairs if p.verdict not in ("no", "marginal")), key=lambda pair: pair.least_mm))


def _verdict(inner: Thread, outer: Thread, least: float) -> Verdict:
    hole, drill = clearance_hole(inner.designation), round(outer.tap_drill_mm, 4)
    if least < LEAST_CLEARANCE_MM:
        return "no"
    if drill >= hole.coarse_mm:
        return "coarse"
    if drill >= hole.medium_mm:
        return "medium"
    return "fine" if drill >= hole.fine_mm else "marginal"
