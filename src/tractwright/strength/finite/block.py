"""Tetrahedra in rows, columns and layers: a block bent to any shape. The same numbers give the same mesh."""

from collections.abc import Callable

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.strength.finite.body import Body, body

_AROUND = ((1, 2), (2, 1), (2, 4), (4, 2), (4, 1), (1, 4))
"""Six tetrahedra of a cell all share its long diagonal: corners 0, these two steps, 7, in bits of x, y, z."""


def block(stations: tuple[Array, Array, Array], bent: Callable[[Array], Array]) -> Body:
    """The body of a grid of cells, six tetrahedra each. stations : where the cells' corners stand along the three axes;
    bent : takes their places (n, 3) to their places in space [mm].
    """
    a, b, c = (len(line) for line in stations)
    grid = np.stack(np.meshgrid(*stations, indexing="ij"), axis=-1).reshape(-1, 3)
    number = np.arange(a * b * c).reshape(a, b, c)
    corner = [
        number[x : a - 1 + x, y : b - 1 + y, z : c - 1 + z].ravel() for z in (0, 1) for y in (0, 1) for x in (0, 1)
    ]
    tets = [np.column_stack([corner[0], corner[one], corner[one | other], corner[7]]) for one, other in _AROUND]
    return body(bent(grid), np.concatenate(tets))
