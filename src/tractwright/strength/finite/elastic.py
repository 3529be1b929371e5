"""An elastic body held somewhere: its system, factored once for every load and for its own vibrations. mm, N, MPa, kg, s."""

from dataclasses import dataclass
from math import factorial, pi
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array, triu
from scipy.sparse.linalg import LinearOperator, eigsh

from tractwright.geometry.frames import Array
from tractwright.standards.materials import Material
from tractwright.strength.finite.body import Body, Chosen, Skin
from tractwright.strength.finite.dissection_kernels import dissection
from tractwright.strength.finite.factor import Factor, factor
from tractwright.strength.finite.kernels import (
    fill_mass,
    fill_stiffness,
    neighbours,
    node_stresses,
    pushed_back,
    upper_pattern,
)

_LEAF = 16
_MODE_TOLERANCE = 1e-3
_TONNES = 1e-3
"""N, mm and s go with tonnes."""
_NODES = ((0, 0), (1, 1), (2, 2), (3, 3), (0, 1), (1, 2), (0, 2), (0, 3), (1, 3), (2, 3))
"""Corners between which each of the ten nodes lies midway."""
_CORNERS_OF = np.array([(np.eye(4)[a] + np.eye(4)[b]) / 2.0 for a, b in _NODES])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class System:
    """A body, what it is made of, and which displacements are free.

    elastic_mpa : (m, 2) Lame's two moduli of each tetrahedron; density_kg_mm3 : (m,); number : (3n,) which unknown, -1
    where the displacement is given; starts, columns : places of the upper half, row by row.
    """

    body: Body
    elastic_mpa: Array
    density_kg_mm3: Array
    number: npt.NDArray[np.int64]
    starts: npt.NDArray[np.int64]
    columns: npt.NDArray[np.int32]

    def stiffness(self) -> csr_array:
        """Upper half of the stiffness [N/mm]."""
        body = self.body
        return self._upper(
            fill_stiffness(body.points_mm, body.tets, self.elastic_mpa, self.number, self.starts, self.columns)
        )

    def mass(self) -> csr_array:
        """Upper half of the consistent mass [t]."""
        body, density = self.body, self.density_kg_mm3 * _TONNES
        return self._upper(
            fill_mass(body.points_mm, body.tets, density, mass_table(), self.number, self.starts, self.columns)
        )

    def _upper(self, values: Array) -> csr_array:
        unknowns = len(self.starts) - 1
        return csr_array((values, self.columns, self.starts), shape=(unknowns, unknowns))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Held:
    """A system with its factor, of the stiffness and `lift` [1/s2] times the mass."""

    system: System
    factor: Factor
    lift: float


def system(body: Body, elastic_mpa: Array, density_kg_mm3: Array, given: Chosen) -> System:
    """The system of a body. given : (n, 3) which displacements are not sought."""
    free = ~given.ravel()
    number = np.where(free, np.cumsum(free) - 1, -1).astype(np.int64)
    firsts, lists = neighbours(body.tets, len(body.points_mm))
    starts, columns = upper_pattern(firsts, lists, number, int(free.sum()))
    return System(
        body=body,
        elastic_mpa=elastic_mpa,
        density_kg_mm3=density_kg_mm3,
        number=number,
        starts=starts,
        columns=columns,
    )


def of_metal(body: Body, metal: Material) -> tuple[Array, Array]:
    """Lame's moduli (m, 2) [MPa] and density (m,) [kg/mm3] of a body all of one metal."""
    count = len(body.tets)
    shear = metal.modulus_mpa / (2.0 * (1.0 + metal.poisson))
    lame = 2.0 * shear * metal.poisson / (1.0 - 2.0 * metal.poisson)
    return np.tile([lame, shear], (count, 1)), np.full(count, metal.density_kg_mm3)


def held(system: System, ties: csr_array | None = None, lift: float = 0.0) -> Held:
    """The system factored. ties : upper half of further stiffness; lift [1/s2] : for a body that nothing holds.

    Raises KernelError where something is free to move.
    """
    upper = system.stiffness()
    if ties is not None:
        upper = csr_array(upper + ties)
    if lift > 0.0:
        upper = csr_array(upper + lift * system.mass())
    order = system.number.reshape(-1, 3)[dissection(system.body.points_mm, system.body.tets, _LEAF)].ravel()
    return Held(system=system, factor=factor(upper, order[order >= 0]), lift=lift)


def moved_mm(held: Held, forces_n: Array, given_mm: Array | None = None) -> Array:
    """Displacements (n, 3) under forces at the nodes (n, 3) [N]. given_mm : (n, 3) where displacements are given, 0 else."""
    system = held.system
    moved = np.zeros_like(system.body.points_mm) if given_mm is None else given_mm.copy()
    free = system.number >= 0
    right = forces_n if given_mm is None else forces_n - held_by_n(held, given_mm)
    moved.reshape(-1)[free] = held.factor.solved(right.ravel()[free])
    return moved


def held_by_n(held: Held, moved: Array) -> Array:
    """Forces (n, 3) at the nodes that keep them displaced so (n, 3)."""
    body = held.system.body
    return pushed_back(body.points_mm, body.tets, held.system.elastic_mpa, moved)


def stresses_mpa(held: Held, moved: Array) -> Array:
    """Stresses (n, 6) at the nodes: xx, yy, zz, yz, xz, xy; each the mean of the tetrahedra that meet there."""
    body = held.system.body
    return node_stresses(body.points_mm, body.tets, held.system.elastic_mpa, moved, _CORNERS_OF)


def equivalent_mpa(stresses: Array) -> Array:
    """The stress in plain pull (n,) that yields as soon (von Mises)."""
    xx, yy, zz, yz, xz, xy = stresses.T
    apart = (xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2
    return np.sqrt(0.5 * apart + 3.0 * (yz**2 + xz**2 + xy**2))


def rings_hz(held: Held, count: int) -> tuple[Array, Array]:
    """The lowest natural frequencies (count,) and their shapes (count, n, 3), largest movement 1."""
    system = held.system
    half = system.mass()
    mass = csr_array(half + triu(half, 1).T)
    operator: Any = LinearOperator  # made by its own rules, which the checker does not see
    unknowns = len(system.starts) - 1
    inverse = operator((unknowns, unknowns), matvec=held.factor.solved, dtype=np.float64)
    start = np.random.default_rng(0).standard_normal(unknowns)
    how: dict[str, Any] = {"OPinv": inverse, "tol": _MODE_TOLERANCE, "v0": start}
    values, vectors = eigsh(mass, count, mass, -held.lift, **how)
    order = np.argsort(values)
    shapes = np.zeros((count, len(system.number)))
    shapes[:, system.number >= 0] = vectors.T[order]
    shapes /= np.abs(shapes).max(axis=1, keepdims=True)
    return np.sqrt(np.maximum(values[order], 0.0)) / (2.0 * pi), shapes.reshape(count, -1, 3)


def pressed_n(skin: Skin, count: int, pressure_mpa: float) -> Array:
    """Forces (count, 3) at a body's nodes of pressure on a part of its skin, towards the metal."""
    return pulled_n(skin, count, -pressure_mpa * skin.normals)


def pulled_n(skin: Skin, count: int, pull_mpa: Array) -> Array:
    """Forces (count, 3) at a body's nodes of a pull (m, 3) or (3,) [MPa] on a part of its skin.

    An even pull on a quadratic triangle acts on the middles of its edges alone.
    """
    forces = np.zeros((count, 3))
    share = np.broadcast_to(pull_mpa, (len(skin.area_mm2), 3)) * skin.area_mm2[:, None] / 3.0
    for k in (3, 4, 5):
        np.add.at(forces, skin.nodes[:, k], share)
    return forces


def mass_table() -> Array:
    """The mass (10, 10) between the nodes of a tetrahedron of volume and density 1.

    Products of corner coordinates over a tetrahedron: 6 V a! b! c! d!/(a + b + c + d + 3)!. Source key:
    zienkiewicz_taylor.
    """
    shapes = [_shape(a, b) for a, b in _NODES]
    return np.array([[_mean_product(one, other) for other in shapes] for one in shapes])


def _shape(a: int, b: int) -> list[tuple[float, tuple[int, ...]]]:
    """A shape function as a sum of products of two corner coordinates: factors, and powers of the four."""
    eye = np.eye(4, dtype=int)
    if a != b:
        return [(4.0, tuple((eye[a] + eye[b]).tolist()))]
    return [(1.0 if c == a else -1.0, tuple((eye[a] + eye[c]).tolist())) for c in range(4)]


def _mean_product(one: list[tuple[float, tuple[int, ...]]], other: list[tuple[float, tuple[int, ...]]]) -> float:
    total = 0.0
    for first, powers in one:
        for second, more in other:
            whole = [p + q for p, q in zip(powers, more, strict=True)]
            top = float(np.prod([factorial(power) for power in whole]))
            total += first * second * 6.0 * top / factorial(sum(whole) + 3)
    return total
