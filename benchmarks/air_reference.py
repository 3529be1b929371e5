"""Our cells beside a Fortran reference solver's in one run, where the package clawpack is installed (it needs a compiler).

The same second-order problems with the same limiter on as many cells: speed in a long closed pipe, error in Sod's tube.
"""

import logging
import tempfile
from collections.abc import Iterator
from contextlib import chdir
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from time import process_time
from typing import Any

import numpy as np
import numpy.typing as npt

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe

Array = npt.NDArray[np.float64]
Start = tuple[Array, Array, Array]
"""Density, speed, pressure a cell."""

GAMMA, GAS_CONSTANT, COURANT = 1.4, 287.05, 0.85
LONG_CELLS, LONG_TIME = 1000, 0.1
SOD_CELLS, WORSE = (
    200,
    1.5,
)  # its limiter works on waves one by one and keeps them sharper; ours on density, speed, pressure
TURNS = 3  # each in turn, the best of both counts: other work on the machine slows either


def beside_the_reference() -> Iterator[tuple[str, float, float, bool, int]]:
    """How many times the reference's cells ours are moved on in the same time, and our error over its own."""
    if find_spec("clawpack") is None:
        return
    still = (np.full(LONG_CELLS, 1.2), np.full(LONG_CELLS, 20.0), np.full(LONG_CELLS, 1e5))
    turns = [(_rate(_moved_by_us, still), _rate(_moved_by_reference, still)) for _ in range(TURNS)]
    ours, theirs = (max(rates) for rates in zip(*turns, strict=True))
    yield "cell updates over the Fortran reference's", ours / theirs, 1.0, ours >= theirs, LONG_CELLS
    left = np.arange(SOD_CELLS) < SOD_CELLS // 2
    start = (np.where(left, 1.0, 0.125), np.zeros(SOD_CELLS), np.where(left, 1e5, 1e4))
    end = 0.2 / np.sqrt(1e5)
    finest = _moved_by_reference(_finer(start, 16), end)[0].reshape(SOD_CELLS, 16).mean(axis=1)
    error, its_error = (
        float(np.abs(way(start, end)[0] - finest).mean()) for way in (_moved_by_us, _moved_by_reference)
    )
    yield "error in Sod's tube over the reference's", error / its_error, WORSE, error <= WORSE * its_error, SOD_CELLS


@cache
def _reference() -> tuple[Any, Any]:
    """Its solver and its equations. It opens a log where it is first called from: in a folder that goes away."""
    with tempfile.TemporaryDirectory() as folder, chdir(folder):
        pyclaw = import_module("clawpack.pyclaw")
    logging.getLogger("pyclaw").setLevel(logging.ERROR)
    return pyclaw, import_module("clawpack.riemann")


def _finer(start: Start, times: int) -> Start:
    density, speed, pressure = (np.repeat(values, times) for values in start)
    return density, speed, pressure


def _rate(way: Any, start: Start) -> float:
    """Cell updates a second of the processor."""
    way(start, 1e-4)
    before = process_time()
    steps = way(start, LONG_TIME)[1]
    return steps * start[0].size / (process_time() - before)


def _moved_by_us(start: Start, end: float) -> tuple[Array, int]:
    """Density at a time [s] in a closed pipe of 1 m, and the steps it took."""
    density, speed, pressure = start
    pipe = Pipe(
        places=np.array([0.0, 1.0]), area=np.full(2, 1e-3), cells=density.size, low=End(), high=End(),
        pressure=pressure, temperature=pressure / (GAS_CONSTANT * density), speed=speed,
    )  # fmt: skip
    network, state = build([pipe], [])
    steps = advance(network, state, end, 0.0, COURANT)
    return state.conserved[0, 1 : density.size + 1], steps


def _moved_by_reference(start: Start, end: float) -> tuple[Array, int]:
    """The same by wave propagation, second order, the same limiter."""
    pyclaw, riemann = _reference()
    density, speed, pressure = start
    solver = pyclaw.ClawSolver1D(riemann.euler_with_efix_1D)
    solver.bc_lower[0] = solver.bc_upper[0] = pyclaw.BC.wall
    solver.limiters = [pyclaw.limiters.tvd.MC] * 3
    solver.cfl_desired, solver.cfl_max, solver.max_steps, solver.dt = COURANT, 0.95, 10**9, 1e-6
    domain = pyclaw.Domain([pyclaw.Dimension(0.0, 1.0, density.size, name="x")])
    state = pyclaw.State(domain, 3)
    state.problem_data.update(gamma=GAMMA, gamma1=GAMMA - 1.0)
    state.q[0], state.q[1] = density, density * speed
    state.q[2] = pressure / (GAMMA - 1.0) + 0.5 * density * speed**2
    solution = pyclaw.Solution(state, domain)
    solver.setup(solution)
    solver.evolve_to_time(solution, end)
    return solution.q[0].copy(), int(solver.status["numsteps"])
