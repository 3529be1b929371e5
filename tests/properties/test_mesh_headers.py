"""Five hundred mesh files with damaged headers: each is read or refused in one line, soon; none hangs, none falls over.

The library that reads three of the formats runs in a child of its own in the tool. Here it runs in this process, so that
whatever it throws is seen, under a clock of its own.
"""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
import trimesh

from tractwright.errors import ScanError
from tractwright.geometry import meshfile_any, meshfile_child
from tractwright.geometry.meshes import Mesh

SOON_S, HEADER, EACH = 20, 240, 100
KINDS = {
    "box.obj": lambda mesh: mesh.export(file_type="obj").encode(),
    "text.ply": lambda mesh: mesh.export(file_type="ply", encoding="ascii"),
    "little.ply": lambda mesh: mesh.export(file_type="ply", encoding="binary"),
    "binary.stl": lambda mesh: mesh.export(file_type="stl"),
    "text.stl": lambda mesh: mesh.export(file_type="stl_ascii").encode(),
}


@contextmanager
def soon() -> Iterator[None]:
    """An error where what is inside takes long."""

    def late(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(SOON_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def in_this_process(path: Path, kind: str) -> Mesh:
    """What the child does, here."""
    folder = path.parent / f"{path.name}.read"
    folder.mkdir()
    meshfile_child.main(str(path), kind, str(folder), "0", "0")
    if (folder / meshfile_child.FAULT).exists():
        raise ScanError(path.name, (folder / meshfile_child.FAULT).read_text(encoding="utf-8"), meshfile_any.ACCEPTED)
    return Mesh(vertices_mm=np.load(folder / meshfile_child.VERTICES), faces=np.load(folder / meshfile_child.FACES))


def damaged(data: bytes, draw: np.random.Generator) -> bytes:
    """Some bytes of the header overwritten, doubled, left out, or its numbers made into others."""
    header, rest = bytearray(data[:HEADER]), data[HEADER:]
    for _ in range(int(draw.integers(1, 9))):
        place, way = int(draw.integers(0, len(header))), int(draw.integers(0, 4))
        if way == 0:
            header[place] = int(draw.integers(0, 256))
        elif way == 1:
            header[place:place] = header[place : place + int(draw.integers(1, 40))]
        elif way == 2:
            del header[place : place + int(draw.integers(1, 12))]
        else:
            digits = [at for at, byte in enumerate(header) if chr(byte).isdigit()]
            for at in digits[:: int(draw.integers(1, 4))]:
                header[at] = ord(str(int(draw.integers(0, 10))))
        if not header:
            break
    cut = int(draw.integers(0, len(rest) + 1)) if draw.uniform() < 0.2 else len(rest)
    return bytes(header) + rest[:cut]


@pytest.mark.parametrize("name", KINDS)
def test_a_damaged_header_is_read_or_refused_in_one_line(tmp_path, monkeypatch, name):
    monkeypatch.setattr(meshfile_any, "_through_child", in_this_process)
    monkeypatch.setattr(meshfile_child, "_limit", lambda seconds, megabytes: None)
    sound = KINDS[name](trimesh.creation.box((200.0, 80.0, 120.0)).subdivide())
    draw = np.random.default_rng(list(name.encode()))
    told = [_told(damaged(sound, draw), tmp_path / f"{number}-{name}") for number in range(EACH)]
    refusals = [line for line in told if line]
    assert refusals
    assert not any("\n" in line for line in refusals)


def _told(data: bytes, path: Path) -> str:
    """The line that a file is refused with; '' where it is read."""
    path.write_bytes(data)
    with soon():
        try:
            found = meshfile_any.read_mesh(path).mesh
        except ScanError as fault:
            return str(fault)
    assert found.faces.max(initial=-1) < len(found.vertices_mm)
    return ""
