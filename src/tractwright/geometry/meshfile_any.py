"""Mesh files of any accepted kind: told apart by what is in them, their promises held against the file's size first.

STL is read here, fast; PLY, OBJ and 3MF by a kept library in a child process that may be stopped.
"""

import os
import re
import subprocess
import sys
import tempfile
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tractwright.errors import ScanError
from tractwright.geometry.meshes import Mesh, welded
from tractwright.geometry.meshfile import read_stl
from tractwright.geometry.meshfile_child import FACES, FAULT, VERTICES
from tractwright.geometry.meshfile_ply import refuse_lying_ply

ACCEPTED = "a mesh: STL (binary or text), PLY (binary or text), OBJ or 3MF, with at least one triangle"
SECONDS, SECONDS_A_MB = 15.0, 1.5
"""What a child may take: enough for a sound file on a busy machine, little enough to wait for; judgement."""
MEMORY_MB, MEMORY_A_MB = 3000, 60
MOST_UNPACKED = 200
"""A 3MF file that claims to unpack to more than this many times its size is refused; judgement."""
_PIECE = 1 << 16
_NO_TEXT = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f]")
_UNIT = re.compile(rb"<model\b[^>]*?\bunit\s*=\s*[\"'](\w+)[\"']")
_UNITS = {
    b"micron": 0.001,
    b"millimeter": 1.0,
    b"centimeter": 10.0,
    b"meter": 1000.0,
    b"inch": 25.4,
    b"foot": 304.8,
}
"""Units a 3MF model may state [mm]; its silence means millimetres. Source: 3MF Core Specification, model element."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class MeshFile:
    """A mesh in the file's own unit, and that unit [mm] where the file states it."""

    mesh: Mesh
    stated_mm: float | None


def read_mesh(path: Path) -> MeshFile:
    """The mesh of a file, equal corners joined; some may be no numbers.

    Raises ScanError with one line: no such file, empty, cut short, promises its size cannot keep, no mesh, too slow.
    """
    if not path.is_file():
        raise ScanError(path.name, "there is no such file", ACCEPTED)
    if path.stat().st_size == 0:
        raise ScanError(path.name, "the file is empty", ACCEPTED)
    with path.open("rb") as file:
        start = file.read(1 << 16)
    if start[:4] == b"PK\x03\x04":
        stated = _unit_of_3mf(path)
        return MeshFile(mesh=_through_child(path, "3mf"), stated_mm=stated)
    if start[:3] == b"ply" and start[3:4] in b"\r\n ":
        refuse_lying_ply(path, start, ACCEPTED)
        return MeshFile(mesh=_through_child(path, "ply"), stated_mm=None)
    if _is_obj(start):
        if not _is_text_throughout(path):
            raise ScanError(path.name, "it begins as OBJ text, but holds bytes that no text has", ACCEPTED)
        return MeshFile(mesh=_through_child(path, "obj"), stated_mm=None)
    return MeshFile(mesh=welded(read_stl(path)), stated_mm=None)


def _is_obj(start: bytes) -> bool:
    """Text without a zero byte that has vertex lines of three numbers."""
    return b"\0" not in start and len(re.findall(rb"(?m)^v[ \t]+[-+.\d]\S*[ \t]+\S+[ \t]+\S+", start)) >= 3


def _is_text_throughout(path: Path) -> bool:
    """Whether pieces from the file's start, its middle and its end hold no byte that text cannot have."""
    size = path.stat().st_size
    with path.open("rb") as file:
        for place in (0, size // 3, size // 2, max(0, size - _PIECE)):
            file.seek(place)
            if _NO_TEXT.search(file.read(_PIECE)):
                return False
    return True


def _unit_of_3mf(path: Path) -> float:
    """The unit its model states. Raises ScanError for an archive that is broken, has no model, or unpacks too far."""
    # Beside its own error the archive reader throws RuntimeError where a file is locked by a password, NotImplementedError for
    # a packing it does not know, and ValueError, EOFError, OSError and zlib.error for what damage does to its numbers.
    try:
        names, unpacked, start = _opened(path)
    except (zipfile.BadZipFile, zlib.error, OSError, EOFError, NotImplementedError, RuntimeError, ValueError) as fault:
        raise ScanError(path.name, "the archive is broken or cut short", ACCEPTED) from fault
    if not names:
        raise ScanError(path.name, "the archive holds no 3MF model", ACCEPTED)
    if unpacked > MOST_UNPACKED * path.stat().st_size + (1 << 20):
        raise ScanError(path.name, f"it claims to unpack to {unpacked / 1e6:.0f} MB", ACCEPTED)
    stated = _UNIT.search(start)
    return _UNITS.get(stated.group(1), 1.0) if stated else 1.0


def _opened(path: Path) -> tuple[list[str], int, bytes]:
    """Names of an archive's models, bytes it unpacks to, and how the first model starts."""
    with zipfile.ZipFile(path) as packed:
        names = [item.filename for item in packed.infolist() if item.filename.lower().endswith(".model")]
        unpacked = sum(item.file_size for item in packed.infolist())
        if not names:
            return names, unpacked, b""
        with packed.open(names[0]) as model:
            return names, unpacked, model.read(8192)


def _through_child(path: Path, kind: str) -> Mesh:
    """The mesh as a kept library reads it, in a process of its own. Raises ScanError where it fails or takes too long."""
    size = path.stat().st_size / 1e6
    seconds = SECONDS + SECONDS_A_MB * size
    with tempfile.TemporaryDirectory() as folder:
        orders = [str(path), kind, folder, str(int(seconds)), str(int(MEMORY_MB + MEMORY_A_MB * size))]
        program = [sys.executable, "-m", "tractwright.geometry.meshfile_child", *orders]
        environment = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        try:
            subprocess.run(program, env=environment, capture_output=True, timeout=seconds + 3.0, check=False)
        except subprocess.TimeoutExpired as fault:
            raise ScanError(path.name, f"reading it took longer than {seconds:.0f} s", ACCEPTED) from fault
        found = Path(folder)
        if (found / FAULT).exists():
            raise ScanError(path.name, (found / FAULT).read_text(encoding="utf-8"), ACCEPTED)
        if not (found / FACES).exists():
            raise ScanError(path.name, "reading it broke off: too slow, too large, or damaged", ACCEPTED)
        return Mesh(vertices_mm=np.load(found / VERTICES), faces=np.load(found / FACES))
