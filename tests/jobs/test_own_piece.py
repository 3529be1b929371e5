"""The example with a head piece drawn already, from a shell: the whole packet, and the joint on the files that go out."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
import shapely

import tractwright
from tractwright.design.file import read_design
from tractwright.design.records import Design
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.own.records import JointFace, OwnSolid
from tractwright.own.stage import own_solid, read_file

SAME_MM = 0.01
EXAMPLE = Path(__file__).parents[2] / "examples" / "own-piece"


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory, run_in: Callable[[Path, Path, str], int], first_cache: Path) -> Path:
    """The example's folder after its script and its run. Its head file, once made, is kept as the example keeps it."""
    folder = tmp_path_factory.mktemp("examples") / "own-piece"
    folder.mkdir()
    for name in ("job.toml", "make_head.py"):
        shutil.copy(EXAMPLE / name, folder)
    shutil.copy(EXAMPLE.parent / "invented_head.py", folder.parent)
    subprocess.run([sys.executable, str(folder / "make_head.py")], check=True, timeout=300)
    assert run_in(folder, first_cache, "1") == 0
    return folder


@pytest.fixture(scope="module")
def summary(job: Path) -> dict[str, Any]:
    return json.loads((job / "packet" / "summary.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def design(job: Path) -> Design:
    return read_design(job / "packet" / "design.toml")


@pytest.fixture(scope="module")
def solids(job: Path) -> dict[str, OwnSolid]:
    found: dict[str, OwnSolid] = {}
    for name in ("head", "plenum"):
        (body,) = read_file(job / "packet" / f"{name}.step").bodies
        found[name] = own_solid(body)
    return found


def test_it_is_whole_and_keeps_to_its_schema(summary: dict[str, Any]):
    assert summary["outcome"] == "whole"
    schema = Path(tractwright.__file__).parent / "packet" / "summary.schema.json"
    jsonschema.validate(summary, json.loads(schema.read_text(encoding="utf-8")))


def test_the_summary_says_which_piece_is_the_users_own(summary: dict[str, Any]):
    assert {piece["name"]: piece["own"] for piece in summary["pieces"]} == {
        "head": True, "plenum": False, "cover": False, "neck": False,
    }  # fmt: skip
    assert all(piece["valid"] and piece["watertight"] for piece in summary["pieces"])


def test_its_file_goes_out_as_it_came_in(job: Path):
    assert (job / "packet" / "head.step").read_bytes() == (job / "head.step").read_bytes()


def test_what_goes_out_is_all_there(job: Path):
    there = {path.relative_to(job / "packet").as_posix() for path in (job / "packet").rglob("*") if path.is_file()}
    wanted = {"packet.pdf", "own-piece.step", "own-piece.3mf", "templates_a4.pdf", "hand_off/passages.step"}
    assert wanted <= there


def _on_joint(solid: OwnSolid, plane: Frame, own: Frame) -> tuple[JointFace, Callable[[Array], Array]]:
    """The face of a solid in the joint's plane, and how its points come into the joint's axes. own : the file's axes."""

    def there(points: Array) -> Array:
        return plane.to_local(own.to_world(points))

    (face,) = [
        face
        for face in solid.joint_faces
        if abs(float(np.dot(own.turn(face.frame.z), plane.z))) > 1.0 - 1e-8
        and abs(float(there(np.array(face.frame.origin_mm))[2])) < 1e-3
    ]
    return face, there


def test_the_joint_agrees_on_the_files(design: Design, solids: dict[str, OwnSolid]):
    """Mouths by Hausdorff distance, screws and pins by their axes: within a hundredth on the two STEP files."""
    plane = next(joint.frame for joint in design.joints if joint.kind == "runner")
    sides = [_on_joint(solids[piece.name], plane, piece.own_frame) for piece in design.pieces if piece.name in solids]
    mouths = [
        [
            shapely.LinearRing(there(face.frame.to_world(polyline(opening.contour, 0.001)))[:, :2])
            for opening in face.openings
        ]
        for face, there in sides
    ]
    assert len(mouths[0]) == len(mouths[1]) == len(design.runners)
    for ring in mouths[0]:
        assert min(ring.hausdorff_distance(other) for other in mouths[1]) < SAME_MM
    axes = [there(np.array([hole.at_mm for hole in face.holes]))[:, :2] for face, there in sides]
    apart = np.linalg.norm(axes[0][:, None] - axes[1][None], axis=2).min(axis=1)
    assert len(axes[0]) == len(axes[1])
    assert apart.max() < SAME_MM
