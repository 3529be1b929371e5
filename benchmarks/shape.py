"""Head pieces of random inline jobs, laid out and built: how many come out exact and sound, with their blends, in what time.

python benchmarks/shape.py [--seed N] [--count N]
Half of the jobs ask for roots of 3 to 8 mm; in every third the mouths are pushed together until the skins stand 10 mm
apart to 2 mm into one another. Resumable: each job's result is kept under benchmarks/results/shape/, by the source it was
made with. The last line is one JSON object.
"""

import argparse
import json
import tempfile
import time
import traceback
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import tomlkit

from random_jobs import open_sheet
from tractwright.air.stage import wanted
from tractwright.cache import source_hash
from tractwright.design.file import Held
from tractwright.design.records import Design, Runner
from tractwright.design.tube import centreline
from tractwright.errors import KernelError, TractwrightError
from tractwright.geometry.frames import vec3
from tractwright.job.read import read_sheet
from tractwright.kernel.measure import fineness
from tractwright.route.layout.passages import mouth_root
from tractwright.route.stage import describe
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.records import BuiltPiece
from tractwright.shape.stage import build_one

RESULTS = Path(__file__).parent / "results" / "shape"
BARS = {
    "exact": 0.99,
    "sound": 1.0,
    "blends made": 0.98,
    "blends made, mouths apart": 0.98,
    "cpu s median": 15.0,
    "volume off, worst": 1e-3,
    "least edge mm": 0.1,
    "least face mm2": 0.01,
    "edge tolerance mm, worst": 1e-3,
}
_AT_MOST = {"cpu s median", "volume off, worst", "edge tolerance mm, worst"}
_SHIFT = np.array([0.0, 0.0, 0.12, 0.36, 0.64, 0.88, 1.0, 1.0])
"""How much of its mouth's move each pole of a course goes along."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadResult:
    """What became of one head piece. gap_mm : forced between the skins at the mouths, None where left to the layout;
    off : its volume against its mesh twin.
    """

    seed: int
    gap_mm: float | None
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
    least_face_mm2: float
    edge_tolerance_mm: float
    cpu_seconds: float
    trace: str = ""


def main() -> None:
    """Run what is not yet kept, then sum up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=12)
    options = parser.parse_args()
    kept = RESULTS / source_hash()[:12]
    kept.mkdir(parents=True, exist_ok=True)
    results: list[HeadResult] = []
    for seed in range(options.seed, options.seed + options.count):
        path = kept / f"{seed}.json"
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
    apart = [item for item in exact if item.gap_mm is None]
    values = {
        "exact": len(exact) / max(len(built), 1),
        "sound": sum(item.sound for item in exact) / max(len(exact), 1),
        "blends made": _made(exact),
        "blends made, mouths apart": _made(apart),
        "cpu s median": float(np.median([item.cpu_seconds for item in built])) if built else 0.0,
        "volume off, worst": max((abs(item.off) for item in exact), default=0.0),
        "least edge mm": min((item.least_edge_mm for item in exact), default=0.0),
        "least face mm2": min((item.least_face_mm2 for item in exact), default=0.0),
        "edge tolerance mm, worst": max((item.edge_tolerance_mm for item in exact), default=0.0),
    }
    return {
        name: {
            "value": round(value, 6),
            "bar": BARS[name],
            "holds": value <= BARS[name] if name in _AT_MOST else value >= BARS[name],
            "count": len(built),
        }
        for name, value in values.items()
    }


def _made(items: list[HeadResult]) -> float:
    return sum(item.blends_made for item in items) / max(sum(item.blends_wanted for item in items), 1)


def _gap(seed: int) -> float | None:
    return round(float(np.random.default_rng((seed, 6)).uniform(-2.0, 10.0)), 2) if seed % 3 == 0 else None


def _sheet(seed: int) -> dict[str, Any]:
    """A random job; half of them say what roots they want."""
    rng = np.random.default_rng((seed, 5))
    root = {"root_blend": f"{rng.uniform(3.0, 8.0):.1f} mm"} if rng.uniform() < 0.5 else {}
    sheet = open_sheet(seed)
    return {**sheet, "runner": {**sheet["runner"], **root}}


def _pushed_together(design: Design, gap_mm: float, root_mm: float) -> Design:
    """The design with its mouths so near to one another that the skins stand that far apart there."""
    order = sorted(design.runners, key=lambda runner: runner.mouth.at_mm[0])
    moved = {
        runner.name: _moved(runner, design, (place - (len(order) - 1) / 2.0, gap_mm), mouth_root(root_mm, gap_mm))
        for place, runner in enumerate(order)
    }
    return replace(design, runners=tuple(moved[runner.name] for runner in design.runners))


def _moved(runner: Runner, design: Design, place: tuple[float, float], root_mm: float) -> Runner:
    number, gap = place
    x = number * (runner.mouth.bore_mm + 2.0 * runner.wall_mm[-1][1] + gap)
    along = np.array(design.plena[0].frame.x) * (x - runner.mouth.at_mm[0])
    poles = tuple(vec3(pole) for pole in np.array(runner.poles_mm) + _SHIFT[:, None] * along)
    mouth = replace(runner.mouth, at_mm=(x, runner.mouth.at_mm[1]))
    runner = replace(runner, poles_mm=poles, mouth=mouth, mouth_blend_mm=root_mm)
    return replace(runner, length_mm=centreline(runner, design).length_mm)


def _design(seed: int) -> Design:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(tomlkit.dumps(_sheet(seed)))
        sheet = read_sheet(path)
        pattern, room = pattern_and_room(sheet, path.parent)
    described = describe(sheet, pattern, room, wanted(sheet, pattern), Held())
    if not described.feasible:
        raise KernelError(f"job {seed}", f"no manifold to build: {described.shortfalls}")
    gap = _gap(seed)
    return described.design if gap is None else _pushed_together(described.design, gap, sheet.runner.root_blend_mm)


def _result(seed: int, built: BuiltPiece, seconds: float) -> HeadResult:
    fine = fineness(built.solid.opened()) if built.solid else None
    return HeadResult(
        seed=seed,
        gap_mm=_gap(seed),
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
        least_face_mm2=fine.least_face_mm2 if fine else 0.0,
        edge_tolerance_mm=fine.edge_tolerance_mm if fine else 0.0,
        cpu_seconds=seconds,
    )


def _nothing(seed: int, seconds: float, trace: str, *, laid_out: bool) -> HeadResult:
    return HeadResult(
        seed=seed,
        gap_mm=_gap(seed),
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
        least_face_mm2=0.0,
        edge_tolerance_mm=0.0,
        cpu_seconds=seconds,
        trace=trace,
    )


if __name__ == "__main__":
    main()
