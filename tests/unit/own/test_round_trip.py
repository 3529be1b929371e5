"""Pieces the tool made, read back as if somebody else had drawn them: the description they came from must come out."""

import os

import numpy as np
import pytest
import shapely
from row_sheets import row_sheet

from tractwright.design.records import Design, Flange
from tractwright.design.tube import tube
from tractwright.geometry.contours import polyline
from tractwright.kernel.step import write_step
from tractwright.own.records import JointFace, OwnSolid
from tractwright.own.stage import own_solid, read_file
from tractwright.pipeline import check_job
from tractwright.shape.stage import build
from tractwright.watch import Watch

SHEET = row_sheet(
    job={"name": "invented bent pair"},
    runner={"length": "210 mm", "bore": "38 mm"},
    plenum={"volume": "0.9 l", "at": ["0 mm", "88 mm", "105 mm"], "direction": [0, 1, 0.2]},
)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Design, dict[str, OwnSolid]]:
    folder = tmp_path_factory.mktemp("round")
    (folder / "job.toml").write_text(SHEET, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", os.environ.get("TRACTWRIGHT_CACHE", str(folder / "cache")))
        design = check_job(folder, Watch(lambda _: None)).case.design
        found: dict[str, OwnSolid] = {}
        for piece in build(design):
            assert piece.solid is not None, piece.fallback
            path = folder / f"{piece.name}.step"
            write_step([(piece.name, piece.solid.opened())], path, piece.name)
            (body,) = read_file(path).bodies
            found[piece.name] = own_solid(body)
    return design, found


def _face_of(solid: OwnSolid, flange: Flange) -> JointFace:
    """The joint face that lies in the flange's joint plane and looks out of the piece."""
    here = [
        face
        for face in solid.joint_faces
        if np.dot(face.frame.z, flange.frame.z) < -1.0 + 1e-9
        and abs(face.frame.to_local(flange.frame.origin_mm)[2]) < 1e-4
    ]
    assert len(here) == 1, flange.name
    return here[0]


def test_every_flange_is_read_with_its_outline(made: tuple[Design, dict[str, OwnSolid]]):
    design, solids = made
    for flange in design.flanges:
        face = _face_of(solids[flange.piece], flange)
        drawn = shapely.LinearRing(face.frame.to_local(flange.frame.to_world(polyline(flange.contour, 0.001)))[:, :2])
        read = shapely.LinearRing(polyline(face.outlines[0], 0.001))
        assert drawn.hausdorff_distance(read) < 0.01, flange.name


def test_every_screw_is_found_in_both_pieces(made: tuple[Design, dict[str, OwnSolid]]):
    design, solids = made
    joints = {joint.name: joint for joint in design.joints}
    for screw in design.screws:
        for piece in joints[screw.joint].pieces:
            if piece in solids:
                near = [hole for hole in solids[piece].holes if _on_axis(hole, screw)]
                assert len(near) == 1, (screw.name, piece)
                tapped = screw.tapped_in == piece
                assert near[0].use == ("tapped" if tapped else "clearance")
                assert near[0].thread.split("x")[0] == screw.thread.split("x")[0]
                assert near[0].bore_mm == pytest.approx(screw.clearance_mm, abs=1e-3) or tapped


def _on_axis(hole, screw) -> bool:
    step = np.array(hole.at_mm) - np.array(screw.seat_mm)
    off = float(np.linalg.norm(np.cross(step, screw.direction)))
    return off < 0.01 and abs(abs(float(np.dot(hole.into, screw.direction))) - 1.0) < 1e-6


def test_every_passage_is_followed_with_its_schedule(made: tuple[Design, dict[str, OwnSolid]]):
    """Area within 1 % along the whole, directions to a thousandth, the length that the head piece holds of it."""
    design, solids = made
    passages = solids["head"].passages
    assert len(passages) == len(design.runners)
    for runner in design.runners:
        model = tube(runner, design)
        floor = next(plenum.floor_mm for plenum in design.plena if plenum.name == runner.mouth.plenum)
        ends = [(p, k) for p in passages for k in (0, 1) if np.linalg.norm(p.ends[k].at_mm - model.centre_mm[0]) < 0.02]
        ((passage, port_end),) = ends
        along = passage.s_mm if port_end == 0 else passage.length_mm - passage.s_mm
        assert passage.length_mm == pytest.approx(model.s_mm[-1] - floor, abs=0.05)
        assert passage.area_mm2 == pytest.approx(np.interp(along, model.s_mm, model.area_mm2), rel=0.01)
        port, mouth = passage.ends[port_end], passage.ends[1 - port_end]
        assert np.abs(np.array(port.into) - model.tangent[0]).max() < 1e-3
        assert np.abs(np.array(mouth.into) + model.tangent[-1]).max() < 1e-3
        fine = tube(runner, design, stations=1200).centre_mm
        assert max(np.linalg.norm(fine - place, axis=1).min() for place in passage.centre_mm) < 0.15


def test_grooves_are_read(made: tuple[Design, dict[str, OwnSolid]]):
    design, solids = made
    for seal in (seal for seal in design.seals if seal.kind == "cord"):
        joint = next(joint for joint in design.joints if joint.name == seal.joint)
        flange = next(f for f in design.flanges if f.joint == joint.name and f.piece == seal.piece)
        (groove,) = _face_of(solids[seal.piece], flange).grooves
        assert groove.width_mm == pytest.approx(seal.groove_width_mm, abs=0.01)
        assert groove.depth_mm == pytest.approx(seal.groove_depth_mm, abs=1e-3)
