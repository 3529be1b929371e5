"""A solid in tetrahedra: nodes, what they join, and the triangles of its skin. mm."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from skfem import ElementTetP2, MeshTet
from skfem.assembly import Dofs

from tractwright.geometry.frames import Array

Ints32 = npt.NDArray[np.int32]
Chosen = npt.NDArray[np.bool_]

_SIDES = np.array([[0, 1, 2], [0, 1, 3], [0, 2, 3], [1, 2, 3]])
_SIDE_NODES = np.array([[0, 1, 2, 4, 5, 6], [0, 1, 3, 4, 8, 7], [0, 2, 3, 6, 9, 7], [1, 2, 3, 5, 9, 8]])
_OPPOSITE = np.array([3, 2, 1, 0])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Skin:
    """The triangles of a body's skin, all (m, ...): their nodes (6: corners, then middles of the edges 01, 12, 02), area
    [mm2], unit normal out of the metal, middle.
    """

    nodes: Ints32
    area_mm2: Array
    normals: Array
    middles_mm: Array

    def after(self, first: int) -> "Skin":
        """The same triangles where the body's nodes are numbered from `first` on."""
        return replace(self, nodes=(self.nodes + first).astype(np.int32))

    def part(self, chosen: Chosen) -> "Skin":
        """Those triangles only. chosen : (m,)."""
        return Skin(
            nodes=self.nodes[chosen],
            area_mm2=self.area_mm2[chosen],
            normals=self.normals[chosen],
            middles_mm=self.middles_mm[chosen],
        )


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """A solid in tetrahedra with straight edges.

    points_mm : (n, 3); tets : (m, 10) corners, then middles of the edges 01, 12, 02,
    03, 13, 23; skin : its outside.
    """

    points_mm: Array
    tets: Ints32
    skin: Skin

    @property
    def volume_mm3(self) -> float:
        """Of all tetrahedra."""
        corners = self.points_mm[self.tets[:, :4]]
        edges = corners[:, 1:] - corners[:, :1]
        return float(np.abs(np.linalg.det(edges)).sum() / 6.0)


def body(corners_mm: Array, tets: npt.NDArray[np.integer]) -> Body:
    """The body of tetrahedra of four corners (m, 4) among the points (n, 3), either way round."""
    mesh = MeshTet(np.ascontiguousarray(corners_mm.T), np.ascontiguousarray(tets.T))
    dofs = Dofs(mesh, ElementTetP2())
    points = np.vstack([corners_mm, corners_mm[np.asarray(mesh.edges).T].mean(axis=1)])
    nodes = np.ascontiguousarray(dofs.element_dofs.T.astype(np.int32))
    outside = mesh.boundary_facets()
    owner = np.asarray(mesh.f2t)[0, outside]
    side = np.argmax(np.asarray(mesh.t2f)[:, owner] == outside, axis=0)
    return Body(points_mm=points, tets=nodes, skin=_skin(points, nodes[owner], side))


def side_by_side(bodies: Sequence[Body]) -> tuple[Body, tuple[int, ...]]:
    """Several bodies as one that hangs together nowhere, and the number of each one's first node."""
    firsts = (0, *np.cumsum([len(one.points_mm) for one in bodies])[:-1].tolist())
    skins = [one.skin.after(first) for one, first in zip(bodies, firsts, strict=True)]
    whole = Skin(
        nodes=np.concatenate([skin.nodes for skin in skins]),
        area_mm2=np.concatenate([skin.area_mm2 for skin in skins]),
        normals=np.concatenate([skin.normals for skin in skins]),
        middles_mm=np.concatenate([skin.middles_mm for skin in skins]),
    )
    tets = [(one.tets + first).astype(np.int32) for one, first in zip(bodies, firsts, strict=True)]
    points = np.concatenate([one.points_mm for one in bodies])
    return Body(points_mm=points, tets=np.concatenate(tets), skin=whole), firsts


def _skin(points: Array, owners: Ints32, side: npt.NDArray[np.intp]) -> Skin:
    """Of owners : (m, 10) nodes of the tetrahedron behind each triangle; side : which of its four sides that is."""
    rows = np.arange(len(owners))[:, None]
    corners = points[owners[rows, _SIDES[side]]]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice = np.linalg.norm(normals, axis=1)
    inward = points[owners[rows[:, 0], _OPPOSITE[side]]] - corners[:, 0]
    turned = np.where(np.sum(normals * inward, axis=1) > 0.0, -1.0, 1.0)
    return Skin(
        nodes=np.ascontiguousarray(owners[rows, _SIDE_NODES[side]]),
        area_mm2=twice / 2.0,
        normals=normals * (turned / twice)[:, None],
        middles_mm=corners.mean(axis=1),
    )
