"""Pipes, volumes and throats as plain records, and the arrays of a network made from them. SI units."""

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
    FACE_AREA,
    FRICTION,
    GAMMA_1,
    GAS_CONSTANT,
    PER_LENGTH,
    PER_VOLUME,
    SHAPE_ROWS,
    WALL_HEAT,
    WALL_TEMPERATURE,
)
from tractwright.air.network.kernels import CHAMBER, CYLINDER, RESERVOIR, Network, State

Array = npt.NDArray[np.float64]
TABLE_POINTS = 1441
FEWEST_CELLS = 4
PRANDTL_FACTOR = 0.71 ** (-2.0 / 3.0)  # Colburn's form of Reynolds' analogy, air


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class End:
    """One end of a pipe. volume : index of the volume it opens into, None if shut. share_in, share_out : effective throat
    over pipe area for flow into the pipe and out of it. table : effective area [m2] every half degree, moved by
    phase_deg; it replaces the shares.
    """

    volume: int | None = None
    share_in: float = 1.0
    share_out: float = 1.0
    table: Array | None = None
    phase_deg: float = 0.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Pipe:
    """A pipe. places (m,) rising from 0 to its length [m], area (m,) [m2] there, joined by straight lines.

    darcy : friction factor; loss : further loss coefficient (bends), spread over the length; wall_temperature [K], None
    for walls that take and give no heat.
    pressure [Pa], temperature [K], speed [m/s] : at the start, one value or one a cell.
    """

    places: Array
    area: Array
    cells: int
    low: End
    high: End
    darcy: float = 0.0
    loss: float = 0.0
    wall_temperature: float | None = None
    pressure: float | Array = 101325.0
    temperature: float | Array = 300.0
    speed: float | Array = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piston:
    """What makes a volume a cylinder: sizes [m], angles [deg]; phase : its gas-exchange top dead centre after that of the
    network's clock; heat : released by a kg of fresh charge [J/kg]; wall_temperature [K], 0 for no loss; closes : when
    the inlet valve shuts, after gas-exchange top dead centre.
    """

    bore: float
    stroke: float
    rod: float
    compression: float
    phase: float
    heat: float
    wall_temperature: float
    burn_start: float
    burn_length: float
    closes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Volume:
    """Gas at rest. size : [m3], None for a reservoir that never changes (a cylinder's follows from its piston)."""

    pressure: float
    temperature: float
    size: float | None = None
    burnt: float = 0.0
    piston: Piston | None = None


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Throat:
    """An opening between two volumes: effective area [m2], or a table of it as in `End`."""

    between: tuple[int, int]
    area: float = 0.0
    table: Array | None = None
    phase_deg: float = 0.0


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
    firsts = np.cumsum([1] + [pipe.cells + 2 for pipe in pipes])
    network = Network(
        shape=np.zeros((SHAPE_ROWS, int(firsts[-1]))),
        pipe_cells=np.array([(first, first + pipe.cells) for first, pipe in zip(firsts, pipes, strict=False)]),
        end_volume=np.array([-1 if end.volume is None else end.volume for end in ends], dtype=np.int64),
        end_table=np.array([tables.row(end.table) for end in ends], dtype=np.int64),
        end_share=np.array([(end.share_in, end.share_out) for end in ends]),
        end_phase=np.array([end.phase_deg for end in ends]),
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
    for k in range(len(pipes)):
        _start_faces(network, state, k)
    for v, volume in enumerate(volumes):
        _fill_volume(state, v, volume)
    return network, state


def _kind(volume: Volume) -> int:
    if volume.piston is not None:
        return CYLINDER
    return RESERVOIR if volume.size is None else CHAMBER


def _piston_row(piston: Piston | None) -> Array:
    if piston is None:
        return np.zeros(CYLINDER_COLUMNS)
    sizes = (piston.bore, piston.stroke, piston.rod, piston.compression, piston.phase)
    burning = (piston.heat, piston.wall_temperature, piston.burn_start, piston.burn_length, piston.closes)
    return np.array(sizes + burning)


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
    state.conserved[2, where] = pipe.pressure / GAMMA_1 + 0.5 * density * np.square(pipe.speed)


def _start_faces(network: Network, state: State, k: int) -> None:
    """The faces' last state, at the start: that of the cell beside them."""
    first, past = network.pipe_cells[k]
    for end, cell in ((2 * k, first), (2 * k + 1, past - 1)):
        density, momentum, energy, _ = state.conserved[:, cell]
        pressure = GAMMA_1 * (energy - 0.5 * momentum**2 / density)
        state.faces[end] = density, momentum / density, pressure


def _fill_volume(state: State, v: int, volume: Volume) -> None:
    piston = volume.piston
    size, slope = volume.size or 1.0, 0.0
    if piston is not None:
        size = cylinder_volume(piston.bore, piston.stroke, piston.rod, piston.compression, -piston.phase)
        slope = HEAT_SLOPE
    mass = volume.pressure * size / (GAS_CONSTANT * volume.temperature)
    row = state.volumes[v]
    row[MASS], row[SIZE], row[PRESSURE] = mass, size, volume.pressure
    row[ENERGY] = mass * heat_content(volume.temperature, slope)
    row[BURNT] = mass * volume.burnt
    set_state(row, 1.0, slope)
    row[RATE] = 0.0
