"""Every file of a packet read back by something else than what wrote it."""

import csv
import hashlib
import io
import json
import re
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import trimesh

from tractwright.design.file import read_design
from tractwright.kernel.measure import volume
from tractwright.kernel.step import read_step
from tractwright.packet.contents import Contents
from tractwright.packet.exports import description, pdf, step_files, tables, three_mf
from tractwright.packet.stage import write_packet


@pytest.fixture(scope="module")
def packet(whole: Contents, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("job") / "packet"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder.parent / "cache"))
        write_packet(replace(whole, folder=folder))
    return folder


def _by_name(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_the_summary_names_every_other_file_with_its_hash(packet: Path):
    found = _by_name(packet)
    listed = {f["path"]: f["sha256"] for f in json.loads(found.pop("summary.json"))["files"]}
    assert listed == {name: hashlib.sha256(content).hexdigest() for name, content in found.items()}


def test_the_same_job_gives_the_same_bytes_and_leaves_nothing_of_an_earlier_one(
    packet: Path, whole: Contents, tmp_path: Path
):
    """With an empty cache of its own; the autouse fixture gives every test one."""
    folder = tmp_path / "packet"
    folder.mkdir()
    (folder / "old.step").write_text("left over", encoding="utf-8")
    write_packet(replace(whole, folder=folder))
    assert _by_name(folder) == _by_name(packet)


def test_3mf_read_by_trimesh_holds_the_same_volumes(packet: Path, whole: Contents):
    scene = trimesh.load(packet / "invented pair.3mf")
    volumes = {name: mesh.volume for name, mesh in scene.geometry.items()}
    assert scene.units in ("millimeter", "mm")
    for piece in whole.case.pieces or ():
        own = trimesh.Trimesh(*piece.mesh, process=False).volume
        assert volumes[piece.name] == pytest.approx(own, rel=1e-6)


def test_step_files_keep_names_and_volumes(packet: Path, whole: Contents):
    """Names by the text of the product entities of ISO 10303-242."""
    for piece in whole.case.pieces or ():
        (solid,) = read_step(packet / f"{piece.name}.step")
        assert volume(solid) == pytest.approx(piece.volume_mm3, rel=1e-4)
    text = (packet / "invented pair.step").read_text(encoding="utf-8")
    products = set(re.findall(r"=\s*PRODUCT\(\s*'([^']*)'", text))
    assert products >= {"invented pair", *(piece.name for piece in whole.case.design.pieces)}


def test_screws_csv_places_agree_with_each_other(packet: Path, whole: Contents):
    """Each row's place in the joint frame, carried out of it, lies on the screw's own axis."""
    joints = {joint.name: joint.frame for joint in whole.case.design.joints}
    rows = list(csv.DictReader(io.StringIO((packet / "screws.csv").read_text(encoding="utf-8"))))
    assert [row["name"] for row in rows] == [screw.name for screw in whole.case.design.screws]
    for row, screw in zip(rows, whole.case.design.screws, strict=True):
        on_plane = joints[row["joint"]].to_world([float(row["joint_x_mm"]), float(row["joint_y_mm"])])
        seat = np.array([float(row[f"seat_{axis}_mm"]) for axis in "xyz"])
        assert np.linalg.norm(np.cross(on_plane - seat, screw.direction)) < 2e-3


def test_the_description_reads_back_as_it_was(whole: Contents, tmp_path: Path):
    """Numbers to the millionth they are written to; what stands as a fact is the sheet's and is told there."""
    path = tmp_path / "design.toml"
    path.write_bytes(description.write(whole)["design.toml"])
    written, read = asdict(whole.case.design), asdict(read_design(path))
    written["standing"] = {key: how for key, how in written["standing"].items() if how in ("held", "assumed")}
    assert _rounded(written) == _rounded(read)


def _rounded(value: object) -> object:
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_rounded(item) for item in value]
    return round(value, 6) + 0.0 if isinstance(value, float) else value


def test_pieces_without_a_mesh_or_a_solid_are_left_out_and_nothing_else(headless: Contents):
    design = headless.case.design
    names = [piece.name for piece in design.pieces]
    steps = step_files.write(headless)
    assert set(steps) == {*(f"{name}.step" for name in names[1:-1]), f"{design.name}.step"}
    scene = trimesh.load(io.BytesIO(three_mf.write(headless)[f"{design.name}.3mf"]), file_type="3mf")
    assert set(scene.geometry) == set(names[1:])
    assert "air.csv" not in tables.write(headless)


@pytest.fixture(scope="module")
def papers(
    packet: Path, described: Contents, headless: Contents, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, bytes]:
    """The paper of a whole job, of one that is only described, and of one whose pieces could not all be built."""
    folder = tmp_path_factory.mktemp("papers")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder))
        others = {"described": pdf.write(described), "headless": pdf.write(headless)}
    return {
        "whole": (packet / "packet.pdf").read_bytes(),
        **{name: made["packet.pdf"] for name, made in others.items()},
    }


@pytest.mark.parametrize("state", ["described", "whole", "headless"])
def test_the_paper_is_set_however_far_the_job_came(state: str, papers: dict[str, bytes]):
    """Read by pdfium: nothing runs over the margins, every page but the last before the hole sheets is well filled."""
    paper = pypdfium2.PdfDocument(papers[state])
    texts, depths = [], []
    for page in paper:
        width, _ = page.get_size()
        text = page.get_textpage()
        texts.append(text.get_text_range())
        boxes = np.array([text.get_charbox(k) for k in range(text.count_chars())])
        assert boxes[:, 0].min() > 45.0  # 18 mm is 51 points
        assert boxes[:, 2].max() < width - 45.0
        depths.append(_ink_depth(page))
        text.close()
        page.close()
    paper.close()
    words = " ".join(" ".join(texts).split())
    assert "ports & <angles>" in words
    for heading in (
        "What was found",
        "Parts list",
        "Torque sheet",
        "Inspection list",
        "Cautions",
        "Hole sheet: head joint",
    ):
        assert heading in words
    assert ("NOT built" in words) == (state == "headless")
    flowing = [depth for text, depth in zip(texts, depths, strict=True) if "Hole sheet" not in text]
    assert min(flowing[:-1]) > 0.6


def _ink_depth(page: pypdfium2.PdfPage) -> float:
    """How far down a page something is printed, without its footer, as a share of the page."""
    grey = page.render(scale=0.5).to_numpy().min(axis=2)
    body = grey[: int(len(grey) * 0.93)]
    return float(np.flatnonzero((body < 200).any(axis=1)).max() / len(grey))
