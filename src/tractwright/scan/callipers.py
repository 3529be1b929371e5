"""Places and sizes fitted to readings of callipers by least squares: residuals, standard deviations, what to repeat.

The readings fix the pattern's shape, not where it lies: of all places that fit as well, those nearest to the rough ones
are taken (a free network). Source: P. Vanicek, E. J. Krakiwsky (1986), Geodesy: The Concepts, part III (memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.job.source_tables import Reading

REPEAT_OVER = 3.0
"""A reading whose residual is more than so many of its own standard deviations is to be repeated (judgement).

Source: W. Baarda (1968), A Testing Procedure for Use in Geodetic Networks (memory): residual over its own deviation.
"""
UNCHECKED = 0.02
"""Of a reading with less than this redundancy no other one would notice an error; judgement."""
FIXED = 0.05
UNREAD_MM = 2.0
"""A size that no reading is taken of is held to its rough value as loosely as this: distances over edges need one."""
ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A port or hole as roughly known: middle [mm], width and height (a hole's diameter twice)."""

    at_mm: tuple[float, float]
    width_mm: float
    height_mm: float
    is_round: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One reading after the fit: what it says, what the fit says less that, and that in its own standard deviations.

    redundancy : 0 where no other reading checks it, 1 where the others alone would give it.
    """

    reading: Reading
    residual_mm: float
    in_deviations: float
    redundancy: float

    @property
    def words(self) -> str:
        """As a person names it."""
        way = "" if self.reading.along == "straight" else f" along {self.reading.along}"
        return f"{self.reading.over} {' to '.join(self.reading.of)}{way} {self.reading.reads_mm:g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class CalliperFit:
    """Features by name, with standard deviations (x, y, width, height) [mm]; the readings judged.

    repeat : number of the reading to take again, None for none; loose : names whose places the readings do not fix.
    """

    features: Mapping[str, Feature]
    deviations_mm: Mapping[str, tuple[float, float, float, float]]
    judged: tuple[Judged, ...]
    repeat: int | None
    loose: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Net:
    """The unknowns: four a feature (x, y, width, height), in the order of names; sizes of round features are one."""

    names: tuple[str, ...]
    rough: Mapping[str, Feature]
    readings: tuple[Reading, ...]

    def start(self) -> Array:
        """The rough values."""
        rough = [self.rough[name] for name in self.names]
        return np.array([[*item.at_mm, item.width_mm, item.height_mm] for item in rough]).ravel()

    def unread(self) -> Array:
        """Derivatives (k, unknowns) of the sizes that no reading is taken of by itself."""
        read = {
            (item.of[0], "height" if item.over == "height" else "width") for item in self.readings if len(item.of) == 1
        }
        rows: list[Array] = []
        for i, name in enumerate(self.names):
            for k, size in ((2, "width"), (3, "height")):
                if (name, size) not in read:
                    rows.append(np.eye(4 * len(self.names))[4 * i + k])
        return np.array(rows).reshape(-1, 4 * len(self.names))

    def row(self, reading: Reading, values: Array) -> tuple[float, Array]:
        """What the values say of a reading, and its derivatives."""
        slope = np.zeros(len(values))
        first = 4 * self.names.index(reading.of[0])
        if len(reading.of) == 1:
            which = first + (3 if reading.over == "height" else 2)
            slope[which] = 1.0
            return float(values[which]), slope
        second = 4 * self.names.index(reading.of[1])
        way = values[second : second + 2] - values[first : first + 2]
        if reading.along != "straight":
            axis = 0 if reading.along == "x" else 1
            way = np.where(np.arange(2) == axis, way, 0.0)
        length = float(np.linalg.norm(way))
        slope[second : second + 2], slope[first : first + 2] = way / length, -way / length
        half = {"outside": 0.5, "inside": -0.5, "centres": 0.0}[reading.over]
        size = 3 if reading.along == "y" else 2
        for start in (first, second):
            slope[start + size] += half
        return length + half * float(values[first + size] + values[second + size]), slope


def fit_readings(rough: Mapping[str, Feature], readings: tuple[Reading, ...]) -> CalliperFit:
    """The features that fit the readings best. rough : every feature that a reading names, at least."""
    names = tuple(sorted({name for reading in readings for name in reading.of}))
    net = _Net(names=names, rough=rough, readings=readings)
    values, slopes, misses = _solved(net)
    within = np.array([reading.within_mm for reading in readings])
    loosely = net.unread() / UNREAD_MM
    normal = (slopes / within[:, None]).T @ (slopes / within[:, None]) + loosely.T @ loosely
    cofactor = np.asarray(np.linalg.pinv(normal, rcond=1e-9, hermitian=True), dtype=np.float64)
    judged = _judged(readings, slopes, misses, within, cofactor)
    worst = max(range(len(judged)), key=lambda i: abs(judged[i].in_deviations))
    deviations = np.sqrt(np.maximum(np.diag(cofactor), 0.0)).reshape(-1, 4)
    return CalliperFit(
        features={name: _feature(rough[name], values[4 * i : 4 * i + 4]) for i, name in enumerate(names)},
        deviations_mm={name: _four(deviations[i]) for i, name in enumerate(names)},
        judged=judged,
        repeat=worst if abs(judged[worst].in_deviations) > REPEAT_OVER else None,
        loose=_loose(net, slopes),
    )


def _solved(net: _Net) -> tuple[Array, Array, Array]:
    """Values, derivatives (readings, unknowns) and what the values say less the readings, by Gauss and Newton."""
    values, rough = net.start(), net.start()
    weight = 1.0 / np.array([reading.within_mm for reading in net.readings])
    said = np.array([reading.reads_mm for reading in net.readings])
    slopes, misses = np.zeros((len(said), len(values))), np.zeros(len(said))
    loosely = net.unread() / UNREAD_MM
    for _ in range(ROUNDS):
        rows = [net.row(reading, values) for reading in net.readings]
        slopes, misses = np.array([row[1] for row in rows]), np.array([row[0] for row in rows]) - said
        rows_of = np.concatenate([slopes * weight[:, None], loosely])
        step = np.linalg.lstsq(rows_of, np.concatenate([-misses * weight, loosely @ (rough - values)]), rcond=1e-9)[0]
        moved = values + step
        back = rough - moved
        free = back - np.linalg.lstsq(rows_of, rows_of @ back, rcond=1e-9)[0]
        values = moved + free
        if np.abs(step).max() < 1e-10 and np.abs(free).max() < 1e-10:
            break
    return values, slopes, misses


def _judged(
    readings: tuple[Reading, ...], slopes: Array, misses: Array, within: Array, cofactor: Array
) -> tuple[Judged, ...]:
    """Each reading with its residual against that residual's own standard deviation."""
    fitted = np.einsum("ij,jk,ik->i", slopes, cofactor, slopes) / within**2
    redundancy = np.clip(1.0 - fitted, 0.0, 1.0)
    own = within * np.sqrt(np.maximum(redundancy, UNCHECKED))
    return tuple(
        Judged(
            reading=reading,
            residual_mm=float(misses[i]),
            in_deviations=float(misses[i] / own[i]) if redundancy[i] > UNCHECKED else 0.0,
            redundancy=float(redundancy[i]),
        )
        for i, reading in enumerate(readings)
    )


def _loose(net: _Net, slopes: Array) -> tuple[str, ...]:
    """Features whose places may move without any reading noticing, moving and turning the whole apart."""
    _, sizes, ways = np.linalg.svd(slopes, full_matrices=True)
    rank = int((sizes > 1e-9 * max(float(sizes.max()), 1.0)).sum())
    free = ways[rank:].T
    places = net.start().reshape(-1, 4)[:, :2]
    read = {name for reading in net.readings if len(reading.of) == 2 for name in reading.of}
    whole = np.zeros((len(net.names), 4, 3))
    whole[:, 0, 0], whole[:, 1, 1] = 1.0, 1.0
    whole[:, 0, 2], whole[:, 1, 2] = -places[:, 1], places[:, 0]
    basis = np.linalg.qr(whole.reshape(-1, 3))[0]
    left = (free - basis @ (basis.T @ free)).reshape(len(net.names), 4, -1)[:, :2]
    return tuple(name for i, name in enumerate(net.names) if name in read and np.abs(left[i]).max(initial=0.0) > FIXED)


def _feature(rough: Feature, four: Array) -> Feature:
    x, y, width, height = (float(value) for value in four)
    return Feature(at_mm=(x, y), width_mm=width, height_mm=width if rough.is_round else height, is_round=rough.is_round)


def _four(values: Array) -> tuple[float, float, float, float]:
    a, b, c, d = (float(value) for value in values)
    return a, b, c, d
