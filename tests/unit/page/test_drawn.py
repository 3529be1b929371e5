"""What the picture and the long section are drawn from says what the description says."""

import io
from pathlib import Path

import numpy as np
import pytest
import trimesh
from row_sheets import row_sheet

from tractwright.page.drawn import SHADES, SHOWN_PER_MM, described_picture, old_part_picture, pieces_picture
from tractwright.page.looks import Looker, Question

SHEET = row_sheet()


@pytest.fixture(scope="module")
def look(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("pair")
    (folder / "job.toml").write_text(SHEET)
    stages: list[str] = []
    found = Looker()(Question(folder=folder, held={}, wishes={}, revision=3, settle=False), stages.append)
    assert "course and description" in stages
    return found


def opened(content: bytes) -> trimesh.Scene:
    scene = trimesh.load_scene(io.BytesIO(content), file_type="glb")
    assert isinstance(scene, trimesh.Scene)
    return scene


@pytest.mark.parametrize("shade", SHADES)
def test_the_described_picture_holds_every_runner_and_flange(look, shade):
    scene = opened(described_picture(look.design, look.strips, shade))
    wanted = {item.name for kind in (look.design.runners, look.design.flanges, look.design.plena) for item in kind}
    assert wanted <= set(scene.geometry)


def test_the_picture_is_as_large_as_the_manifold(look):
    scene = opened(described_picture(look.design, look.strips, SHADES[0]))
    pitch = np.diff([scene.geometry[name].vertices[:, 0].mean() for name in ("r1", "r2")])[0] / SHOWN_PER_MM
    ends = [runner.poles_mm[0][0] for runner in look.design.runners]
    assert pitch == pytest.approx(ends[1] - ends[0], abs=3.0)


def test_pieces_and_the_old_part_are_drawn_as_they_are():
    box = trimesh.creation.box((100.0, 20.0, 10.0))
    mesh = (np.array(box.vertices), np.array(box.faces, dtype=np.int32))
    for content in (pieces_picture({"head": mesh}, {"head": "head"}), old_part_picture(mesh)):
        assert opened(content).extents == pytest.approx([1.0, 0.2, 0.1])


def test_a_strip_says_what_the_runner_is(look):
    for strip, runner in zip(look.strips, look.design.runners, strict=True):
        assert strip.length_mm == runner.length_mm
        assert strip.stations_mm[-1] == pytest.approx(runner.length_mm, abs=0.1)
        assert 2 * strip.radius_mm[-1] == pytest.approx(runner.mouth.bore_mm, abs=0.05)
        assert min(strip.wall_mm) == pytest.approx(4.0)
        assert {mark.name for mark in strip.marks} <= {screw.name for screw in look.design.screws}


def test_a_bad_sheet_gives_its_faults_and_no_design(tmp_path):
    (tmp_path / "job.toml").write_text(SHEET.replace('"36 mm"', '"36 kg"'))
    found = Looker()(Question(folder=tmp_path, held={}, wishes={}, revision=1, settle=False), lambda name: None)
    assert found.design is None
    assert [fault.key for fault in found.faults] == ["runner.bore"]


def test_a_held_number_is_followed(look, tmp_path):
    (tmp_path / "job.toml").write_text(SHEET)
    held = {"flange.cover.thickness_mm": 14.0}
    found = Looker()(Question(folder=tmp_path, held=held, wishes={}, revision=1, settle=True), lambda name: None)
    cover = next(flange for flange in found.design.flanges if flange.name == "cover")
    assert cover.thickness_mm == 14.0
    assert (tmp_path / "design.toml").read_text() == (tmp_path / "packet" / "design.toml").read_text()
