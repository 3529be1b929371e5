"""An order of elimination that keeps the factor of a system thin: a body is cut in two again and again, and the nodes of each
cut come after those of both its halves (nested dissection).

Source key: george_1973.
"""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Ints32 = npt.NDArray[np.int32]


@njit(cache=True)
def dissection(points: Floats, tets: Ints32, leaf: int) -> Ints:
    """Every node of the tetrahedra once, in the order to eliminate them; parts of up to `leaf` tetrahedra are not cut."""
    order = np.empty(len(points), dtype=np.int64)
    last = len(points)
    given = np.zeros(len(points), dtype=np.bool_)
    mark = np.full(len(points), -1, dtype=np.int64)
    middles = np.zeros((len(tets), 3))
    for tet in range(len(tets)):
        for corner in range(4):
            middles[tet] += points[tets[tet, corner]] / 4.0
    items = np.arange(len(tets))
    parts = [(0, len(tets))]
    cut = 0
    while len(parts) > 0:
        low, high = parts.pop()
        middle = low if high - low <= leaf else (low + high) // 2
        if middle > low:
            own = middles[items[low:high]]
            longest = 0
            for axis in range(3):
                if np.ptp(own[:, axis]) > np.ptp(own[:, longest]):
                    longest = axis
            items[low:high] = items[low:high][np.argsort(own[:, longest], kind="mergesort")]
            parts.append((low, middle))
            parts.append((middle, high))
        cut += 1
        for place in range(low, middle):
            for node in tets[items[place]]:
                mark[node] = cut
        for place in range(middle, high):
            for node in tets[items[place]]:
                if not given[node] and (middle == low or mark[node] == cut):
                    given[node] = True
                    last -= 1
                    order[last] = node
    return order
