"""Every accepted format against what an independent library wrote, and bad files: one clear line each, soon."""

import time
import zipfile

import numpy as np
import pytest
import trimesh

from tractwright.errors import ScanError
from tractwright.geometry.meshes import signed_volume
from tractwright.geometry.meshfile_any import read_mesh

BOX_MM = (200.0, 80.0, 120.0)
SOON_S = 20.0


@pytest.fixture(scope="module")
def box():
    return trimesh.creation.box(BOX_MM).subdivide()


def big_endian(mesh) -> bytes:
    """A binary PLY with the high byte first, written here: the library writes only the other two."""
    head = (
        f"ply\nformat binary_big_endian 1.0\nelement vertex {len(mesh.vertices)}\nproperty float x\nproperty float y\n"
    )
    head += f"property float z\nelement face {len(mesh.faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    faces = np.zeros(len(mesh.faces), dtype=[("n", "u1"), ("v", ">i4", 3)])
    faces["n"], faces["v"] = 3, mesh.faces
    return head.encode() + np.asarray(mesh.vertices, dtype=">f4").tobytes() + faces.tobytes()


WRITTEN = {
    "box.obj": lambda m: m.export(file_type="obj").encode(),
    "text.ply": lambda m: m.export(file_type="ply", encoding="ascii"),
    "little.ply": lambda m: m.export(file_type="ply", encoding="binary"),
    "big.ply": big_endian,
    "box.3mf": lambda m: m.export(file_type="3mf"),
    "binary.stl": lambda m: m.export(file_type="stl"),
    "text.stl": lambda m: m.export(file_type="stl_ascii").encode(),
}


@pytest.mark.parametrize("name", WRITTEN)
def test_each_format_gives_the_box(box, tmp_path, name):
    (tmp_path / name).write_bytes(WRITTEN[name](box))
    file = read_mesh(tmp_path / name)
    assert len(file.mesh.faces) == len(box.faces)
    assert signed_volume(file.mesh) == pytest.approx(np.prod(BOX_MM), rel=1e-6)
    assert file.stated_mm == (1.0 if name.endswith("3mf") else None)


def test_a_wrong_ending_does_not_matter(box, tmp_path):
    (tmp_path / "scan.stl").write_bytes(WRITTEN["box.obj"](box))
    assert len(read_mesh(tmp_path / "scan.stl").mesh.faces) == len(box.faces)


def in_inches(mesh) -> bytes:
    """The 3MF with another unit in its model."""
    import io

    packed, out = zipfile.ZipFile(io.BytesIO(mesh.export(file_type="3mf"))), io.BytesIO()
    with zipfile.ZipFile(out, "w") as again:
        for item in packed.namelist():
            data = packed.read(item)
            again.writestr(
                item, data.replace(b"<model ", b'<model unit="inch" ', 1).replace(b'unit="millimeter"', b"", 1)
            )
    return out.getvalue()


def test_a_3mf_states_its_unit(box, tmp_path):
    (tmp_path / "box.3mf").write_bytes(in_inches(box))
    assert read_mesh(tmp_path / "box.3mf").stated_mm == 25.4


def bad(box) -> dict[str, tuple[str, bytes]]:
    obj, ply = WRITTEN["box.obj"](box), WRITTEN["little.ply"](box)
    text = WRITTEN["text.ply"](box)
    model = b'<?xml version="1.0"?><model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
    return {
        "empty.obj": ("is empty", b""),
        "cut.ply": ("promises", ply[:-40]),
        "lying.ply": ("promises", ply.replace(b"element vertex 26", b"element vertex 99999999")),
        "no_faces.ply": ("no vertices or no faces", text.replace(b"element face 48", b"element face 0")),
        "broken.ply": ("no end_header", text[:60]),
        "endless.ply": ("is no count", text.replace(b"element face 48", b"element face 4e8")),
        "index.obj": ("cannot be read as OBJ", obj + b"\nf 1 2 4000\n"),
        "index.ply": ("names corner|cannot be read", text.rsplit(b"\n", 2)[0] + b"\n3 0 1 70000\n"),
        "noise.obj": ("no text has", obj[:400] + np.random.default_rng(2).bytes(3_000_000).replace(b"\0", b" ")),
        "points.obj": ("no triangles|cannot be read", b"v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n"),
        "cut.3mf": ("broken or cut", WRITTEN["box.3mf"](box)[:-300]),
        "letter.3mf": ("broken or cut", b"PK\x03\x04 Dear reader, no archive at all" * 30),
        "model.3mf": ("cannot be read|no triangles", packed({"3D/3dmodel.model": model + b"<resources/></model>"})),
        "other.3mf": ("no 3MF model", packed({"letter.txt": b"Dear reader"})),
        "bomb.3mf": ("unpack", packed({"3D/3dmodel.model": model + b" " * 80_000_000})),
        "noise.bin": ("header says|cut short|long enough", np.random.default_rng(1).bytes(2_000_000)),
    }


def packed(files: dict[str, bytes]) -> bytes:
    import io

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


BAD = list(bad(trimesh.creation.box(BOX_MM).subdivide()))


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_gives_one_clear_line_soon(box, tmp_path, name):
    reason, data = bad(box)[name]
    (tmp_path / name).write_bytes(data)
    began = time.monotonic()
    with pytest.raises(ScanError, match=reason) as raised:
        read_mesh(tmp_path / name)
    assert time.monotonic() - began < SOON_S
    assert "\n" not in str(raised.value)
    assert name in str(raised.value)


def fuzzed(data: bytes, seed: int) -> bytes:
    """Bytes of the first 200 changed, dropped or doubled, sometimes the end cut off."""
    chance = np.random.default_rng(seed)
    head = bytearray(data[:200])
    for _ in range(int(chance.integers(1, 8))):
        at = int(chance.integers(0, len(head)))
        way = chance.integers(0, 3)
        if way == 0:
            head[at] = int(chance.integers(0, 256))
        elif way == 1:
            del head[at]
        else:
            head.insert(at, int(chance.integers(48, 58)))
    rest = data[200:]
    return bytes(head) + (rest[: int(chance.integers(0, len(rest)))] if chance.random() < 0.3 else rest)


def said_of(path) -> str:
    """What reading the file says: nothing, or its one line."""
    try:
        read_mesh(path)
    except ScanError as fault:
        return str(fault)
    return ""


@pytest.mark.parametrize("name", ["little.ply", "text.ply", "binary.stl", "text.stl", "box.obj", "box.3mf"])
def test_fuzzed_headers_never_crash(box, tmp_path, name):
    """A sixth of them in a child take a second each: 500 are in benchmarks/scan_files.py."""
    data = WRITTEN[name](box)
    for seed in range(40 if name.endswith("stl") else 3):
        path = tmp_path / f"{seed}_{name}"
        path.write_bytes(fuzzed(data, seed))
        assert "\n" not in said_of(path)
