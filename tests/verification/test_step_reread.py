"""STEP files read by an independent reader and by their text.

Sources: gmsh (a mesh generator that reads STEP) for volume and a tetrahedral mesh; ISO 10303-21 for the file's form: every
instance name once, every reference answered; ISO 10303-242 for the schema's name.
"""

import re
from collections import Counter
from pathlib import Path

import gmsh
import pytest
from rounded_boxes import rounded_box

from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.placing import from_behind
from tractwright.kernel.checked import cut
from tractwright.kernel.measure import volume
from tractwright.kernel.shells import Entry, Slab, Stand, chamber, plate
from tractwright.kernel.solid import Solid
from tractwright.kernel.step import write_step
from tractwright.shape.parts.bodies import body
from tractwright.shape.parts.holes import tapped_hole

FRAME = frame_from_normal((13.0, -4.0, 55.0), (0.2, 0.7, 0.6), (1.0, 0.1, 0.0))


@pytest.fixture(scope="module")
def tub() -> Solid:
    """A small plenum: floor, walls with a root, chamber with two mouths, a tapped hole."""
    slab = Slab(contour=rounded_box(150, 100, 10), frame=FRAME, thickness_mm=10, break_mm=0.5)
    walls = body(plate(slab, (Stand(outline=rounded_box(120, 70, 18), root_mm=4, height_mm=50, break_mm=0.5),)))
    floor = FRAME.moved((0.0, 0.0, 10.0))
    mouths = [
        Entry(frame=from_behind(floor.moved((x, 0.0, 0.0))), bore_mm=30, lip_across_mm=5, lip_deep_mm=6, length_mm=11)
        for x in (-27, 27)
    ]
    space = body(chamber(rounded_box(104, 54, 12), floor, 41.0, 3.0, mouths))
    hole = tapped_hole(tuple(FRAME.to_world((56, 0, 50))), tuple(-c for c in FRAME.z), "M5x0.8", 12.0)
    return cut(cut(walls, [space], "chamber"), [hole], "tapped hole").solid


@pytest.fixture(scope="module")
def lid() -> Solid:
    return plate(Slab(contour=rounded_box(120, 70, 18), frame=FRAME.moved((0, 0, 50)), thickness_mm=8, break_mm=0.5))


@pytest.fixture
def reader():
    gmsh.initialize(interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    yield gmsh
    gmsh.finalize()


def test_gmsh_reads_the_same_volume_and_meshes_it(tub, tmp_path, reader):
    file = tmp_path / "tub.step"
    write_step([("tub", tub)], file, "tub")
    reader.merge(str(file))
    solids = reader.model.getEntities(3)
    assert len(solids) == 1
    assert reader.model.occ.getMass(3, solids[0][1]) == pytest.approx(volume(tub), rel=1e-4)
    reader.option.setNumber("Mesh.MeshSizeMin", 6.0)
    reader.option.setNumber("Mesh.MeshSizeMax", 12.0)
    reader.model.mesh.generate(3)
    kinds, tags, _ = reader.model.mesh.getElements(3)
    assert list(kinds) == [4]
    qualities = reader.model.mesh.getElementQualities(tags[0], "volume")
    assert qualities.min() > 0.0
    assert qualities.sum() == pytest.approx(volume(tub), rel=0.02)


def test_gmsh_finds_every_piece_of_an_assembly(tub, lid, tmp_path, reader):
    file = tmp_path / "both.step"
    write_step([("tub", tub), ("lid", lid)], file, "both")
    reader.merge(str(file))
    found = sorted(reader.model.occ.getMass(3, tag) for _, tag in reader.model.getEntities(3))
    assert found == pytest.approx(sorted([volume(tub), volume(lid)]), rel=1e-4)


def test_the_text_of_the_file(tub, lid, tmp_path):
    file = tmp_path / "both.step"
    write_step([("tub", tub), ("lid", lid)], file, "both")
    instances = read_instances(file)
    assert_references_are_answered(instances)
    kinds = Counter(kind for kind, _ in instances.values())
    assert kinds["MANIFOLD_SOLID_BREP"] == 2
    assert kinds["CLOSED_SHELL"] == 2
    assert kinds["NEXT_ASSEMBLY_USAGE_OCCURRENCE"] == 2
    names = {body_.split("'")[1] for kind, body_ in instances.values() if kind == "PRODUCT"}
    assert names == {"both", "tub", "lid"}
    header = file.read_text().split("DATA;")[0]
    assert "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF" in header
    assert str(tmp_path) not in header
    assert ".MILLI.,.METRE." in file.read_text()


def test_a_damaged_file_does_not_pass_the_text_check(lid, tmp_path):
    file = tmp_path / "lid.step"
    write_step([("lid", lid)], file, "lid")
    text = file.read_text()
    file.write_text(re.sub(r"#40 = .*?;", "", text, count=1, flags=re.DOTALL))
    with pytest.raises(AssertionError, match="not in the file"):
        assert_references_are_answered(read_instances(file))
    file.write_text(text.replace("#41 =", "#40 =", 1))
    with pytest.raises(AssertionError, match="twice"):
        read_instances(file)


def read_instances(file: Path) -> dict[int, tuple[str, str]]:
    """Kind and parameters of every instance in the data section (ISO 10303-21, clause 9)."""
    data = file.read_text().split("DATA;")[1].split("ENDSEC;")[0]
    found: dict[int, tuple[str, str]] = {}
    for name, kind, parameters in re.findall(r"#(\d+)\s*=\s*([A-Z_0-9]*)\s*\((.*?)\)\s*;", data, flags=re.DOTALL):
        assert int(name) not in found, f"#{name} stands twice"
        found[int(name)] = (kind, parameters)
    assert len(found) == data.count(";"), "a statement of the data section is no instance"
    return found


def assert_references_are_answered(instances: dict[int, tuple[str, str]]) -> None:
    for name, (_, parameters) in instances.items():
        plain = re.sub(r"'[^']*'", "", parameters)
        missing = {int(found) for found in re.findall(r"#(\d+)", plain)} - instances.keys()
        assert not missing, f"#{name} points to {missing}, not in the file"
