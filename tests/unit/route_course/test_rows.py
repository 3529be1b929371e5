"""Rows and aims against finite differences; compiled loops against plain numpy."""

from dataclasses import replace

import numpy as np
import pytest
from rows_of_ports import central_vee, in_room, row, vee, vee_eight
from scipy.interpolate import BSpline
from shapely import box

from tractwright.geometry.frames import carried_frames
from tractwright.route.course.aims import bend_loss
from tractwright.route.course.demands import ask, question, settled_at
from tractwright.route.course.kernels import body_distance, capsule_distance, curvature_terms, neighbour_rows
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.rows import FAR, KINDS, ROW_MM, section_skins
from tractwright.route.course.sight import seen
from tractwright.route.course.starts import drawn
from tractwright.route.course.stations import LEAD, stations_of
from tractwright.route.course.symmetry import ties_of


def somewhere(asked, seed=3):
    """Unknowns off any symmetry."""
    x = drawn(asked, 0.9, 0.3)
    rng = np.random.default_rng(seed)
    return np.clip(x + rng.normal(0.0, 0.03, len(x)), asked.bounds.low + 1e-3, asked.bounds.high - 1e-3)


@pytest.mark.parametrize(
    "problem", [in_room(row(), top=200.0, out=230.0), vee(), vee_eight()], ids=["row", "vee", "two rows"]
)
def test_every_slope_agrees_with_finite_differences(problem):
    asked = question(pack_problem(problem))
    x = somewhere(asked)
    answer = ask(asked, x)
    step = 1e-6
    for at in range(len(x)):
        beside = np.zeros(len(x))
        beside[at] = step
        up, down = ask(asked, x + beside), ask(asked, x - beside)
        moved = (up.rows.value - down.rows.value) / (2 * step)
        near = answer.rows.value < FAR / ROW_MM / 2
        # how far a section reaches towards a screw or a neighbour is taken as fixed while the courses move (documented)
        wrong = np.abs(moved - answer.rows.slope[:, at]) > 1e-4 * (1.0 + np.abs(moved))
        exact = ~np.isin(answer.rows.kind, [KINDS.index("key way"), KINDS.index("neighbour gap")])
        assert not (wrong & near & exact).any()
        assert np.abs(moved - answer.rows.slope[:, at])[near].max() < 0.5
        aim = (up.aim.value - down.aim.value) / (2 * step)
        assert aim == pytest.approx(answer.aim.slope[at], rel=1e-4, abs=1e-4)


def test_poles_and_leads_make_one_smooth_course():
    """Independent of our basis matrices: scipy's B-spline through the poles, straight leads at both ends."""
    packed = pack_problem(row())
    asked = question(packed)
    sight = seen(packed, asked.bounds, asked.stations, somewhere(asked))
    knots = np.concatenate([np.zeros(4), np.linspace(0.0, 1.0, 5), np.ones(4)])
    for r in range(len(packed.start)):
        spline = BSpline(knots, sight.place.poles[r, 1:9], 4)
        assert sight.curve[r] == pytest.approx(spline(asked.stations.u), abs=1e-9)
        first = spline.derivative()(np.array([0.0, 1.0 - 1e-12]))
        first /= np.linalg.norm(first, axis=1, keepdims=True)
        assert first[0] == pytest.approx(packed.axis[r], abs=1e-9)
        assert first[1] == pytest.approx(sight.place.axes[0, 2], abs=1e-6)
        fine = spline(np.linspace(0.0, 1.0, 4001))
        length = np.linalg.norm(np.diff(fine, axis=0), axis=1).sum() + packed.lead[r] + packed.mouth_lead[r]
        assert sight.length[r] == pytest.approx(length, rel=2e-4)


def test_curvature_against_the_cross_product_formula():
    rng = np.random.default_rng(5)
    first, second = rng.normal(0, 200, (2, 7, 3)), rng.normal(0, 900, (2, 7, 3))
    half = np.full((2, 7), 20.0)
    wall, wide = np.array([4.0, 4.0]), np.broadcast_to([1.0, 0.0, 0.0], (2, 7, 3))
    curvature, _, _, tightness, _, _ = curvature_terms(first, second, half, half, wide, wall)
    plain = np.linalg.norm(np.cross(first, second), axis=2) / np.linalg.norm(first, axis=2) ** 3
    assert curvature == pytest.approx(plain, rel=1e-3)
    assert tightness == pytest.approx(24.0 * plain, rel=1e-3)


def test_a_bend_is_as_tight_as_the_half_in_its_plane():
    """Port wide along x: a bend in the y-z plane counts the least half, one in the x-z plane the largest."""
    first = np.array([[[0.0, 0.0, 100.0], [0.0, 0.0, 100.0]]])
    second = np.array([[[0.0, 200.0, 0.0], [200.0, 0.0, 0.0]]])
    sizes = (np.full((1, 2), 30.0), np.full((1, 2), 20.0))
    _, _, _, tightness, _, _ = curvature_terms(first, second, *sizes, np.array([[[1.0, 0, 0]] * 2]), np.array([5.0]))
    assert tightness[0] == pytest.approx([25.0 * 0.02, 35.0 * 0.02], rel=1e-3)


def test_gaps_and_distances_against_plain_minima():
    packed = pack_problem(row(count=2))
    asked = question(packed)
    sight = seen(packed, asked.bounds, asked.stations, somewhere(asked))
    stations = stations_of(packed, 33)
    points, wide, sizes = section_skins(packed, stations, sight)
    need = np.zeros((1, 33))
    value, _, _ = neighbour_rows(points, wide, sizes, stations.value, packed.pair, need, 200.0, LEAD)
    between = sight.points[0][:, None] - sight.points[1][None]
    apart = np.linalg.norm(between, axis=2)
    towards = between / apart[..., None]
    cosines = (
        np.abs(np.einsum("kmd,kd->km", towards, wide[0])),
        np.abs(np.einsum("kmd,md->km", towards, wide[1])),
    )
    rounds = (sizes[0][:, None, :], sizes[1][None])
    reach = [r[..., 0] + r[..., 1] * c + r[..., 2] * np.sqrt(1 - c**2) for r, c in zip(rounds, cosines, strict=True)]
    plain = (apart - reach[0] - reach[1]).min(axis=1)[LEAD:-LEAD]
    assert value[0] == pytest.approx(plain, abs=0.02)


def test_a_swept_runner_shows_its_neighbour_the_corners_of_its_section():
    """Runners of a D or rectangular port, swept far along the row, lay 3.4 mm nearer than the course held them to be: it took
    their reach along the row for their reach towards each other.
    """
    width, height, corner, wall = 40.0, 38.0, 6.0, 3.5
    slant = np.array([0.6, 0.8, 0.0])
    points = np.stack([np.linspace([0.0, 0.0, 0.0], [0.0, 0.0, 90.0], 10)] * 2)
    points[1] += 60.0 * slant
    wide = np.broadcast_to([1.0, 0.0, 0.0], points.shape).copy()
    sizes = np.broadcast_to([corner + wall, width / 2 - corner, height / 2 - corner], points.shape).copy()
    facts = (np.zeros((10, 10)), np.array([[0, 1]]), np.zeros((1, 4)))
    value, _, _ = neighbour_rows(points, wide, sizes, *facts, 400.0, 3)
    outline = box(-width / 2 + corner, -height / 2 + corner, width / 2 - corner, height / 2 - corner)
    skin = np.array(outline.buffer(corner, quad_segs=400).buffer(wall, quad_segs=400).exterior.coords)
    reach = (skin @ slant[:2]).max()
    assert value == pytest.approx(60.0 - 2.0 * reach, abs=0.01)
    assert reach > width / 2 + wall + 1.0


def test_directions_are_carried_as_along_any_curve():
    packed = pack_problem(row(count=3))
    asked = question(packed)
    x = somewhere(asked)
    sight = seen(packed, asked.bounds, asked.stations, x)
    wide = settled_at(asked, x).stations.wide
    for r in range(3):
        carried, _ = carried_frames(sight.curve[r], sight.tangent[r], packed.wide[r])
        assert wide[r] == pytest.approx(carried, abs=1e-5)


def test_sections_change_with_the_length_behind():
    """A course that hurries in its beginning had its sections too small there, by 1 mm: they followed the curve's parameter."""
    packed = pack_problem(row(count=2))
    asked = question(packed)
    x = somewhere(asked)
    sight = seen(packed, asked.bounds, asked.stations, x)
    found = settled_at(asked, x).stations
    behind = np.linalg.norm(np.diff(sight.curve[0], axis=0), axis=1).cumsum()
    share = np.concatenate([[0.0], behind / behind[-1]])
    area = 4.0 * found.half_wide[0] * found.half_least[0] - (4.0 - np.pi) * found.corner[0] ** 2
    ends = area[0], np.pi * packed.mouth_radius[0] ** 2
    assert area == pytest.approx(ends[0] + (ends[1] - ends[0]) * share**2 * (3.0 - 2.0 * share), rel=2e-3)


def test_capsules_and_bodies_against_plain_formulas():
    rng = np.random.default_rng(8)
    points = rng.uniform(-80, 80, (200, 3))
    start, direction = np.array([[5.0, -3.0, 2.0]]), np.array([[0.0, 0.0, 1.0]])
    value, _, _ = capsule_distance(points, start, direction, np.array([40.0]), np.array([6.0]), 100.0)
    along = np.clip(points[:, 2] - 2.0, 0.0, 40.0)
    nearest = start + along[:, None] * direction
    assert value == pytest.approx(np.linalg.norm(points - nearest, axis=1) - 6.0, abs=1e-6)
    low, high = np.array([-30.0, -20.0, -10.0]), np.array([30.0, 20.0, 50.0])
    value, _ = body_distance(points, low, high)
    beyond = np.maximum(low - points, points - high)
    plain = np.linalg.norm(np.maximum(beyond, 0.0), axis=1) + np.minimum(beyond.max(axis=1), 0.0)
    assert value == pytest.approx(plain, abs=1e-9)


def test_loss_of_a_quarter_bend_is_its_formula():
    """(0.131 + 1.847 (r/R)^3.5) for 90 degrees knows no scale: asked of a small bend, where the rounding is small."""
    for ratio in (0.2, 0.35, 0.5):
        radius = 0.2 / ratio
        loss, _, _ = bend_loss(np.array([1.0 / radius]), np.array([0.2]))
        assert loss[0] * radius * np.pi / 2 == pytest.approx(0.131 + 1.847 * ratio**3.5, rel=4e-3)


def test_ties_of_a_regular_row_of_a_mirrored_row_and_of_none():
    def sizes(problem):
        packed = pack_problem(problem)
        return [len(tie.member) for tie in ties_of(packed, question(packed).bounds)]

    regular = row()
    assert sizes(regular) == [14, 33, 63]
    moved = tuple(
        replace(runner, start_mm=(runner.start_mm[0] * (1.0 if i in (1, 2) else 1.1), 0.0, 0.0))
        for i, runner in enumerate(regular.runners)
    )
    assert sizes(replace(regular, runners=moved)) == [33, 63]
    bent = (replace(regular.runners[0], port_half_mm=26.0), *regular.runners[1:])
    assert sizes(replace(regular, runners=bent)) == [63]


def test_banks_that_turn_into_each_other_have_half_the_unknowns():
    """Six runners of fourteen, six of the plenum, a length; turned alike: three runners, how far out, pitch, length."""
    packed = pack_problem(central_vee())
    ties = ties_of(packed, question(packed).bounds)
    assert [len(tie.member) for tie in ties] == [3 + 3 * 14, 7 + 6 * 14]
    shifted = central_vee()
    first = replace(shifted.runners[0], start_mm=(-140.0, 0.0, -85.0))
    packed = pack_problem(replace(shifted, runners=(first, *shifted.runners[1:])))
    assert [len(tie.member) for tie in ties_of(packed, question(packed).bounds)] == [7 + 6 * 14]


def test_a_tie_widens_and_draws_together():
    packed = pack_problem(row(count=5))
    asked = question(packed)
    for tie in ties_of(packed, asked.bounds):
        y = np.random.default_rng(2).normal(0.0, 1.0, len(tie.member))
        assert tie.drawn_together(tie.widened(y)) == pytest.approx(y)
