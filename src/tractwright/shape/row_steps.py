"""How far apart the rows of a skin stand between two blends."""

import numpy as np

from tractwright.geometry.frames import Array

_BISECTIONS = 40


def steps_between(ends: tuple[Array, Array], share: Array, length: Array) -> Array:
    """Places (rows, m) of rows between two blends, from 0 to length (m,), both left out.

    At each clock angle the steps begin as long as those of the one blend (m,), end as long as those of the other and change
    by a steady ratio in between: through steps that change at a stroke no smooth surface can be laid, it would fold.
    share (rows + 1,) : how far each step has come from its end's to the middle's, 0 to 1.
    """
    share = share[:, None]
    near = np.where(np.arange(len(share))[:, None] <= len(share) // 2, *ends)
    low, high = np.full(len(length), 1e-3), length.copy()
    for _ in range(_BISECTIONS):
        middle = np.sqrt(low * high)
        short = (near ** (1.0 - share) * middle**share).sum(axis=0) < length
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    steps = near ** (1.0 - share) * high**share
    return np.cumsum(steps * (length / steps.sum(axis=0)), axis=0)[:-1]
