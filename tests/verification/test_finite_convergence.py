"""Order of convergence on a smooth exact solution, and the assembly against an independent library (scikit-fem's own).

The gradient of a harmonic function has no divergence, so it balances without any load: u = grad(exp(1.41 x) cos y cos z), in
closed form. Quadratic displacements: error of the displacement falls as h^3, of the stress as h^2.
"""

from math import log2, sqrt

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementTetP2, ElementVector, MeshTet
from skfem.helpers import dot
from skfem.models.elasticity import lame_parameters, linear_elasticity

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.standards.materials import material
from tractwright.strength.finite.block import block
from tractwright.strength.finite.body import Body
from tractwright.strength.finite.elastic import held, moved_mm, of_metal, stresses_mpa, system

METAL = material("6061-T651")


def smooth(points: Array) -> Array:
    x, y, z = points.T
    grow = np.exp(sqrt(2.0) * x)
    return np.column_stack(
        [sqrt(2.0) * grow * np.cos(y) * np.cos(z), -grow * np.sin(y) * np.cos(z), -grow * np.cos(y) * np.sin(z)]
    )


def pull_along_x(points: Array) -> Array:
    """2 G du/dx: the divergence is nought."""
    shear = METAL.modulus_mpa / (2.0 * (1.0 + METAL.poisson))
    x, y, z = points.T
    return 4.0 * shear * np.exp(sqrt(2.0) * x) * np.cos(y) * np.cos(z)


def cube(cells: int) -> Body:
    line = np.linspace(0.0, 1.0, cells + 1)
    return block((line, line, line), lambda grid: grid)


def errors(cells: int) -> tuple[float, float]:
    """Root of the mean square error of displacement and of the stress along x, at the nodes inside."""
    body = cube(cells)
    exact = smooth(body.points_mm)
    skin = np.unique(body.skin.nodes)
    given, known = np.zeros(exact.shape, dtype=bool), np.zeros(exact.shape)
    given[skin], known[skin] = True, exact[skin]
    bound = held(system(body, *of_metal(body, METAL), given))
    moved = moved_mm(bound, np.zeros(exact.shape), known)
    stress = stresses_mpa(bound, moved)[:, 0]
    inside = np.all((body.points_mm > 0.2) & (body.points_mm < 0.8), axis=1)
    displaced = np.sqrt(np.mean((moved - exact)[inside] ** 2))
    return float(displaced), float(np.sqrt(np.mean((stress - pull_along_x(body.points_mm))[inside] ** 2)))


def test_order_on_a_smooth_solution():
    (coarse, coarse_stress), (fine, fine_stress) = errors(5), errors(10)
    assert log2(coarse / fine) > 2.8
    assert log2(coarse_stress / fine_stress) > 1.8


def test_stiffness_and_mass_against_an_independent_library():
    """Every entry of both, on a skewed block of 48 tetrahedra."""
    rng = np.random.default_rng(3)
    line = np.linspace(0.0, 10.0, 3)
    body = block((line, line, line), lambda grid: grid + rng.uniform(-1.0, 1.0, grid.shape))
    free = system(body, *of_metal(body, METAL), np.zeros(body.points_mm.shape, dtype=bool))
    corners = int(body.tets[:, :4].max()) + 1
    mesh = MeshTet(np.ascontiguousarray(body.points_mm[:corners].T), np.ascontiguousarray(body.tets[:, :4].T))
    basis = Basis(mesh, ElementVector(ElementTetP2()), intorder=4)
    stiffness = linear_elasticity(*lame_parameters(METAL.modulus_mpa, METAL.poisson)).assemble(basis).toarray()
    mass = BilinearForm(lambda u, v, _: METAL.density_kg_mm3 * 1e-3 * dot(u, v)).assemble(basis).toarray()
    theirs = number_of_theirs(basis.doflocs.T, body.points_mm)
    for ours, wanted in ((free.stiffness(), stiffness), (free.mass(), mass)):
        upper = ours.toarray()
        whole = upper + np.triu(upper, 1).T
        assert whole == pytest.approx(wanted[np.ix_(theirs, theirs)], abs=1e-9 * np.abs(wanted).max())


def number_of_theirs(places: Array, points: Array) -> np.ndarray:
    """The library's number of each of our displacements: nodes by place, then axes in turn."""
    found = [np.flatnonzero(np.linalg.norm(places - point, axis=1) < 1e-9) for point in points]
    assert all(len(three) == 3 for three in found)
    return np.concatenate(found)


def test_what_nothing_holds_is_said():
    body = cube(2)
    with pytest.raises(KernelError, match="free to move"):
        held(system(body, *of_metal(body, METAL), np.zeros(body.points_mm.shape, dtype=bool)))
