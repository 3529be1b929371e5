"""The scan stage's bars on invented scans of invented parts, the truth known: faces, centres, sizes, times.

python benchmarks/scan.py [--seed N] [--count N]      count: scans of 1 to 2 million triangles, each another part and pose
The last line printed, also after a part of the work, is one JSON object: figure -> value, bar, holds, count.
Every scan's figures are kept in benchmarks/results, so that a run broken off goes on where it stopped.
"""

import argparse
import hashlib
import json
import os
import sys
import tempfile
from pathlib import Path
from time import process_time

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "examples"))

from invented_scan import INLINE_FOUR, INLINE_SIX, REMARK, InventedScan, OldPart, Scanner, invented_scan, warp_of
from tractwright.design.pattern import Room
from tractwright.geometry.frames import Frame
from tractwright.geometry.meshes import welded
from tractwright.geometry.meshfile import read_stl, write_stl
from tractwright.job.sheet import RoomFacts, Scan
from tractwright.scan.clean import cleaned
from tractwright.scan.faces import find_faces
from tractwright.scan.measure import Measured, measured_pattern
from tractwright.scan.place import job_frame
from tractwright.scan.space import in_frame, room_from_scan

HERE = Path(__file__).parent
BARS = {
    "load [s]": 1.0,
    "clean [s]": 3.0,
    "faces and openings [s]": 15.0,
    "room grid [s]": 40.0,
    "face angle past the warp's [deg]": 0.02,
    "port centres past the warp [mm]": 0.06,
    "hole centres past the warp [mm]": 0.06,
    "hole diameters [mm]": 0.08,
    "port sizes [mm]": 0.12,
    "throttle bore [mm]": 0.12,
    "throttle centre past the warp [mm]": 0.06,
    "scans with anything missed or too much": 0.0,
}


def a_part(draw: np.random.Generator) -> OldPart:
    """Three to six ports of any outline, leaning passages, a throttle at either end."""
    pitch = draw.uniform(80.0, 105.0)
    width, height = draw.uniform(36.0, 0.62 * pitch), draw.uniform(28.0, 42.0)
    least = min(width, height)
    corners = {
        "circle": (height, height, height / 2, height / 2),
        "oval": (width, height, least / 2, least / 2),
        "rounded": (width, height, 0.35 * least, 0.35 * least),
        "d": (width, height, 0.46 * least, 0.2 * least),
    }[str(draw.choice(["circle", "oval", "rounded", "d"]))]
    return OldPart(
        ports=int(draw.integers(3, 7)),
        pitch_mm=pitch,
        port_mm=corners,
        drift=(float(draw.uniform(-0.05, 0.05)), float(draw.uniform(-0.1, 0.2))),
        screw_mm=float(draw.choice([6.6, 9.0, 11.0])),
        screw_rise_mm=draw.uniform(34.0, 40.0),
        plenum_at_mm=(draw.uniform(60.0, 90.0), draw.uniform(130.0, 180.0)),
        throttle_bore_mm=draw.uniform(55.0, 76.0),
        throttle_side=int(draw.choice([-1, 1])),
    )


def one(seed: int) -> dict[str, float]:
    """Figures of one scan: the demo's two parts first, then any."""
    draw = np.random.default_rng([7, seed])
    part = {1: INLINE_FOUR, 2: INLINE_SIX}.get(seed) or a_part(draw)
    warp = float(draw.uniform(0.0, 0.2)) if seed % 2 else 0.0
    scanner = Scanner(warp_mm=warp, step_mm=float(draw.uniform(0.72, 0.85)))
    scan = invented_scan(part, scanner, seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "scan.stl"
        write_stl(path, scan.triangles, REMARK)
        times, found, frame, _ = worked(path, part)
    return {"triangles": len(scan.triangles), **times, **errors(scan, scanner, found, frame)}


def worked(path: Path, part: OldPart) -> tuple[dict[str, float], Measured, Frame, Room]:
    """The stage step by step, with the time each took [s of one core]."""
    clock = [process_time()]
    mesh = welded(read_stl(path))
    clock.append(process_time())
    scan = cleaned(mesh, path.name)
    clock.append(process_time())
    head, seat = find_faces(scan.mesh, part.ports)
    placed = job_frame(scan.mesh, head, Scan(file=path.name))
    found = measured_pattern(head, seat, placed.frame, part.ports)
    clock.append(process_time())
    room = room_from_scan(RoomFacts(), in_frame(scan.mesh, placed.frame), found.throttle)
    clock.append(process_time())
    spent = np.diff(clock)
    return dict(zip(list(BARS)[:4], map(float, spent), strict=True)), found, placed.frame, room


def errors(scan: InventedScan, scanner: Scanner, found: Measured, frame: Frame) -> dict[str, float]:
    """The worst differences from the truth, in the true head frame; what the warp alone may do is taken off."""
    part, warp = scan.part, scanner.warp_mm
    axes = frame.matrix() @ scan.turn.T
    origin = scan.turn @ (np.array(frame.origin_mm) - scan.origin)
    tilt = np.degrees(np.arccos(min(1.0, axes[2, 2])))
    allowed = np.degrees(np.arctan(warp / (part.pitch_mm * part.ports)))
    ports = np.array([port.at_mm for port in found.ports]) @ axes[:2, :2] + origin[:2]
    holes = np.array([hole.at_mm for hole in found.holes]) @ axes[:2, :2] + origin[:2]
    true_ports = np.stack([part.port_x(), np.zeros(part.ports)], axis=1)
    sizes = [(f.what, f.value) for f in found.measurements]
    widths = [abs(value - part.port_mm[0]) for what, value in sizes if what.endswith(" width")]
    heights = [abs(value - part.port_mm[1]) for what, value in sizes if what.endswith(" height")]
    bores = [abs(value - part.screw_mm) for what, value in sizes if what.startswith("hole") and "diameter" in what]
    missed = len(ports) != part.ports or len(holes) != len(part.screws()) or found.throttle is None
    missed = missed or len(found.throttle.holes_mm if found.throttle else ()) != 4
    throttle = found.throttle
    y, z = part.plenum_at_mm
    at = np.array(throttle.frame.origin_mm) @ axes + origin if throttle else np.full(3, np.nan)
    there = warp_of(part, at[None], warp)[0] if throttle else np.zeros(3)
    bore = throttle.bore_mm if throttle else np.nan
    values = (
        max(0.0, tilt - allowed),
        max(0.0, nearest(true_ports, ports) - warp),
        max(0.0, nearest(part.screws(), holes) - warp),
        max(bores),
        max(widths + heights),
        abs(bore - part.throttle_bore_mm),
        max(0.0, float(np.hypot(at[1] - y, at[2] - z)) - warp - float(np.linalg.norm(there))),
        float(missed),
    )
    return dict(zip(list(BARS)[4:], map(float, values), strict=True))


def nearest(true: np.ndarray, found: np.ndarray) -> float:
    """The farthest that a true place lies from the nearest found one."""
    return float(np.linalg.norm(true[:, None] - found[None], axis=2).min(axis=1).max())


def code_hash() -> str:
    """A hash of what the figures depend on."""
    root = HERE.parent
    folders = (root / "src/tractwright/scan", root / "src/tractwright/geometry", root / "examples")
    paths = sorted(path for folder in folders for path in folder.glob("*.py"))
    return hashlib.sha256(b"".join(path.read_bytes() for path in [*paths, Path(__file__)])).hexdigest()[:16]


def told(rows: list[dict[str, float]]) -> dict[str, dict[str, float | bool | int]]:
    """Worst of each figure over the scans; times: the median, the first scan's compiling aside."""
    figures: dict[str, dict[str, float | bool | int]] = {}
    for name, bar in BARS.items():
        values = [row[name] for row in rows]
        value = (
            float(np.median(values))
            if "[s]" in name
            else float(np.max(values))
            if "missed" not in name
            else sum(values)
        )
        figures[name] = {"value": round(value, 4), "bar": bar, "holds": bool(value <= bar), "count": len(rows)}
    return figures


def main() -> None:
    """Run all, telling each scan's figures."""
    options = argparse.ArgumentParser()
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=10)
    asked = options.parse_args()
    kept = HERE / "results" / "scan.jsonl"
    kept.parent.mkdir(exist_ok=True)
    code = code_hash()
    rows: list[dict[str, float]] = []
    known = [json.loads(line) for line in kept.read_text().splitlines()] if kept.exists() else []
    done = {item["seed"]: item["row"] for item in known if item["code"] == code}
    for seed in range(asked.seed, asked.seed + asked.count):
        row = done.get(seed) or one(seed)
        if seed not in done:
            with kept.open("a") as file:
                file.write(json.dumps({"code": code, "seed": seed, "row": row}) + "\n")
        rows.append(row)
        print(seed, {name: round(value, 3) for name, value in row.items()})
        print(json.dumps(told(rows)), flush=True)


if __name__ == "__main__":
    main()
