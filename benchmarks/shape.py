"""Head pieces of random inline jobs, laid out and built: how many come out exact and sound, with their blends, in what time.

python benchmarks/shape.py [--seed N] [--count N]
Resumable: each job's result is kept under benchmarks/results/shape/. The last line is one JSON object.
"""

import argparse
import json
import tempfile
import time
import traceback
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
import tomlkit

from random_jobs import open_sheet
from tractwright.air.stage import wanted
from tractwright.design.file import Held
from tractwright.design.records import Design
from tractwright.errors import KernelError, TractwrightError
from tractwright.job.read import read_sheet
from tractwright.kernel.measure import fineness
from tractwright.route.stage import describe
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.records import BuiltPiece
from tractwright.shape.stage import build_one

RESULTS = Path(__file__).parent / "results" / "shape"
BARS = {"exact": 0.99, "sound": 1.0, "blends made": 0.98, "cpu s median": 15.0, "volume off, worst": 1e-3}


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadResult:
    """What became of one head piece. off : its volume against its mesh twin."""

    seed: int
    laid_out: bool
    exact: bool
    sound: bool
    rung: str
    fallback: str
    off: float
    blends_wanted: int
    blends_made: int
    faces: int
    least_edge_mm: float
    cpu_seconds: float
    trace: str = ""


def main() -> None:
    """Run what is not yet kept, then sum up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=12)
    options = parser.parse_args()
    RESULTS.mkdir(parents=True, exist_ok=True)
    results: list[HeadResult] = []
    for seed in range(options.seed, options.seed + options.count):
        path = RESULTS / f"{seed}.json"
        if not path.exists():
            path.write_text(json.dumps(asdict(run(seed))))
        results.append(HeadResult(**json.loads(path.read_text())))
        print(results[-1], flush=True)
    print(json.dumps(figures(results)))


def run(seed: int) -> HeadResult:
    """Lay one random job out and build its head piece."""
    try:
        design = _design(seed)
    except TractwrightError:
        return _nothing(seed, 0.0, "", laid_out=False)
    piece = next(item for item in design.pieces if item.kind == "head")
    start = time.process_time()
    try:
        built = build_one(piece, design)
    except Exception:
        return _nothing(seed, time.process_time() - start, traceback.format_exc(), laid_out=True)
    return _result(seed, built, time.process_time() - start)


def figures(results: list[HeadResult]) -> dict[str, dict[str, float | bool | int]]:
    """Each figure with its bar."""
    built = [item for item in results if item.laid_out]
    exact = [item for item in built if item.exact]
    wanted_blends = sum(item.blends_wanted for item in exact)
    values = {
        "exact": len(exact) / max(len(built), 1),
        "sound": sum(item.sound for item in exact) / max(len(exact), 1),
        "blends made": sum(item.blends_made for item in exact) / max(wanted_blends, 1),
        "cpu s median": float(np.median([item.cpu_seconds for item in built])) if built else 0.0,
        "volume off, worst": max((abs(item.off) for item in exact), default=0.0),
    }
    at_most = {"cpu s median", "volume off, worst"}
    return {
        name: {
            "value": round(value, 6),
            "bar": BARS[name],
            "holds": value <= BARS[name] if name in at_most else value >= BARS[name],
            "count": len(built),
        }
        for name, value in values.items()
    }


def _design(seed: int) -> Design:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(tomlkit.dumps(open_sheet(seed)))
        sheet = read_sheet(path)
        pattern, room = pattern_and_room(sheet, path.parent)
    described = describe(sheet, pattern, room, wanted(sheet, pattern), Held())
    if not described.feasible:
        raise KernelError(f"job {seed}", f"no manifold to build: {described.shortfalls}")
    return described.design


def _result(seed: int, built: BuiltPiece, seconds: float) -> HeadResult:
    fine = fineness(built.solid.opened()) if built.solid else None
    return HeadResult(
        seed=seed,
        laid_out=True,
        exact=built.solid is not None,
        sound=built.valid and built.watertight and built.solids == 1,
        rung=built.rung,
        fallback=built.fallback,
        off=built.volume_mm3 / built.twin_volume_mm3 - 1.0,
        blends_wanted=built.blends_wanted,
        blends_made=built.blends_made,
        faces=fine.faces if fine else 0,
        least_edge_mm=fine.least_edge_mm if fine else 0.0,
        cpu_seconds=seconds,
    )


def _nothing(seed: int, seconds: float, trace: str, *, laid_out: bool) -> HeadResult:
    return HeadResult(
        seed=seed,
        laid_out=laid_out,
        exact=False,
        sound=False,
        rung="",
        fallback="nothing built",
        off=0.0,
        blends_wanted=0,
        blends_made=0,
        faces=0,
        least_edge_mm=0.0,
        cpu_seconds=seconds,
        trace=trace,
    )


if __name__ == "__main__":
    main()
