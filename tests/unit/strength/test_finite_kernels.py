"""The compiled loops of the finite elements against plain numpy twins."""

import numpy as np
import pytest
from scipy.sparse import csr_array

from tractwright.geometry.frames import Array
from tractwright.standards.materials import material
from tractwright.strength.finite.block import block
from tractwright.strength.finite.body import Body
from tractwright.strength.finite.dissection_kernels import dissection
from tractwright.strength.finite.elastic import (
    equivalent_mpa,
    held,
    held_by_n,
    mass_table,
    of_metal,
    stresses_mpa,
    system,
)
from tractwright.strength.finite.factor import factor
from tractwright.strength.finite.kernels import tet_stiffness

METAL = material("6061-T651")
EDGES = np.array([[0, 1], [1, 2], [0, 2], [0, 3], [1, 3], [2, 3]])


def skewed() -> Body:
    rng = np.random.default_rng(5)
    line = np.linspace(0.0, 12.0, 4)
    return block((line, line, line), lambda grid: grid + rng.uniform(-1.0, 1.0, grid.shape))


def plain_stiffness(corners: Array, lame: float, shear: float) -> Array:
    """B' D B summed over four points, all at once."""
    slopes = np.linalg.inv(np.column_stack([np.ones(4), corners]))[1:].T
    volume = abs(np.linalg.det(corners[1:] - corners[0])) / 6.0
    elastic = np.diag([2.0 * shear] * 3 + [shear] * 3)
    elastic[:3, :3] += lame
    total = np.zeros((30, 30))
    for at in np.full((4, 4), 0.1381966011250105) + np.eye(4) * (0.5854101966249685 - 0.1381966011250105):
        own = (4.0 * at - 1.0)[:, None] * slopes
        middle = 4.0 * (at[EDGES[:, :1]] * slopes[EDGES[:, 1]] + at[EDGES[:, 1:]] * slopes[EDGES[:, 0]])
        gradients = np.vstack([own, middle])
        strain = np.zeros((6, 30))
        for axis in range(3):
            strain[axis, axis::3] = gradients[:, axis]
        for row, (one, other) in enumerate(((1, 2), (0, 2), (0, 1)), start=3):
            strain[row, one::3], strain[row, other::3] = gradients[:, other], gradients[:, one]
        total += volume / 4.0 * strain.T @ elastic @ strain
    return total


def test_stiffness_of_a_tetrahedron():
    corners = np.array([[0.0, 0.0, 0.0], [3.0, 0.2, 0.1], [0.5, 2.0, -0.3], [0.2, 0.4, 1.5]])
    out = np.empty((30, 30))
    tet_stiffness(corners, 51e3, 26e3, out)
    assert np.triu(out) == pytest.approx(np.triu(plain_stiffness(corners, 51e3, 26e3)), rel=1e-9, abs=1e-6)


def test_system_is_the_sum_of_its_tetrahedra_and_forces_agree():
    body = skewed()
    elastic, density = of_metal(body, METAL)
    given = np.zeros(body.points_mm.shape, dtype=bool)
    given[body.points_mm[:, 0] < 1.0] = True
    ours = system(body, elastic, density, given)
    size = 3 * len(body.points_mm)
    whole = np.zeros((size, size))
    for tet in body.tets:
        rows = (3 * tet[:, None] + np.arange(3)).ravel()
        whole[np.ix_(rows, rows)] += plain_stiffness(body.points_mm[tet[:4]], *elastic[0])
    free = ~given.ravel()
    assert ours.stiffness().toarray() == pytest.approx(np.triu(whole[np.ix_(free, free)]), abs=1e-4)
    moved = np.random.default_rng(1).standard_normal(body.points_mm.shape)
    assert held_by_n(held(ours), moved).ravel() == pytest.approx(whole @ moved.ravel(), abs=1e-3)


def test_mass_table_sums_to_the_whole():
    table = mass_table()
    assert table.sum() == pytest.approx(1.0)
    assert table == pytest.approx(table.T)


def test_an_even_strain_gives_even_stress():
    body = skewed()
    slope = np.array([[1e-3, 2e-4, 0.0], [0.0, -3e-4, 1e-4], [5e-4, 0.0, 2e-4]])
    elastic, density = of_metal(body, METAL)
    bound = held(system(body, elastic, density, body.points_mm < 0.5))
    found = stresses_mpa(bound, body.points_mm @ slope.T)
    lame, shear = elastic[0]
    strain = (slope + slope.T) / 2.0
    stress = lame * np.trace(strain) * np.eye(3) + 2.0 * shear * strain
    wanted = [stress[a, b] for a, b in ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))]
    assert found == pytest.approx(np.tile(wanted, (len(found), 1)))
    apart = stress - np.trace(stress) / 3.0 * np.eye(3)
    assert equivalent_mpa(found) == pytest.approx(np.full(len(found), np.sqrt(1.5 * np.sum(apart**2))))


def test_dissection_orders_every_node_once_and_thins_the_factor():
    """The same answer in any order; far less in the factor than row by row, as the method promises."""
    line = np.linspace(0.0, 1.0, 9)
    body = block((line, line, line), lambda grid: grid)
    order = dissection(body.points_mm, body.tets, 16)
    assert np.array_equal(np.sort(order), np.arange(len(body.points_mm)))
    assert filled(body, order) < 0.5 * filled(body, np.arange(len(body.points_mm)))


def filled(body: Body, order: np.ndarray) -> int:
    """Entries of the factor, node by node: eliminating a node joins all its later neighbours."""
    count = len(order)
    when = np.empty(count, dtype=int)
    when[order] = np.arange(count)
    later: list[set[int]] = [set() for _ in range(count)]
    for tet in when[body.tets]:
        for node in tet:
            later[node].update(other for other in tet.tolist() if other > node)
    for node in range(count):
        if later[node]:
            parent = min(later[node])
            later[parent] |= later[node] - {parent}
    return sum(len(one) for one in later)


def test_factor_solves_one_and_many():
    rng = np.random.default_rng(2)
    dense = rng.standard_normal((30, 30))
    whole = dense @ dense.T + 30.0 * np.eye(30)
    found = factor(csr_array(np.triu(whole)), rng.permutation(30))
    right = rng.standard_normal((30, 3))
    assert found.solved(right) == pytest.approx(np.linalg.solve(whole, right))
    assert found.solved(right[:, 0]) == pytest.approx(np.linalg.solve(whole, right[:, 0]))
