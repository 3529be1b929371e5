"""An invented scan of an invented old cast manifold: nothing in it was measured on a real part.

A seed fixes everything. What a scanner leaves is put in on purpose: noise, warp, gaps, strays, hidden insides, any pose.
"""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from invented_field import FLANGE_MM, STRAIGHT_MM, Shape, distances, hollow_distances
from invented_surface import triangles_of
from tractwright.geometry.meshfile import write_stl

REMARK = "invented scan of an invented old part, made by a seeded script;"

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class OldPart:
    """What the invented old part is like. Lengths in mm, head frame: x along the row, y up, z into the part."""

    ports: int
    pitch_mm: float
    port_mm: tuple[float, float, float, float]
    """width, height, upper and lower corner radius"""
    drift: tuple[float, float] = (0.0, 0.12)
    """how far the passage moves in x and y per mm of depth"""
    screw_mm: float = 9.0
    screw_rise_mm: float = 36.0
    plenum_at_mm: tuple[float, float] = (70.0, 150.0)
    """y and z of the plenum's middle"""
    plenum_half_mm: tuple[float, float] = (38.0, 36.0)
    throttle_bore_mm: float = 66.0
    throttle_side: int = 1
    throttle_tilt_deg: float = 0.0
    """how far the throttle's face is turned towards the head, about an upright line"""
    bend: float = 0.0
    """ports bowed sideways by bend * y * y: no simple outline"""

    def port_x(self) -> Floats:
        """Places of the ports along the row."""
        return self.pitch_mm * (np.arange(self.ports) - (self.ports - 1) / 2)

    def screws(self) -> Floats:
        """Head screws (s, 2): a row above between the ports and at the ends, a row below between them, one end only."""
        between = self.port_x()[:-1] + self.pitch_mm / 2
        ends = self.pitch_mm * (self.ports - 1) / 2 + self.port_mm[0] / 2 + 11.5
        above = np.concatenate([[-ends], between, [ends]])
        below = np.concatenate([[-ends], between])
        rise = self.screw_rise_mm
        rows = [np.stack([above, np.full(len(above), rise * 0.62)], 1)]
        return np.concatenate([*rows, np.stack([below, np.full(len(below), -rise * 0.62)], 1)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanner:
    """What the invented scanner does to the part. Lengths in mm, noise as standard deviation."""

    step_mm: float = 0.8
    noise_mm: float = 0.15
    noise_length_mm: float = 1.0
    warp_mm: float = 0.1
    gaps: int = 24
    strays: int = 40
    broken: int = 60
    depth_seen_mm: float = 55.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class InventedScan:
    """triangles (n, 3, 3) float32 [mm] in the scanner's frame, and the truth: turn (3, 3) with the head frame's axes as
    rows, and origin (3,), so that scanner point = origin + head point @ turn.
    """

    triangles: npt.NDArray[np.float32]
    turn: Floats
    origin: Floats
    part: OldPart = field(compare=False)


INLINE_FOUR = OldPart(ports=4, pitch_mm=94.0, port_mm=(50.0, 32.0, 16.0, 16.0))
INLINE_SIX = OldPart(
    ports=6,
    pitch_mm=91.0,
    port_mm=(46.0, 34.0, 12.0, 12.0),
    drift=(0.0, 0.06),
    plenum_at_mm=(62.0, 165.0),
    plenum_half_mm=(40.0, 40.0),
    throttle_bore_mm=76.0,
    throttle_side=-1,
)


def write_cached(path: Path, part: OldPart, seed: int) -> Path:
    """The scan as a binary STL file; made only where the file is not there or was made by other code or numbers."""
    scanner = Scanner()
    remark = f"{REMARK} {_mark(part, scanner, seed)}"
    if not path.exists() or path.open("rb").read(80).decode("ascii", "replace").strip() != remark:
        write_stl(path, invented_scan(part, scanner, seed).triangles, remark)
    return path


def _mark(part: OldPart, scanner: Scanner, seed: int) -> str:
    """What the scan depends on, in eight letters."""
    code = b"".join(path.read_bytes() for path in sorted(Path(__file__).parent.glob("invented_*.py")))
    return hashlib.sha256(code + repr((part, scanner, seed)).encode()).hexdigest()[:8]


def invented_scan(part: OldPart, scanner: Scanner, seed: int) -> InventedScan:
    """The part, scanned."""
    chance = np.random.default_rng(seed)
    shape = shape_of(part)
    low, high = _extent(part)
    points, faces = triangles_of(lambda p: distances(shape, np.ascontiguousarray(p)), low, high, scanner.step_mm)
    normals = _vertex_normals(points, faces)
    faces = faces[_seen(part, shape, points, normals, scanner)[faces].all(axis=1)]
    faces = faces[_without_gaps(points, faces, scanner, chance)]
    points = points + normals * _noise(points, scanner, chance)[:, None]
    points = points + warp_of(part, points, scanner.warp_mm)
    triangles = np.concatenate([points[faces], _strays(points, scanner, chance)])
    turn, origin = _pose(chance)
    triangles = (triangles @ turn + origin).astype(np.float32)
    return InventedScan(triangles=_broken(triangles, scanner, chance), turn=turn, origin=origin, part=part)


def shape_of(part: OldPart) -> Shape:
    """The part as the arrays its distance is computed from."""
    x = part.port_x()
    ports = np.array([[at, 0.0, *part.port_mm, *part.drift, part.bend] for at in x])
    curves = np.stack([_curve(part, at) for at in x])
    share = np.linspace(0.0, 1.0, curves.shape[1])
    bore = 1.04 * np.sqrt(part.port_mm[0] * part.port_mm[1])
    blend = (share**2 * (3 - 2 * share))[:, None]
    sections = np.array(part.port_mm) * (1 - blend) + np.array([bore, bore, bore / 2, bore / 2]) * blend
    reach = max(part.port_mm[:2]) / 2 + 16.0
    half_length = part.pitch_mm * (part.ports - 1) / 2 + bore / 2 + 14.0
    (y, z), (half_y, half_z) = part.plenum_at_mm, part.plenum_half_mm
    face_x = part.throttle_side * (half_length + 34.0)
    half_plate = part.throttle_bore_mm / 2 + 9.0
    tilt = np.radians(part.throttle_tilt_deg)
    return Shape(
        ports=ports,
        screws=np.column_stack([part.screws(), np.full(len(part.screws()), part.screw_mm)]),
        curves=curves,
        sections=np.repeat(sections[None], part.ports, axis=0),
        curve_low=curves.min(axis=1) - reach,
        curve_high=curves.max(axis=1) + reach,
        plenum=np.array([0.0, y, z, half_length, half_y, half_z, 22.0]),
        throttle=np.array([face_x, y, z, part.throttle_bore_mm, half_plate, half_plate - 8.0, tilt]),
        throttle_side=float(part.throttle_side),
        holes=np.array([5.0, 8.5, 7.0, 14.0]),
    )


def _curve(part: OldPart, x: float) -> Floats:
    """A runner's centreline (n, 3): out along the port's axis, up into the plenum's underside, drawn in a little."""
    start = np.array([x + part.drift[0] * STRAIGHT_MM, part.drift[1] * STRAIGHT_MM, STRAIGHT_MM - 3.0])
    axis = np.array([*part.drift, 1.0])
    y, z = part.plenum_at_mm
    end = np.array([0.97 * x, y - part.plenum_half_mm[0] + 12.0, z])
    poles = [start, start + 0.62 * z * axis, end - np.array([0.0, 55.0, 0.0]), end]
    t = np.linspace(0.0, 1.0, 41)[:, None]
    weights = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3]
    return sum(w * p for w, p in zip(weights, poles, strict=True))


def _extent(part: OldPart) -> tuple[Floats, Floats]:
    side = part.pitch_mm * part.ports / 2 + 80.0
    (y, z), (half_y, half_z) = part.plenum_at_mm, part.plenum_half_mm
    throttle = part.throttle_bore_mm / 2 + 14.0
    low = np.array([-side, -62.0, -4.0])
    return low, np.array([side, y + max(half_y + 16.0, throttle), z + max(half_z + 8.0, throttle)])


def _vertex_normals(points: Floats, faces: npt.NDArray[np.int32]) -> Floats:
    a, b, c = (points[faces[:, k]] for k in range(3))
    flat = np.cross(b - a, c - a)
    total = np.stack(
        [sum(np.bincount(faces[:, k], flat[:, axis], len(points)) for k in range(3)) for axis in range(3)], axis=1
    )
    return total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-12)


def _seen(part: OldPart, shape: Shape, points: Floats, normals: Floats, scanner: Scanner) -> npt.NDArray[np.bool_]:
    """A scanner sees the outside, and an inside only near its openings."""
    inside = hollow_distances(shape, points + 0.5 * normals) < 0.0
    deep = points[:, 2] > scanner.depth_seen_mm
    tilted = 30.0 if part.throttle_tilt_deg else 0.0
    behind = (shape.throttle[0] - points[:, 0]) * part.throttle_side > scanner.depth_seen_mm + tilted
    small = (points[:, 1] > shape.plenum[1] + shape.plenum[4] - 3.0) | (points[:, 2] < FLANGE_MM + 20.0)
    return ~(inside & deep & behind & ~small)


def _without_gaps(
    points: Floats, faces: npt.NDArray[np.int32], scanner: Scanner, chance: np.random.Generator
) -> npt.NDArray[np.bool_]:
    middle = points[faces[:, 0]]
    kept = np.ones(len(faces), bool)
    for centre in points[chance.integers(0, len(points), scanner.gaps)]:
        kept &= ((middle - centre) ** 2).sum(axis=1) > chance.uniform(1.5, 5.0) ** 2
    return kept


def _noise(points: Floats, scanner: Scanner, chance: np.random.Generator) -> Floats:
    """Noise along the normal: three quarters of its variance from point to point, a quarter in spots."""
    low = points.min(axis=0) - scanner.noise_length_mm
    cells = np.ceil((points.max(axis=0) - low) / scanner.noise_length_mm).astype(int) + 2
    spots = chance.standard_normal(tuple(cells)).astype(np.float32)
    at = (points - low) / scanner.noise_length_mm
    whole = at.astype(int)
    part = at - whole
    total = np.zeros(len(points))
    square = np.zeros(len(points))
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(corner, part, 1 - part), axis=1)
        total += weight * spots[tuple((whole + corner).T)]
        square += weight**2
    own = chance.standard_normal(len(points))
    return scanner.noise_mm * (0.5 * total / np.sqrt(square) + np.sqrt(0.75) * own)


def warp_of(part: OldPart, points: Floats, warp_mm: float) -> Floats:
    """A bow of the whole part, warp_mm from its middle to its ends, and a little twist."""
    share = points[:, 0] / (part.pitch_mm * part.ports / 2)
    bow = warp_mm * (share**2 - 1 / 3)
    twist = 0.3 * warp_mm * share * points[:, 1] / 50.0
    return np.stack([np.zeros(len(points)), 0.5 * bow, bow + twist], axis=1)


def _strays(points: Floats, scanner: Scanner, chance: np.random.Generator) -> Floats:
    """Flakes floating about the part: (n, 3, 3)."""
    low, high = points.min(axis=0) - 30.0, points.max(axis=0) + 30.0
    flakes = [np.zeros((0, 3, 3))]
    for _ in range(scanner.strays):
        centre = chance.uniform(low, high)
        ring = chance.normal(0.0, 1.5, (chance.integers(6, 60), 3)) + centre
        flakes.append(np.stack([ring[:-2], ring[1:-1], ring[2:]], axis=1))
    return np.concatenate(flakes)


def _broken(
    triangles: npt.NDArray[np.float32], scanner: Scanner, chance: np.random.Generator
) -> npt.NDArray[np.float32]:
    """A few triangles twice, a few of no area, a few that are not numbers, all in a shuffled run."""
    some = triangles[chance.integers(0, len(triangles), 3 * scanner.broken)].copy()
    flat, lost = some[scanner.broken : 2 * scanner.broken], some[2 * scanner.broken :]
    flat[:, 2] = flat[:, 1]
    lost[:, 0, 1] = np.nan
    return np.concatenate([triangles, some])


def _pose(chance: np.random.Generator) -> tuple[Floats, Floats]:
    """Any turn, spread evenly, and any place within 300 mm."""
    square, upper = np.linalg.qr(chance.standard_normal((3, 3)))
    turn = square * np.sign(np.diag(upper))
    turn[0] *= np.sign(np.linalg.det(turn))
    return turn, chance.uniform(-300.0, 300.0, 3)
