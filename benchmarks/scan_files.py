"""Bad mesh files: 500 with fuzzed headers, and the named kinds; each must end soon, in a mesh or one clear line.

python benchmarks/scan_files.py [--seed N] [--count N]
The last line printed, also after a part of the work, is one JSON object: figure -> value, bar, holds, count.
"""

import argparse
import io
import json
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import trimesh

from tractwright.errors import ScanError
from tractwright.geometry.meshfile_any import read_mesh
from tractwright.scan.clean import read_scan

SOON_S = 20.0
HEAD = 240
NOISE_BYTES = 50_000_000


def sound() -> dict[str, bytes]:
    """A sound file of each format."""
    box = trimesh.creation.box((200.0, 80.0, 120.0)).subdivide()
    packed = io.BytesIO(box.export(file_type="3mf"))
    return {
        "a.stl": box.export(file_type="stl"),
        "text.stl": box.export(file_type="stl_ascii").encode(),
        "little.ply": box.export(file_type="ply", encoding="binary"),
        "text.ply": box.export(file_type="ply", encoding="ascii"),
        "a.obj": box.export(file_type="obj").encode(),
        "a.3mf": packed.getvalue(),
    }


def fuzzed(data: bytes, chance: np.random.Generator) -> bytes:
    """Some of the first bytes changed, dropped, doubled or made digits; sometimes the end cut off."""
    head = bytearray(data[:HEAD])
    for _ in range(int(chance.integers(1, 12))):
        at, way = int(chance.integers(0, len(head))), int(chance.integers(0, 4))
        if way == 0:
            head[at] = int(chance.integers(0, 256))
        elif way == 1:
            del head[at]
        elif way == 2:
            head.insert(at, int(chance.integers(48, 58)))
        else:
            head[at : at + 4] = chance.bytes(4)
    rest = data[HEAD:]
    return bytes(head) + (rest[: int(chance.integers(0, len(rest)))] if chance.random() < 0.3 else rest)


def noise_files(chance: np.random.Generator) -> dict[str, bytes]:
    """Fifty million bytes of noise: bare, and behind headers that are true to its size."""
    noise = chance.bytes(NOISE_BYTES)
    count = (NOISE_BYTES - 84) // 50
    ply = f"ply\nformat binary_little_endian 1.0\nelement vertex {NOISE_BYTES // 25}\nproperty float x\nproperty float y\n"
    ply += f"property float z\nelement face {NOISE_BYTES // 26}\nproperty list uchar int vertex_indices\nend_header\n"
    return {
        "noise.bin": noise,
        "noise.stl": b"noise".ljust(80) + np.uint32(count).tobytes() + noise[: 50 * count],
        "noise.ply": ply.encode() + noise,
        "noise.3mf": b"PK\x03\x04" + noise,
        "noise.obj": b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n" + noise.replace(b"\0", b" "),
    }


def outcome(path: Path, read: Callable[[Path], object]) -> tuple[str, float]:
    """'mesh', the one line, or what else went wrong; and the seconds it took."""
    began = time.monotonic()
    try:
        read(path)
    except ScanError as fault:
        words = str(fault)
        return ("one line" if "\n" not in words and len(words) < 400 else "long words"), time.monotonic() - began
    except Exception as fault:  # whatever else comes up is what is looked for here
        return f"crash: {type(fault).__name__} {fault}", time.monotonic() - began
    return "mesh", time.monotonic() - began


def main() -> None:
    """Try them all, telling the count as it goes."""
    options = argparse.ArgumentParser()
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=500)
    asked = options.parse_args()
    chance = np.random.default_rng(asked.seed)
    good = sound()
    ends: list[tuple[str, float]] = []
    with tempfile.TemporaryDirectory() as folder:
        for name, data in noise_files(chance).items():
            path = Path(folder) / name
            path.write_bytes(data)
            ends.append(outcome(path, lambda path: read_scan(path, None)))
            print(name, *ends[-1], flush=True)
            path.unlink()
        for number in range(asked.count):
            name = list(good)[number % len(good)]
            path = Path(folder) / f"{number}_{name}"
            path.write_bytes(fuzzed(good[name], chance))
            ends.append(outcome(path, read_mesh))
            path.unlink()
            if ends[-1][0] not in ("mesh", "one line") or number % 50 == 49:
                print(number, name, *ends[-1])
                print(json.dumps(told(ends)), flush=True)
    print(json.dumps(told(ends)))


def told(ends: list[tuple[str, float]]) -> dict[str, dict[str, float | bool | int]]:
    """Crashes and slow ends so far."""
    crashes = sum(end not in ("mesh", "one line") for end, _ in ends)
    slowest = max(seconds for _, seconds in ends)
    return {
        "crashes or long words": {"value": crashes, "bar": 0, "holds": crashes == 0, "count": len(ends)},
        "slowest [s]": {"value": round(slowest, 2), "bar": SOON_S, "holds": slowest <= SOON_S, "count": len(ends)},
    }


if __name__ == "__main__":
    main()
