"""Peaks of a torque curve, and the length that puts a strong one where it is wanted. Filling has several: never the
highest alone is followed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy.interpolate import CubicSpline

Array = npt.NDArray[np.float64]

STRONG = 0.97  # a peak counts with this share of the best one, or more (judgement)
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
    strong = [peak for peak in torque_peaks(rpm, torque) if peak.torque >= STRONG * torque.max()]
    if not strong:
        return float(rpm[np.argmax(torque)])
    return min(strong, key=lambda peak: abs(peak.rpm - wanted_rpm)).rpm


def choose_length(lengths: Sequence[float], rpm: Array, torque: Array, wanted_rpm: float) -> LengthChoice:
    """The shortest length with a strong torque peak at the wanted revs.

    torque : (lengths, speeds) [N m]. Peaks move down in revs as the length grows: where one passes the wanted revs
    between two lengths there is a candidate. Lengths whose torque also peaks clearly higher elsewhere come second. With
    no candidate: the length with the most torque at the wanted revs.
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
    found: list[Candidate] = []
    tops = [torque_peaks(rpm, row) for row in torque]
    for i, (short, long) in enumerate(pairwise(range(len(lengths)))):
        for before in tops[short]:
            for after in tops[long]:
                near = abs(before.rpm - after.rpm) < SAME_PEAK * wanted_rpm
                if near and after.rpm <= wanted_rpm <= before.rpm:
                    share = (before.rpm - wanted_rpm) / max(before.rpm - after.rpm, 1e-9)
                    height = before.torque + share * (after.torque - before.torque)
                    highest = torque[i].max() + share * (torque[i + 1].max() - torque[i].max())
                    length = lengths[short] + share * (lengths[long] - lengths[short])
                    found.append(
                        Candidate(length=float(length), torque=float(height), leads=bool(height >= STRONG * highest))
                    )
    return tuple(found)
