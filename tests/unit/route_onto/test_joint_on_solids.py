"""A plenum piece designed onto a head piece drawn in another library: the joint agrees on the solids of both sides.

Both are read from STEP by `own/`, the drawn one laid where the description says; its truth is the drawing.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
import shapely
from build123d import Location
from drawn_heads import DrawnHead, drawn_head, write_head

from tractwright.air.stage import wanted
from tractwright.design.file import Held
from tractwright.design.records import Design
from tractwright.design.tube import centreline, tube_at
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.job.sheet import JobSheet
from tractwright.kernel.placing import placed
from tractwright.kernel.step import write_step
from tractwright.kernel.step_in import solids_in
from tractwright.own.head import own_head
from tractwright.own.head_records import OwnHead
from tractwright.own.records import JointFace, OwnFile, OwnSolid
from tractwright.own.stage import own_solid, read_file
from tractwright.own.taken import pattern_on, room_before, sheet_told
from tractwright.route.onto.stage import described_onto
from tractwright.route.records import JobFacts
from tractwright.scan.space import room_without_scan
from tractwright.shape.stage import build_one

SAME_MM = 0.01
CASES = {
    "plain": (DrawnHead(), None),
    "three, turned": (DrawnHead(count=3, pitch=78.0, bore=34.0), Location((210, -35, 60), (20, 130, -35))),
    "slots and a groove": (DrawnHead(slot=14.0, groove=True), None),
    "screws from below": (DrawnHead(clear=True), None),
    "leaning": (DrawnHead(lean=9.0), None),
    "two throttles": (DrawnHead(), None),
}
SECOND = {"two throttles": "end_2"}


@dataclass(frozen=True, eq=False, slots=True)
class Joined:
    """The description, the drawn piece as read, and the joint faces of both solids, in the job's axes."""

    drawn: DrawnHead
    own: OwnHead
    design: Design
    head: JointFace
    plenum: JointFace


@pytest.fixture(scope="module", params=list(CASES), ids=list(CASES))
def joined(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Joined:
    drawn, turned = CASES[request.param]
    folder = tmp_path_factory.mktemp("onto")
    write_head(folder / "head.step", drawn_head(drawn), turned=turned)
    sheet = JobSheet.model_validate(
        {
            "job": {"name": "onto"},
            "throttle": {"bore": "46 mm", "second": SECOND.get(request.param)},
            "piece": [{"own": "head.step"}],
        }
    )
    read = read_file(folder / "head.step")
    file = OwnFile(file="head.step", unit=read.unit, solids=tuple(map(own_solid, read.bodies)), notes=())
    own = own_head(sheet.piece[0], file, "hash", None, None)
    facts = JobFacts(
        sheet=sheet,
        pattern=pattern_on(own, sheet, None),
        room=room_before(own, room_without_scan(sheet.room)),
        wanted=wanted(sheet_told(own, sheet), pattern_on(own, sheet, None)),
        held=Held(),
        own=own,
    )
    design = described_onto(facts, own).design
    head, plenum = (next(piece for piece in design.pieces if piece.kind == kind) for kind in ("head", "plenum"))
    built = build_one(plenum, design)
    assert built.solid is not None, built.fallback
    assert built.valid
    assert built.watertight
    write_step([("plenum", built.solid.opened())], folder / "plenum.step", "plenum")
    (there,) = solids_in(folder / "head.step").solids
    write_step([("head", placed(there, head.own_frame))], folder / "placed.step", "head")
    faces = [_on_joint(_only(folder / name), design) for name in ("placed.step", "plenum.step")]
    return Joined(drawn, own, design, faces[0], faces[1])


def _only(path: Path) -> OwnSolid:
    (body,) = read_file(path).bodies
    return own_solid(body)


def _plane(design: Design) -> Frame:
    return next(joint.frame for joint in design.joints if joint.kind == "runner")


def _on_joint(solid: OwnSolid, design: Design) -> JointFace:
    """The face of a solid that lies in the runner joint's plane, within a thousandth."""
    plane = _plane(design)
    (face,) = [
        face
        for face in solid.joint_faces
        if abs(float(np.dot(face.frame.z, plane.z))) > 1.0 - 1e-9
        and abs(float(plane.to_local(face.frame.origin_mm)[2])) < 1e-3
    ]
    return face


def _rings(face: JointFace, plane: Frame) -> list[shapely.LinearRing]:
    """The openings in the joint's x-y."""
    return [
        shapely.LinearRing(plane.to_local(face.frame.to_world(polyline(opening.contour, 0.001)))[:, :2])
        for opening in face.openings
    ]


def _axes(face: JointFace, plane: Frame, uses: set[str]) -> Array:
    return plane.to_local(np.array([hole.at_mm for hole in face.holes if hole.use in uses]).reshape(-1, 3))[:, :2]


def test_every_throttle_has_a_wall_and_a_neck(joined: Joined):
    places = [throttle.place for throttle in joined.design.throttles]
    necks = [piece.name for piece in joined.design.pieces if piece.kind == "neck"]
    assert len(set(places)) == len(places) == len(necks)
    assert places[1:] in ([], ["end_2"])


def test_mouths_meet(joined: Joined):
    """Outlines of the openings on both sides of the joint: Hausdorff distance by shapely."""
    plane = _plane(joined.design)
    ours, theirs = _rings(joined.plenum, plane), _rings(joined.head, plane)
    assert len(ours) == len(theirs) == joined.drawn.count
    for ring in theirs:
        nearest = min(ours, key=lambda other: other.centroid.distance(ring.centroid))
        assert nearest.hausdorff_distance(ring) < SAME_MM


def test_screws_and_dowels_stand_on_one_axis(joined: Joined):
    plane = _plane(joined.design)
    for uses, count in (({"tapped", "clearance"}, len(joined.drawn.rim_screws)), ({"dowel"}, len(joined.drawn.dowels))):
        theirs, ours = _axes(joined.head, plane, uses), _axes(joined.plenum, plane, uses)
        assert len(theirs) == len(ours) == count
        apart = np.linalg.norm(theirs[:, None] - ours[None], axis=2).min(axis=1)
        assert apart.max() < SAME_MM


def test_one_side_is_tapped_and_the_other_passes_the_screw(joined: Joined):
    ours = {hole.use for hole in joined.plenum.holes if hole.use != "dowel"}
    assert ours == ({"tapped"} if joined.drawn.clear else {"clearance"})


def test_the_groove_lies_in_one_of_the_two_pieces(joined: Joined):
    """Where the drawn piece has one round all its mouths, the floor has none."""
    sides = (len(joined.head.grooves), len(joined.plenum.grooves))
    assert sides == ((1, 0) if joined.drawn.groove else (0, 1))


def test_nothing_of_the_drawn_outline_overhangs(joined: Joined):
    plane = _plane(joined.design)

    def ground(face: JointFace) -> shapely.Polygon:
        return shapely.Polygon(plane.to_local(face.frame.to_world(polyline(face.outlines[0], 0.001)))[:, :2])

    assert ground(joined.plenum).buffer(SAME_MM).contains(ground(joined.head))


def test_the_descriptions_runners_have_the_drawn_length(joined: Joined):
    floor = next(flange.thickness_mm for flange in joined.design.flanges if flange.name == "floor")
    through = floor / np.cos(np.radians(joined.drawn.lean))
    for runner in joined.design.runners:
        assert runner.length_mm == pytest.approx(joined.drawn.length + through, rel=1e-3)
        assert runner.area_mm2[0][1] == pytest.approx(joined.drawn.area, rel=3e-3)


def test_passages_go_on_through_the_floor_the_way_they_come(joined: Joined):
    """Direction through the floor within a twentieth of a degree of the drawn one; its course is whole there."""
    tilt = np.radians(joined.drawn.lean)
    for runner in joined.design.runners:
        line = centreline(runner, joined.design)
        assert (
            np.abs(_plane(joined.design).matrix() @ line.tangents[-1] - [0.0, np.sin(tilt), np.cos(tilt)]).max() < 1e-3
        )
        turns = np.degrees(np.arccos(np.clip(np.sum(line.tangents[1:] * line.tangents[:-1], axis=1), -1.0, 1.0)))
        assert turns.max() < 1.0


def test_the_fast_model_goes_through_the_joint_as_it_was_drawn(joined: Joined):
    """Its section there, seen along the passage, lies on the drawn opening within a tenth."""
    plane = _plane(joined.design)
    z = np.array(plane.z)
    theirs = _rings(joined.head, plane)
    floor = next(flange.thickness_mm for flange in joined.design.flanges if flange.name == "floor")
    for runner in joined.design.runners:
        line = centreline(runner, joined.design)
        way = line.tangents[-1]
        at = line.length_mm - floor / float(way @ z)
        ring = tube_at(runner, joined.design, np.array([at]), 96).inner_mm[0]
        down = ring - np.outer((ring - np.array(plane.origin_mm)) @ z / float(way @ z), way)
        seen = shapely.LinearRing(plane.to_local(down)[:, :2])
        nearest = min(theirs, key=lambda other: other.centroid.distance(seen.centroid))
        assert nearest.hausdorff_distance(seen) < 0.1
