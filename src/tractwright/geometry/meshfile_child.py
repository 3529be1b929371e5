"""The child process that reads a mesh with a kept library: limited in time and memory, it leaves arrays or one line.

python -m tractwright.geometry.meshfile_child FILE KIND FOLDER SECONDS MEGABYTES
"""

import importlib
import sys
from pathlib import Path
from typing import Any

import numpy as np

VERTICES, FACES, FAULT = "vertices.npy", "faces.npy", "fault.txt"


def main(path: str, kind: str, folder: str, seconds: str, megabytes: str) -> None:
    """Read the file and leave VERTICES and FACES in the folder, or FAULT."""
    _limit(int(seconds), int(megabytes))
    leave = Path(folder)
    try:
        vertices, faces = _read(Path(path), kind)
    except MemoryError:
        (leave / FAULT).write_text("it asks for more memory than a mesh of its size needs", encoding="utf-8")
        return
    except Exception as fault:
        words = " ".join(f"{type(fault).__name__} {fault}".split())[:120]
        (leave / FAULT).write_text(f"it cannot be read as {kind.upper()} ({words})", encoding="utf-8")
        return
    if why := _wrong(vertices, faces):
        (leave / FAULT).write_text(why, encoding="utf-8")
        return
    np.save(leave / VERTICES, vertices)
    np.save(leave / FACES, faces.astype(np.int32))


def _limit(seconds: int, megabytes: int) -> None:
    """Bound this process's time and memory where the system can."""
    try:
        resource: Any = importlib.import_module("resource")
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    resource.setrlimit(resource.RLIMIT_AS, (megabytes << 20, megabytes << 20))


def _read(path: Path, kind: str) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    import trimesh

    loaded: Any = trimesh.load_mesh(path, file_type=kind, process=False, skip_materials=True)
    vertices = np.asarray(loaded.vertices, dtype=np.float64).reshape(-1, 3)
    return vertices, np.asarray(loaded.faces, dtype=np.int64).reshape(-1, 3)


def _wrong(vertices: np.ndarray[Any, Any], faces: np.ndarray[Any, Any]) -> str:
    """Why the arrays are no mesh; '' where they are one."""
    if len(faces) == 0:
        return "the file holds no triangles"
    if faces.min() < 0 or faces.max() >= len(vertices):
        return f"a triangle names corner {int(faces.max())}, of {len(vertices)} there are"
    return ""


if __name__ == "__main__":
    main(*sys.argv[1:])
