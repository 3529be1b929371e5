"""The gas of one network laid into a like one of other cells, so that this starts near its rhythm."""

import numpy as np

from tractwright.air.network.bundles import Network, State


def carry_over(before: tuple[Network, State], after: tuple[Network, State]) -> None:
    """Fill the state of the second from the first: the same parts in the same order, pipes cut into other cells.

    Clock and sums stay as they are; between the middles of cells the gas is taken straight, beyond the outermost even.
    """
    (old, old_state), (new, new_state) = before, after
    new_state.volumes[:] = old_state.volumes
    new_state.tally[:] = old_state.tally
    new_state.faces[:] = old_state.faces
    for (a, b), (c, d) in zip(old.pipe_cells, new.pipe_cells, strict=True):
        places, wanted = (np.arange(b - a) + 0.5) / (b - a), (np.arange(d - c) + 0.5) / (d - c)
        for row, into in zip(old_state.conserved, new_state.conserved, strict=True):
            into[c:d] = np.interp(wanted, places, row[a:b])
