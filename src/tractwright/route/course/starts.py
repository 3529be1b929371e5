"""Where the search begins: courses drawn as smooth changes of heading, best looking first. No chance in it."""

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from tractwright.geometry.curves import course_basis
from tractwright.geometry.frames import Array
from tractwright.route.course.demands import Question, ask
from tractwright.route.course.packed import Packed
from tractwright.route.course.unknowns import FACE, OWN, angles_of, axes_of, length_at, size_of

Places = npt.NDArray[np.intp]
_FINE = 161
_TILTS = np.radians([0.0, 30.0, -30.0, 60.0, -60.0, 90.0, -90.0, 120.0, -120.0, 150.0, -150.0, 180.0])
_SWAYS = (0.0, 0.9, -0.9)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Start:
    """Scaled unknowns x, tilt [rad], sway [rad] and how far along the row (share of the length) it was drawn with, how badly
    it does (small is good).
    """

    x: Array
    tilt: float
    sway: float
    aside: float
    score: float


def starts_of(asked: Question, asides: tuple[float, ...] = (0.0,)) -> tuple[Start, ...]:
    """All starts, best first, then those that differ from the ones before. asides : how far along the row plenums are drawn,
    as shares of the length.
    """
    found: list[Start] = []
    for aside in asides:
        for tilt in _tilts(asked.packed):
            for sway in _SWAYS:
                x = drawn(asked, tilt, sway, aside)
                found.append(Start(x=x, tilt=tilt, sway=sway, aside=aside, score=_score(asked, x)))
    return _spread(found)


def _tilts(packed: Packed) -> list[float]:
    held = packed.faces[0].held_direction
    return list(_TILTS) if held is None else [angles_of(packed.base[0], np.array(held))[0]]


def _score(asked: Question, x: Array) -> float:
    answer = ask(asked, x)
    short = np.minimum(answer.rows.value, 0.0)
    return answer.aim.value + 20.0 * float(short @ short)


def _spread(found: list[Start]) -> tuple[Start, ...]:
    """Best first; each next is the best after paying for likeness to those before."""
    order: list[Start] = []
    left = list(found)
    while left:
        costs = [start.score * (1.0 + sum(_likeness(start, other) for other in order)) for start in left]
        order.append(left.pop(int(np.argmin(costs))))
    return tuple(order)


def _likeness(first: Start, second: Start) -> float:
    apart = abs(first.tilt - second.tilt) + 0.5 * abs(first.sway - second.sway) + abs(first.aside - second.aside)
    return 10.0 * float(np.exp(-apart / 0.5))


def drawn(asked: Question, tilt: float, sway: float, aside: float = 0.0) -> Array:
    """Unknowns of courses whose heading goes smoothly from the port's to the tilt, swaying by so much on the way, to plenums
    drawn aside along the row by a share of the length.
    """
    packed, bounds = asked.packed, asked.bounds
    values = np.zeros(size_of(packed))
    values[length_at(packed)] = asked.wish.length_mm
    for f in range(len(packed.faces)):
        own = np.flatnonzero(packed.face_of == f)
        rows = _rows_of_ports(packed, own)
        paths = [_path(asked, row, (tilt, sway), _lean(packed, row) if len(rows) > 1 else 0.0) for row in rows]
        ends = list(zip(rows, (path[-1] for path in paths), strict=True))
        values[FACE * f : FACE * f + FACE] = _face_start(asked, f, ends, tilt, aside)
        for row, path in zip(rows, paths, strict=True):
            for r in row:
                first = length_at(packed) + 1 + OWN * int(r)
                drawn_to = (path, values[FACE * f : FACE * f + FACE])
                values[first : first + OWN] = _runner_start(asked, f, int(r), drawn_to)
    return np.clip(values / bounds.scale, bounds.low, bounds.high)


def _rows_of_ports(packed: Packed, own: Places) -> list[Places]:
    """Runners of a face by bank."""
    banks = np.array([packed.problem.runners[r].bank for r in own])
    return [own[banks == bank] for bank in dict.fromkeys(banks.tolist())]


def _lean(packed: Packed, row: Places) -> float:
    """How far a row's ports look up from the way out of all of them [rad]."""
    _, up, out = packed.base[int(packed.face_of[row[0]])] @ packed.axis[row].mean(axis=0)
    return float(np.arctan2(up, out))


def _path(asked: Question, own: Places, way: tuple[float, float], lean: float) -> Array:
    """The curve between the leads (n, 2): up and out from the end of the port lead. way : tilt and sway; lean : the heading
    it sets out with; it sways to the side that it leans to.
    """
    tilt, sway = way[0], way[1] if lean >= 0.0 else -way[1]
    packed = asked.packed
    length = asked.wish.length_mm * float(packed.share[own].mean())
    length -= float((packed.lead + packed.mouth_lead)[own].mean())
    s = np.linspace(0.0, 1.0, _FINE)
    heading = tilt * s**3 * (10.0 - 15.0 * s + 6.0 * s**2) * 0.5 + tilt * 0.5 * s + sway * np.sin(np.pi * s) ** 2
    heading += lean * (1.0 - s) ** 2 * (1.0 + 2.0 * s)
    step = np.stack([np.sin(heading), np.cos(heading)], axis=1) * max(length, 20.0)
    middle = (step[1:] + step[:-1]) / 2.0 / (_FINE - 1)
    return np.concatenate([np.zeros((1, 2)), np.cumsum(middle, axis=0)])


def _face_start(asked: Question, f: int, ends: list[tuple[Places, Array]], tilt: float, aside: float) -> Array:
    """The face midway between where the rows' paths end. ends : rows, and the end of each one's path."""
    packed, bounds = asked.packed, asked.bounds
    z = axes_of(np.eye(3), tilt, 0.0)[2]
    reached: list[Array] = []
    for own, end in ends:
        starts = (packed.start[own] + packed.lead[own, None] * packed.axis[own]).mean(axis=0) - packed.origin[f]
        reached.append((packed.base[f] @ starts)[1:] + end + float(packed.mouth_lead[own].mean()) * z[1:])
    up_out = np.mean(reached, axis=0)
    raw = np.array([aside * asked.wish.length_mm, up_out[0], up_out[1], tilt, 0.0, packed.port_pitch[f]])
    at = slice(FACE * f, FACE * f + FACE)
    return np.clip(raw, (bounds.low * bounds.scale)[at], (bounds.high * bounds.scale)[at])


@cache
def _fit() -> Array:
    """Least-squares fit of the six inner poles to points along the course (6, n)."""
    return np.linalg.pinv(course_basis(_FINE)[1][:, 1:7]).astype(np.float64)


def _runner_start(asked: Question, f: int, r: int, drawn: tuple[Array, Array]) -> Array:
    """End leads and free poles of one runner, fitted to the path carried over to its own two ends."""
    packed = asked.packed
    path, face = drawn
    axes = axes_of(packed.base[f], face[3], face[4])
    middle = packed.origin[f] + face[:3] @ packed.base[f]
    end = middle + packed.place[r] * face[5] * axes[0] + packed.across[r] * axes[1] - packed.mouth_lead[r] * axes[2]
    begin = packed.start[r] + packed.lead[r] * packed.axis[r]
    points = begin + path @ packed.base[f, 1:]
    s = np.linspace(0.0, 1.0, _FINE)
    points += (s**2 * (3.0 - 2.0 * s))[:, None] * (end - points[-1])
    basis = course_basis(_FINE)[1]
    inner = points - basis[:, :1] * begin - basis[:, 7:] * end
    poles = _fit() @ inner
    leads = np.array([(poles[0] - begin) @ packed.axis[r], (end - poles[5]) @ axes[2]])
    free = (poles[1:5] - packed.start[r]) @ packed.base[f].T
    return np.concatenate([leads, free.ravel()])
