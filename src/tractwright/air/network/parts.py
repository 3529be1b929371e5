"""Pipes, volumes and throats of a network as plain records. SI units."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class End:
    """One end of a pipe. volume : index of the volume it opens into, joint : number of the joint where it meets others;
    shut where neither is given. share_in, share_out : effective throat
    over pipe area for flow into the pipe and out of it. table : effective area [m2] every half degree, moved by
    phase_deg; it replaces the shares.
    """

    volume: int | None = None
    joint: int | None = None
    share_in: float = 1.0
    share_out: float = 1.0
    table: Array | None = None
    phase_deg: float = 0.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Pipe:
    """A pipe. places (m,) rising from 0 to its length [m], area (m,) [m2] there, joined by straight lines.

    darcy : friction factor; loss : further loss coefficient (bends), spread over the length; wall_temperature [K], None
    for walls that take and give no heat.
    hot : its gas is about 1 000 K warm. pressure [Pa], temperature [K], speed [m/s] : at the start, one value or one a
    cell; burnt : share of burnt gas then.
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
    hot: bool = False
    burnt: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Piston:
    """What makes a volume a cylinder: sizes [m], angles [deg]; phase : its gas-exchange top dead centre after that of the
    network's clock; pin_offset [m]; heat : released by a kg of fresh charge [J/kg]; wall_temperature [K], 0
    for no loss; closes : when the inlet valve shuts, after gas-exchange top dead centre.
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
    pin_offset: float = 0.0


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
