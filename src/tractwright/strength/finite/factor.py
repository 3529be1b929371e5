"""The one door to sparse direct solving: symmetric, positive definite systems, factored once and solved many times.

CHOLMOD by way of cvxopt, in an order of our own (`dissection_kernels`): measured as fast as the fastest closed library, and to
be had everywhere under an open licence.
"""

from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np
import numpy.typing as npt
from cvxopt import matrix, spmatrix
from scipy.sparse import csr_array

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array

cholmod: Any = import_module("cvxopt.cholmod")  # compiled: its names are unknown to the checker

_STEP, _FREE = "solving a solid's system", "it is not held: something is free to move"
_LEFT_OVER = 1e-5
"""Of a trial load: a system that nothing holds is let through by rounding, and then solves nothing."""


@dataclass(frozen=True, eq=False, slots=True)
class Factor:
    """A factored system."""

    held: Any

    def solved(self, right: Array) -> Array:
        """The solution (n,) or (n, k) for such right sides."""
        answer = matrix(np.asfortranarray(right, dtype=np.float64))
        cholmod.solve(self.held, answer)
        return np.array(answer).reshape(right.shape)


def factor(upper: csr_array, order: npt.NDArray[np.int64]) -> Factor:
    """The factor of the symmetric matrix whose upper half is given, rows eliminated in that order.

    Raises KernelError where it is not positive definite: something is free to move, or has no stiffness.
    """
    count = len(upper.indptr) - 1
    rows = np.repeat(np.arange(count), np.diff(upper.indptr))
    lower = spmatrix(upper.data, upper.indices.astype(np.int64), rows, (count, count))
    try:
        held = cholmod.symbolic(lower, matrix(order))
        cholmod.numeric(lower, held)
    except ArithmeticError as fault:
        raise KernelError(_STEP, _FREE) from fault
    found = Factor(held)
    trial = np.random.default_rng(0).standard_normal(count)
    answer = found.solved(trial)
    left = upper @ answer + upper.T @ answer - upper.diagonal() * answer - trial
    if not np.linalg.norm(left) < _LEFT_OVER * np.linalg.norm(trial):
        raise KernelError(_STEP, _FREE)
    return found
