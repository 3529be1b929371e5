"""What is known of the space: the pattern on the head and the room around it. Filled by scan/, own/ or the sheet."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tractwright.design.records import Bank, HeadHole, Port
from tractwright.geometry.frames import Array, Frame, Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrottleFace:
    """Where the throttle body sat or must sit: frame (origin at its centre, z out of the manifold), bore, hole pattern."""

    frame: Frame
    bore_mm: float
    holes_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One feature a source gave: what, value with unit, residual, how sure (0..1), and a value another source gave.

    source, other : which sources those are; standard : the standard size it is taken for, None where there is no evidence.
    """

    what: str
    value: float
    unit: str
    residual: float
    sure: float
    other_source: float | None = None
    source: str = "scan"
    other: str = "sheet"
    standard: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbableHole:
    """A place in the bank's x-y where the pattern repeats itself but no hole was found, and why one is expected there.

    seen : how well the scan shows that there is none, 0..1; taken : whether it stands among the holes, as assumed.
    """

    at_mm: tuple[float, float]
    why: str
    seen: float
    taken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Banks, ports and holes, all in the job frame or the bank's x-y; where they come from; what was counted and dropped."""

    banks: tuple[Bank, ...]
    ports: tuple[Port, ...]
    head_holes: tuple[HeadHole, ...]
    throttle_face: ThrottleFace | None = None
    measurements: tuple[Measurement, ...] = ()
    notes: tuple[str, ...] = ()
    probable: tuple[ProbableHole, ...] = ()

    def sure_of(self, what: str) -> float:
        """How sure the least sure figure of a thing is ('hole s3'), 0..1; 1 where nothing was measured."""
        return min((item.sure for item in self.measurements if item.what.startswith(f"{what} ")), default=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOutPlane:
    """The part stays on the side the normal points to: normal . p >= offset_mm."""

    name: str
    normal: Vec3
    offset_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOutBox:
    """An axis-parallel box the part stays out of."""

    name: str
    low_mm: Vec3
    high_mm: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOutRod:
    """A straight round body the part stays out of, round at its ends: a hose, or a way that stays free."""

    name: str
    start_mm: Vec3
    end_mm: Vec3
    diameter_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class DistanceGrid:
    """Signed distance [mm] sampled on a cubic grid: positive where the part may be. values (nx, ny, nz) float32.

    free_beyond : whether it grows outside the samples (what is kept out lies within them) or shrinks (a space to stay in).
    """

    name: str
    low_mm: Vec3
    step_mm: float
    values: npt.NDArray[np.float32]
    free_beyond: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Where the part may be: everything not kept out. `clearance` and `nearest` in geometry answer for points.
    old_part : faint triangles for pictures, vertices (n, 3) and faces (m, 3), job frame; dropped_mm (k, 3) : what was
    left out of the scan, for pictures.
    """

    planes: tuple[KeepOutPlane, ...] = ()
    boxes: tuple[KeepOutBox, ...] = ()
    rods: tuple[KeepOutRod, ...] = ()
    grids: tuple[DistanceGrid, ...] = ()
    old_part: tuple[Array, npt.NDArray[np.int32]] | None = field(default=None, compare=False)
    dropped_mm: Array = field(default_factory=lambda: np.zeros((0, 3)), compare=False)
