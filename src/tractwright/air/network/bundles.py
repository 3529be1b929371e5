"""The two bundles of arrays that every step of a network works on: `Network` does not change, `State` does."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

RESERVOIR, CHAMBER, CYLINDER = 0, 1, 2
SHUT, JOINED = -1, -2  # instead of a volume at a pipe's end
# State.sums
WALL_HEAT_IN, CYLINDER_LOSS, WORK_OUT, FUEL_HEAT, MASS_IN, ENERGY_IN = 0, 1, 2, 3, 4, 5


class Network(NamedTuple):
    """What does not change. K pipes, V volumes, J joints, L throats, n cells; end 2k is the low end of pipe k, 2k + 1 the high.

    shape (7, n): rows as in flow; hot_from : cells from here on are of hot gas; chamber_rate [1/s] : how
    fast sound fills the chamber with the widest pipes for its size; pipe_cells (K, 2): first cell, one past
    the last; end_power (2K,): n of the pipe's gas; end_volume (2K,): or SHUT or JOINED; end_table (2K,): row of `tables`,
    -1 none; end_share (2K, 2): throat over pipe area, into the pipe and out of it; end_phase (2K,) [deg]; joints (J, m):
    ends that meet, -1 none; kinds (V,); cylinders (V, 11); throat_ends (L, 2), throat_table (L,), throat_area (L,) [m2],
    throat_phase (L,); tables (T, 1441): effective area [m2] every half degree of 720.
    """

    shape: Floats
    hot_from: int
    chamber_rate: float
    pipe_cells: Whole
    end_power: Floats
    end_volume: Whole
    end_table: Whole
    end_share: Floats
    end_phase: Floats
    joints: Whole
    kinds: Whole
    cylinders: Floats
    throat_ends: Whole
    throat_table: Whole
    throat_area: Floats
    throat_phase: Floats
    tables: Floats


class State(NamedTuple):
    """What changes. clock (1,) [s]; peaks (K, 2): highest speed at the low end [m/s], highest Mach number anywhere."""

    conserved: Floats
    cells: Floats
    low: Floats
    high: Floats
    flux: Floats
    faces: Floats
    meeting: Floats
    volumes: Floats
    gains: Floats
    tally: Floats
    sums: Floats
    peaks: Floats
    clock: Floats


@njit(inline="always")
def place_of(network: Network, end: int) -> tuple[int, int, float]:
    """(cell, face, sign of the speed that leaves the pipe) of a pipe's end."""
    k = end // 2
    if end % 2 == 0:
        return network.pipe_cells[k, 0], network.pipe_cells[k, 0], -1.0
    return network.pipe_cells[k, 1] - 1, network.pipe_cells[k, 1], 1.0
