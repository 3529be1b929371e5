"""Peaks of a torque curve, and the length that serves a band of revs best.

Filling has many peaks, small ones among them: the highest point is never followed. A choice is made on curves smoothed
over revs and length by what an engine and a made manifold leave open, and on their mean over a band.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d

from tractwright.air.band import Band

Array = npt.NDArray[np.float64]

LEADING = 0.95  # a peak counts beside a higher one at other revs from this share of it on (judgement)
STANDING = 0.90  # a peak at the wanted revs is one from this share of the highest on (judgement)
PEAK_WORTH = 0.03  # share of the torque of the band that may be given up to have a peak there (judgement)
OPEN_REVS = 0.03  # of the wanted revs: 10 K of charge move a wave's revs by half of it (judgement)
OPEN_LENGTH = 10.0  # mm: a course may end that much longer or shorter (judgement)
ALIKE = 0.004  # lengths whose torque differs by less are alike: the shorter needs less room and metal (judgement)
FINE = 401


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """A local maximum of torque [N m] over revs."""

    rpm: float
    torque: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthChoice:
    """The length chosen [mm], and how. peak_rpm : of its smoothed curve in the band, None where there is none;
    price : (length [mm], share of the chosen length's torque in the band that it gives up).
    """

    length: float
    how: str
    peak_rpm: float | None
    price: tuple[tuple[float, float], ...]


def torque_peaks(rpm: Array, torque: Array) -> tuple[Peak, ...]:
    """Local maxima inside the range, on a smooth curve through the points, by revs."""
    fine = np.linspace(rpm[0], rpm[-1], FINE)
    curve = CubicSpline(rpm, torque)(fine)
    return tuple(Peak(rpm=float(fine[i]), torque=float(curve[i])) for i in _tops(curve))


def _tops(curve: Array) -> npt.NDArray[np.int64]:
    return np.flatnonzero((curve[1:-1] > curve[:-2]) & (curve[1:-1] >= curve[2:])) + 1


def peak_nearest(rpm: Array, torque: Array, wanted_rpm: float) -> float:
    """Revs of the strong peak nearest the wanted, of the smoothed curve; of the highest point where none is strong."""
    fine = np.linspace(rpm[0], rpm[-1], FINE)
    curve = _smooth(CubicSpline(rpm, torque)(fine), OPEN_REVS * wanted_rpm, fine)
    strong = [i for i in _tops(curve) if curve[i] >= LEADING * curve.max()]
    if not strong:
        return float(fine[np.argmax(curve)])
    return float(fine[min(strong, key=lambda i: abs(fine[i] - wanted_rpm))])


def _smooth(curve: Array, width: float, places: Array) -> Array:
    """A curve averaged by a bell of that standard width, along its last axis."""
    return gaussian_filter1d(curve, width / (places[1] - places[0]), axis=-1, mode="nearest")


def band_torque(rpm: Array, torque: Array, band: Band) -> Array:
    """Mean torque of the band, by its weights; torque : (..., speeds)."""
    fine = np.linspace(rpm[0], rpm[-1], FINE)
    return CubicSpline(rpm, torque, axis=-1)(fine) @ band.weights(fine)


def all_but(most: float, share: float) -> float:
    """A torque less by a share; revs that an engine does not pull have a torque below nothing, and a little less is less."""
    return most - share * abs(most)


def gain(to: float, torque: float) -> float:
    """How much more one torque is than another, as a share of that."""
    return (to - torque) / max(abs(torque), 1e-9)


def choose_length(lengths: Sequence[float], rpm: Array, torque: Array, band: Band) -> LengthChoice:
    """The shortest length with about the most torque in the band, of those whose curve peaks there.

    torque : (lengths, speeds) [N m], lengths [mm]. Of all lengths, where none peaks there or a peak there costs too much.
    """
    tried, fine_rpm = np.linspace(lengths[0], lengths[-1], FINE), np.linspace(rpm[0], rpm[-1], FINE)
    by_length = CubicSpline(lengths, torque, axis=0)(tried)
    curves = _smooth(CubicSpline(rpm, by_length, axis=1)(fine_rpm), OPEN_REVS * band.wanted, fine_rpm)
    curves = _smooth(curves.T, OPEN_LENGTH, tried).T
    score = band_torque(fine_rpm, curves, band)
    near = [_peak_there(fine_rpm, curve, band) for curve in curves]
    peaked = np.array([rpm is not None for rpm in near])
    worth = peaked.any() and score[peaked].max() >= all_but(score.max(), PEAK_WORTH)
    among = peaked if worth else np.ones(FINE, dtype=bool)
    pick = int(np.flatnonzero(among & (score >= all_but(score[among].max(), ALIKE)))[0])
    return LengthChoice(
        length=float(tried[pick]),
        how=_how(tried, score, pick, near[pick], band),
        peak_rpm=near[pick],
        price=tuple((float(x), -gain(float(np.interp(x, tried, score)), float(score[pick]))) for x in lengths),
    )


def _peak_there(rpm: Array, curve: Array, band: Band) -> float | None:
    """Revs of the strong peak nearest the wanted revs, None where the band does not have it."""
    strong = [float(rpm[i]) for i in _tops(curve) if curve[i] >= all_but(curve.max(), 1.0 - STANDING)]
    nearest = min(strong, key=lambda one: abs(one - band.wanted), default=None)
    return nearest if nearest is not None and band.has(nearest) else None


def _how(tried: Array, score: Array, pick: int, peak: float | None, band: Band) -> str:
    """The choice in words, with what 40 mm either way would cost."""
    there = f"its torque peaks there ({peak:.0f})" if peak is not None else "its torque does not peak there"
    costs = [
        f"{100.0 * gain(float(np.interp(tried[pick] + step, tried, score)), float(score[pick])):+.1f} % with 40 mm {word}"
        for step, word in ((-40.0, "less"), (40.0, "more"))
        if tried[0] <= tried[pick] + step <= tried[-1]
    ]
    edge = "; the end of what was tried" if pick in (0, len(tried) - 1) else ""
    return (
        f"the shortest within {ALIKE:.1%} of the best torque {band.in_words()}, of {tried[0]:.0f} to "
        f"{tried[-1]:.0f} mm, simulated; {there}; torque about those revs {', '.join(costs)}{edge}"
    )
