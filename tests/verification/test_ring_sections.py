"""Closed sections under inside pressure: closed forms, and a frame of beam elements as an independent twin."""

import numpy as np
import pytest

from tractwright.geometry.outlines import Outline, circle, outline_points
from tractwright.strength.rings import ring_state, ring_wall_mm

P, WALL, E, NU = 0.2, 4.0, 68900.0, 0.33
PLANE = E / (1 - NU**2)
INERTIA = WALL**3 / 12.0


def rectangle(width: float, height: float, count: int) -> np.ndarray:
    """Sharp-cornered box, `count` points a side."""
    a = np.linspace(-0.5, 0.5, count, endpoint=False)
    half = np.full(count, 0.5)
    return np.concatenate(
        [np.column_stack(side) for side in ((a * width, -half * height), (half * width, a * height),
                                            (-a * width, half * height), (-half * width, -a * height))]
    )  # fmt: skip


def frame_twin(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Moments and outward movement at the points, by Euler beam elements under pressure, least-squares supported.

    Direct stiffness method of any textbook; the wall's own stretch is made small as the ring formula leaves it out.
    """
    n = len(points)
    k_all, f_all = np.zeros((3 * n, 3 * n)), np.zeros(3 * n)
    members = []
    for i in range(n):
        j = (i + 1) % n
        d = points[j] - points[i]
        length = np.hypot(*d)
        c, s = d / length
        turn = np.zeros((6, 6))
        turn[:2, :2] = turn[3:5, 3:5] = [[c, s], [-s, c]]
        turn[2, 2] = turn[5, 5] = 1.0
        k = _beam(length)
        load = -P * length * np.array([0, 0.5, length / 12, 0, 0.5, -length / 12])  # outwards is to the right
        index = [3 * i, 3 * i + 1, 3 * i + 2, 3 * j, 3 * j + 1, 3 * j + 2]
        k_all[np.ix_(index, index)] += turn.T @ k @ turn
        f_all[index] += turn.T @ load
        members.append((index, turn, k, load))
    held = _held(points)
    moved = np.linalg.solve(k_all + held, f_all)
    moments = np.array([(k @ turn @ moved[index] - load)[2] for index, turn, k, load in members])
    x, y = points.T
    rigid = np.column_stack([np.tile([1.0, 0.0], n), np.tile([0.0, 1.0], n), np.column_stack([-y, x]).ravel()])
    place = moved.reshape(n, 3)[:, :2].ravel()
    place = (place - rigid @ np.linalg.lstsq(rigid, place, rcond=None)[0]).reshape(n, 2)
    along = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    return moments, place[:, 0] * along[:, 1] - place[:, 1] * along[:, 0]


def _held(points: np.ndarray) -> np.ndarray:
    """Springs against the shift and turn of the whole ring only: they carry nothing, the load is in balance."""
    x, y = points.T
    n = len(points)
    along = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    rigid = np.column_stack([np.tile(along[0], n), np.tile(along[1], n), np.column_stack([-y, x, np.ones(n)]).ravel()])
    rigid /= np.linalg.norm(rigid, axis=0)
    return PLANE * INERTIA * rigid @ rigid.T


def _beam(length: float) -> np.ndarray:
    b, a = PLANE * INERTIA / length**3, 300.0 * PLANE * WALL / length
    near, far, cross = 4 * length**2, 2 * length**2, 6 * length
    rows = [[12, cross, -12, cross], [cross, near, -cross, far], [-12, -cross, 12, -cross], [cross, far, -cross, near]]
    bend = b * np.array(rows)
    k = np.zeros((6, 6))
    k[np.ix_([1, 2, 4, 5], [1, 2, 4, 5])] = bend
    k[0, 0] = k[3, 3] = a
    k[0, 3] = k[3, 0] = -a
    return k


def test_a_circle_only_stretches():
    """Hoop pull p r."""
    state = ring_state(outline_points(circle(44.0), 64), P, WALL, E, NU)
    assert np.abs(state.moment_n).max() < 1e-9
    assert state.pull_n_mm == pytest.approx(P * 22.0, rel=2e-3)
    assert state.stress_mpa(WALL).max() == pytest.approx(P * 22.0 / WALL, rel=2e-3)


@pytest.mark.parametrize(("width", "height"), [(40.0, 40.0), (60.0, 40.0), (80.0, 20.0)])
def test_a_box_bends_as_a_frame(width, height):
    """Corner moment p (a^3 + b^3)/(12 (a + b)); a square's sides are clamped beams: p L^2/24 midway, bow p L^4/384 EI."""
    state = ring_state(rectangle(width, height, 200), P, WALL, E, NU)
    assert state.moment_n.max() == pytest.approx(P * (width**3 + height**3) / (12 * (width + height)), rel=1e-3)
    if width == height:
        assert state.moment_n.min() == pytest.approx(-P * width**2 / 24, rel=1e-3)
        assert state.bow_mm.max() == pytest.approx(P * width**4 / (384 * PLANE * INERTIA), rel=1e-3)
    assert state.pull_n_mm[100] == pytest.approx(P * height / 2, rel=1e-3)


@pytest.mark.parametrize(
    "outline",
    [
        Outline(kind="oval", width_mm=62.0, height_mm=34.0),
        Outline(kind="rounded_rectangle", width_mm=54.0, height_mm=36.0, corner_radius_mm=8.0),
        Outline(kind="d", width_mm=50.0, height_mm=38.0, corner_radius_mm=15.0, lower_corner_radius_mm=6.0),
    ],
    ids=lambda outline: outline.kind,
)
def test_any_port_against_a_frame_of_beams(outline):
    """At 144 points, as the stage uses them: 2 % of the largest value."""
    points = outline_points(outline, 144)
    state = ring_state(points, P, WALL, E, NU)
    moments, bows = frame_twin(outline_points(outline, 288))
    assert np.abs(state.moment_n - moments[::2]).max() <= 0.02 * np.abs(moments).max()
    assert np.abs(state.bow_mm - bows[::2]).max() <= 0.02 * np.abs(bows).max()
    assert np.abs(bows).max() > 1e-4
    assert np.abs(state.moment_n).max() == pytest.approx(np.abs(moments).max(), rel=0.03)


def test_least_wall_brings_the_stress_to_what_is_allowed():
    points = rectangle(50.0, 30.0, 50)
    state = ring_state(points, P, WALL, E, NU)
    least = ring_wall_mm(state, 100.0)
    assert ring_state(points, P, least, E, NU).stress_mpa(least).max() == pytest.approx(100.0, rel=1e-6)


def test_no_pressure_no_stress():
    state = ring_state(rectangle(50.0, 30.0, 20), 0.0, WALL, E, NU)
    assert state.stress_mpa(WALL).max() == 0.0
