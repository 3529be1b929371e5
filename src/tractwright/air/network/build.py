"""The arrays of a network, made from its pipes, volumes and throats. SI units."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tractwright.air.cylinders.kernels import (
    BURNT,
    CYLINDER_COLUMNS,
    ENERGY,
    HEAT_SLOPE,
    MASS,
    PRESSURE,
    RATE,
    SIZE,
    TALLY_COLUMNS,
    VOLUME_COLUMNS,
    cylinder_volume,
    heat_content,
    set_state,
)
from tractwright.air.flow.kernels import (
    AREA_SLOPE,
    COLD,
    FACE_AREA,
    FRICTION,
    GAS_CONSTANT,
    HOT,
    PER_LENGTH,
    PER_VOLUME,
    SHAPE_ROWS,
    WALL_HEAT,
    WALL_TEMPERATURE,
)
from tractwright.air.joints.kernels import MEETING_COLUMNS
from tractwright.air.network.bundles import CHAMBER, CYLINDER, JOINED, RESERVOIR, SHUT, Network, State
from tractwright.air.network.parts import End, Pipe, Piston, Throat, Volume

Array = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
TABLE_POINTS = 1441
FEWEST_CELLS = 4
FAST_SOUND = 400.0  # m/s, of warm air
PRANDTL_FACTOR = 0.71 ** (-2.0 / 3.0)  # Colburn's form of Reynolds' analogy, air


@dataclass(slots=True)
class _Tables:
    """Tables met so far, each kept once."""

    rows: list[Array] = field(default_factory=list[Array])

    def row(self, table: Array | None) -> int:
        if table is None:
            return -1
        for i, known in enumerate(self.rows):
            if known is table:
                return i
        self.rows.append(table)
        return len(self.rows) - 1

    def array(self) -> Array:
        return np.array(self.rows) if self.rows else np.zeros((1, TABLE_POINTS))


def cells_for(length: float, cell: float) -> int:
    """How many cells a pipe gets at a wanted cell length [m]."""
    return max(round(length / cell), FEWEST_CELLS)


def build(pipes: Sequence[Pipe], volumes: Sequence[Volume], throats: Sequence[Throat] = ()) -> tuple[Network, State]:
    """The arrays of a network and its state at the start."""
    tables = _Tables()
    ends = [end for pipe in pipes for end in (pipe.low, pipe.high)]
    hot_from, total, firsts = _first_cells(pipes)
    network = Network(
        shape=np.zeros((SHAPE_ROWS, total)),
        hot_from=hot_from,
        chamber_rate=_chamber_rate(pipes, volumes),
        pipe_cells=np.array([(first, first + pipe.cells) for first, pipe in zip(firsts, pipes, strict=True)]),
        end_power=np.array([HOT if pipe.hot else COLD for pipe in pipes for _ in range(2)]),
        end_volume=np.array([_volume_of(end) for end in ends], dtype=np.int64),
        end_table=np.array([tables.row(end.table) for end in ends], dtype=np.int64),
        end_share=np.array([(end.share_in, end.share_out) for end in ends]),
        end_phase=np.array([end.phase_deg for end in ends]),
        joints=_joints(ends),
        kinds=np.array([_kind(volume) for volume in volumes], dtype=np.int64),
        cylinders=np.array([_piston_row(volume.piston) for volume in volumes]).reshape(-1, CYLINDER_COLUMNS),
        throat_ends=np.array([throat.between for throat in throats], dtype=np.int64).reshape(-1, 2),
        throat_table=np.array([tables.row(throat.table) for throat in throats], dtype=np.int64),
        throat_area=np.array([throat.area for throat in throats], dtype=float),
        throat_phase=np.array([throat.phase_deg for throat in throats], dtype=float),
        tables=tables.array(),
    )
    state = _still_state(network)
    for (first, past), pipe in zip(network.pipe_cells, pipes, strict=True):
        _lay_pipe(network, state, pipe, slice(first, past))
    for k, pipe in enumerate(pipes):
        _start_faces(network, state, k, pipe.hot)
    for v, volume in enumerate(volumes):
        _fill_volume(state, v, volume)
    return network, state


def _first_cells(pipes: Sequence[Pipe]) -> tuple[int, int, list[int]]:
    """Where hot cells begin, how many cells there are, and the first of each pipe: cold pipes before hot ones, each with a
    ghost cell at both ends.
    """
    firsts, place = [0] * len(pipes), 0
    begins = sum(pipe.cells + 2 for pipe in pipes if not pipe.hot)
    for i in sorted(range(len(pipes)), key=lambda i: pipes[i].hot):
        firsts[i] = place + 1
        place += pipes[i].cells + 2
    return begins, place, firsts


def _chamber_rate(pipes: Sequence[Pipe], volumes: Sequence[Volume]) -> float:
    """Greatest area of pipes over size of a chamber, times sound [1/s]."""
    opening = [0.0] * len(volumes)
    for pipe in pipes:
        for end, area in ((pipe.low, pipe.area[0]), (pipe.high, pipe.area[-1])):
            if end.volume is not None:
                opening[end.volume] += float(area)
    rates = [area / v.size for area, v in zip(opening, volumes, strict=True) if v.size is not None and v.piston is None]
    return FAST_SOUND * max(rates, default=0.0)


def _volume_of(end: End) -> int:
    if end.joint is not None:
        return JOINED
    return SHUT if end.volume is None else end.volume


def _joints(ends: Sequence[End]) -> Whole:
    """Ends that meet, a row a joint, filled up with -1."""
    meeting: dict[int, list[int]] = {}
    for i, end in enumerate(ends):
        if end.joint is not None:
            meeting.setdefault(end.joint, []).append(i)
    most = max((len(met) for met in meeting.values()), default=0)
    rows = [met + [-1] * (most - len(met)) for _, met in sorted(meeting.items())]
    return np.array(rows, dtype=np.int64).reshape(len(rows), most)


def _kind(volume: Volume) -> int:
    if volume.piston is not None:
        return CYLINDER
    return RESERVOIR if volume.size is None else CHAMBER


def _piston_row(piston: Piston | None) -> Array:
    if piston is None:
        return np.zeros(CYLINDER_COLUMNS)
    sizes = (piston.bore, piston.stroke, piston.rod, piston.compression, piston.phase)
    burning = (piston.heat, piston.wall_temperature, piston.burn_start, piston.burn_length, piston.closes)
    return np.array((*sizes, *burning, piston.pin_offset))


def _still_state(network: Network) -> State:
    """Arrays of the right size; ghost cells and the faces between pipes hold harmless gas that goes nowhere."""
    cells, pipes, volumes = network.shape.shape[1], len(network.pipe_cells), len(network.kinds)
    conserved = np.tile([[1.2], [0.0], [2.5e5], [0.0]], (1, cells))
    edges = np.tile([[1.2], [0.0], [1e5]], (1, cells))
    return State(
        conserved=conserved,
        cells=np.zeros((5, cells)),
        low=edges,
        high=edges.copy(),
        flux=np.zeros((4, cells)),
        faces=np.zeros((2 * pipes, 3)),
        meeting=np.zeros((network.joints.shape[1], MEETING_COLUMNS)),
        volumes=np.zeros((volumes, VOLUME_COLUMNS)),
        gains=np.zeros((volumes, 3)),
        tally=np.zeros((volumes, TALLY_COLUMNS)),
        sums=np.zeros(6),
        peaks=np.zeros((pipes, 2)),
        clock=np.zeros(1),
    )


def _lay_pipe(network: Network, state: State, pipe: Pipe, where: slice) -> None:
    faces = np.linspace(0.0, pipe.places[-1], pipe.cells + 1)
    cell = faces[1] - faces[0]
    area = np.interp(faces, pipe.places, pipe.area)
    middle = np.interp(0.5 * (faces[1:] + faces[:-1]), pipe.places, pipe.area)
    size = cell * (area[1:] + area[:-1] + 4.0 * middle) / 6.0
    rub = 0.5 * pipe.darcy / np.sqrt(4.0 / np.pi * middle)
    shape = network.shape
    shape[PER_LENGTH, where] = 1.0 / cell
    shape[AREA_SLOPE, where] = (area[1:] - area[:-1]) * cell / size
    shape[PER_VOLUME, where] = 1.0 / size
    shape[FRICTION, where] = rub + 0.5 * pipe.loss / pipe.places[-1]
    if pipe.wall_temperature is not None:
        shape[WALL_HEAT, where] = rub * PRANDTL_FACTOR
        shape[WALL_TEMPERATURE, where] = pipe.wall_temperature
    shape[FACE_AREA, where.start : where.stop + 1] = area
    density = pipe.pressure / (GAS_CONSTANT * np.asarray(pipe.temperature))
    state.conserved[0, where] = density
    state.conserved[1, where] = density * pipe.speed
    state.conserved[2, where] = pipe.pressure / _gamma_1(pipe.hot) + 0.5 * density * np.square(pipe.speed)
    state.conserved[3, where] = density * pipe.burnt


def _gamma_1(hot: bool) -> float:
    return 2.0 / ((HOT if hot else COLD) - 2.0)


def _start_faces(network: Network, state: State, k: int, hot: bool) -> None:
    """The faces' last state, at the start: that of the cell beside them."""
    first, past = network.pipe_cells[k]
    for end, cell in ((2 * k, first), (2 * k + 1, past - 1)):
        density, momentum, energy, _ = state.conserved[:, cell]
        pressure = _gamma_1(hot) * (energy - 0.5 * momentum**2 / density)
        state.faces[end] = density, momentum / density, pressure


def _fill_volume(state: State, v: int, volume: Volume) -> None:
    piston = volume.piston
    size, slope = volume.size or 1.0, 0.0
    if piston is not None:
        row = (piston.bore, piston.stroke, piston.rod, piston.pin_offset, piston.compression)
        size = cylinder_volume(*row, -piston.phase)
        slope = HEAT_SLOPE
    mass = volume.pressure * size / (GAS_CONSTANT * volume.temperature)
    row = state.volumes[v]
    row[MASS], row[SIZE], row[PRESSURE] = mass, size, volume.pressure
    row[ENERGY] = mass * heat_content(volume.temperature, slope)
    row[BURNT] = mass * volume.burnt
    set_state(row, 1.0, slope)
    row[RATE] = 0.0
