"""A walled plate of some 120 000 tetrahedra: how long mesh, one load and the lowest frequencies take, in processor time.

python benchmarks/strength.py [--seed N] [--count N]
count : how many such plates, sizes drawn by the seed. Resumable: each one's result is kept under
benchmarks/results/strength/, by the source it was made with. The last line is one JSON object.
"""

import argparse
import json
import tempfile
import time
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from tractwright.cache import source_hash
from tractwright.geometry.frames import Frame
from tractwright.kernel.primitives import extrude
from tractwright.kernel.step import write_step
from tractwright.standards.materials import material
from tractwright.strength.finite.body import Body, body
from tractwright.strength.finite.elastic import (
    equivalent_mpa,
    held,
    moved_mm,
    of_metal,
    pressed_n,
    rings_hz,
    stresses_mpa,
    system,
)
from tractwright.strength.finite.mesher import Grain, tetrahedra

RESULTS = Path(__file__).parent / "results" / "strength"
BARS = {"tetrahedra": 120_000.0, "mesh_s": 15.0, "static_s": 60.0}
METAL = material("6061-T651")
GRAIN = Grain(largest_mm=3.0, smallest_mm=2.0, a_turn=16.0)
_COMPARTMENTS = 5
_HIGH = 80.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One plate: sizes of its mesh and its system, processor time of each step [s], the lowest frequency [Hz]."""

    tetrahedra: int
    unknowns: int
    mesh_s: float
    static_s: float
    modes_s: float
    first_hz: float
    worst_mpa: float


def main() -> None:
    """Run what is not yet kept, then sum up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=1)
    options = parser.parse_args()
    RESULTS.mkdir(parents=True, exist_ok=True)
    found = [_kept(options.seed + k) for k in range(options.count)]
    for result in found:
        print(
            f"{result.tetrahedra} tetrahedra, {result.unknowns} unknowns: mesh {result.mesh_s:.1f} s, one load "
            f"{result.static_s:.1f} s, three frequencies {result.modes_s:.1f} s more; first {result.first_hz:.0f} Hz"
        )
    print(json.dumps(_summed(found)))


def _summed(found: list[Result]) -> dict[str, dict[str, float | bool]]:
    worst = {
        "tetrahedra": float(min(result.tetrahedra for result in found)),
        "mesh_s": max(result.mesh_s for result in found),
        "static_s": max(result.static_s for result in found),
    }
    return {
        name: {
            "value": round(value, 2),
            "bar": BARS[name],
            "holds": value >= BARS[name] if name == "tetrahedra" else value <= BARS[name],
            "count": len(found),
        }
        for name, value in worst.items()
    }


def _kept(seed: int) -> Result:
    place = RESULTS / f"{seed}_{GRAIN.largest_mm}_{source_hash()}.json"
    if place.exists():
        return Result(**json.loads(place.read_text(encoding="utf-8")))
    _solved(body(*_meshed(seed, Grain(largest_mm=40.0, smallest_mm=20.0, a_turn=6.0))[0]))  # compiles
    (points, tets), mesh_s = _meshed(seed, GRAIN)
    result = _timed(body(points, tets), mesh_s)
    place.write_text(json.dumps(asdict(result)), encoding="utf-8")
    return result


def _meshed(seed: int, grain: Grain) -> tuple[tuple[np.ndarray, np.ndarray], float]:
    """A plate with compartments through it, walls of 5 to 9 mm between them, rounded corners."""
    rng = np.random.default_rng(seed)
    wall, wide, long = rng.uniform(5.0, 9.0), rng.uniform(90.0, 130.0), rng.uniform(50.0, 70.0)
    holes = [_rounded(wall + k * (long + wall), wall, long, wide) for k in range(_COMPARTMENTS)]
    outside = _rounded(0.0, 0.0, wall + _COMPARTMENTS * (long + wall), wide + 2.0 * wall)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plate.step"
        write_step([("plate", extrude(outside, Frame(), _HIGH, holes))], path, "plate")
        start = time.process_time()
        return tetrahedra(path, grain), time.process_time() - start


def _rounded(x: float, y: float, long: float, wide: float) -> tuple[tuple[float, float, float], ...]:
    """A rectangle with corners of 8 mm radius, counter-clockwise."""
    radius, quarter = 8.0, float(np.tan(np.pi / 8.0))
    return (
        (x + radius, y, 0.0),
        (x + long - radius, y, quarter),
        (x + long, y + radius, 0.0),
        (x + long, y + wide - radius, quarter),
        (x + long - radius, y + wide, 0.0),
        (x + radius, y + wide, quarter),
        (x, y + wide - radius, 0.0),
        (x, y + radius, quarter),
    )


def _solved(plate: Body) -> tuple[float, float, float, float, int]:
    start = time.process_time()
    points, skin = plate.points_mm, plate.skin
    foot = np.repeat((points[:, 2] < 1e-6)[:, None], 3, axis=1)
    bound = held(system(plate, *of_metal(plate, METAL), foot))
    inside = (np.abs(skin.normals[:, 2]) < 0.1) & (skin.middles_mm[:, 1] > 1.0)
    moved = moved_mm(bound, pressed_n(skin.part(inside), len(points), 0.1))
    worst = float(equivalent_mpa(stresses_mpa(bound, moved)).max())
    static = time.process_time()
    first = float(rings_hz(bound, 3)[0][0])
    return static - start, time.process_time() - static, first, worst, len(bound.system.starts) - 1


def _timed(plate: Body, mesh_s: float) -> Result:
    static_s, modes_s, first, worst, unknowns = _solved(plate)
    return Result(
        tetrahedra=len(plate.tets),
        unknowns=unknowns,
        mesh_s=mesh_s,
        static_s=static_s,
        modes_s=modes_s,
        first_hz=first,
        worst_mpa=worst,
    )


if __name__ == "__main__":
    main()
