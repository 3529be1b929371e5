"""Peaks of a torque curve, and the length that puts a strong one where it is wanted. Filling has several: never the
highest alone is followed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
import numpy.typing as npt
from scipy.interpolate import CubicSpline

Array = npt.NDArray[np.float64]

STRONG = 0.97  # a length counts when its peak at the wanted revs has this share of the best length's (judgement)
LEADING = 0.95  # a peak counts beside a higher one at other revs from this share of it on (judgement)
BAND = 0.03  # a peak this near the wanted revs stands there
SAME_PEAK = 0.15  # peaks of neighbouring lengths this close in revs (share of the wanted) are one and the same
FINE = 401


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """A local maximum of torque [N m] over revs."""

    rpm: float
    torque: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A length whose torque peaks at the wanted revs; leads : no other peak of that length is clearly higher."""

    length: float
    torque: float
    leads: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthChoice:
    """The length chosen, how, and every candidate by length; in the unit that was asked in."""

    length: float
    how: str
    candidates: tuple[Candidate, ...]


def torque_peaks(rpm: Array, torque: Array) -> tuple[Peak, ...]:
    """Local maxima inside the range, on a smooth curve through the points, by revs."""
    fine = np.linspace(rpm[0], rpm[-1], FINE)
    curve = CubicSpline(rpm, torque)(fine)
    tops = np.flatnonzero((curve[1:-1] > curve[:-2]) & (curve[1:-1] >= curve[2:])) + 1
    return tuple(Peak(rpm=float(fine[i]), torque=float(curve[i])) for i in tops)


def peak_nearest(rpm: Array, torque: Array, wanted_rpm: float) -> float:
    """Revs of the strong peak nearest the wanted; of the highest point where there is no strong peak."""
    strong = [peak for peak in torque_peaks(rpm, torque) if peak.torque >= LEADING * torque.max()]
    if not strong:
        return float(rpm[np.argmax(torque)])
    return min(strong, key=lambda peak: abs(peak.rpm - wanted_rpm)).rpm


def choose_length(lengths: Sequence[float], rpm: Array, torque: Array, wanted_rpm: float) -> LengthChoice:
    """The shortest length with a strong torque peak at the wanted revs.

    torque : (lengths, speeds) [N m]. Peaks move down in revs as the length grows: where one passes the wanted revs
    between two lengths there is a candidate; elsewhere a tried length with a peak within BAND of them.
    Lengths whose torque also peaks clearly higher elsewhere come second. With no candidate: the length with the most
    torque at the wanted revs.
    """
    candidates = _candidates(lengths, rpm, torque, wanted_rpm)
    strong = [one for one in candidates if one.torque >= STRONG * max(c.torque for c in candidates)]
    leading = [one for one in strong if one.leads]
    for found, how in (
        (leading, "the shortest that puts the torque peak there"),
        (strong, "the shortest that puts a torque peak there (a higher one stands at other revs)"),
    ):
        if found:
            return LengthChoice(length=found[0].length, how=how, candidates=candidates)
    at_wanted = np.array([float(CubicSpline(rpm, row)(wanted_rpm)) for row in torque])
    best = lengths[int(np.argmax(at_wanted))]
    return LengthChoice(
        length=best, how="no length puts a peak there: the most torque at those revs", candidates=candidates
    )


def _candidates(lengths: Sequence[float], rpm: Array, torque: Array, wanted_rpm: float) -> tuple[Candidate, ...]:
    """Lengths where a peak passes the wanted revs, and tried lengths with a peak close by, in order."""
    tops = [torque_peaks(rpm, row) for row in torque]
    highest = torque.max(axis=1)
    passing: list[Candidate] = []
    for i, (before, after) in enumerate(pairwise(tops)):
        for high, low in product(before, after):
            if low.rpm < wanted_rpm <= high.rpm and high.rpm - low.rpm < SAME_PEAK * wanted_rpm:
                share = (high.rpm - wanted_rpm) / max(high.rpm - low.rpm, 1e-9)
                height = high.torque + share * (low.torque - high.torque)
                tallest = highest[i] + share * (highest[i + 1] - highest[i])
                length = lengths[i] + share * (lengths[i + 1] - lengths[i])
                passing.append(_candidate(length, height, tallest))
    standing = [
        _candidate(length, peak.torque, tallest)
        for length, peaks, tallest in zip(lengths, tops, highest, strict=True)
        for peak in peaks
        if abs(peak.rpm / wanted_rpm - 1.0) < BAND
    ]
    spacing = max(b - a for a, b in pairwise(lengths))
    apart = [one for one in standing if all(abs(one.length - other.length) > spacing for other in passing)]
    return tuple(sorted(passing + apart, key=lambda one: one.length))


def _candidate(length: float, torque: float, tallest: float) -> Candidate:
    return Candidate(length=float(length), torque=float(torque), leads=bool(torque >= LEADING * tallest))
