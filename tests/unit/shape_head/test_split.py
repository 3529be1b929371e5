"""A head piece split across its runners: both sides of the joint from one plane, both pieces built by the same code."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
import shapely

from tractwright.check.edges import to_edge_mm
from tractwright.design.file import Held
from tractwright.design.outside import blended_skin
from tractwright.design.pattern import Room
from tractwright.design.tube import tube
from tractwright.geometry.contours import contour_area, polyline
from tractwright.geometry.outlines import circle
from tractwright.job.sheet import JobSheet
from tractwright.make.features import features_of
from tractwright.make.piece_plan import piece_plan
from tractwright.route.layout.bosses import bosses
from tractwright.route.split.choose import split_where_needed
from tractwright.route.split.joint import split_at
from tractwright.shape.head_forms import head_forms, rows
from tractwright.shape.roots import Sampling
from tractwright.shape.stage import build_one
from tractwright.standards.envelope import envelope_of
from tractwright.standards.spacing import edge_distance_mm

STRAIGHT = {"turn_deg": 1.0, "reach_mm": 3600.0}
"""All but straight for 209 mm."""
NO_ROOM = Room(planes=(), boxes=(), grids=(), old_part=None)


def sheet(pieces: str = "as needed", **shop: object) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "made up"}, "runner": {"pieces": pieces}, "shop": shop})


@pytest.fixture(scope="module")
def halves(block):
    """Three runners that turn by 60 degrees, split in the middle."""
    found = split_at(block(count=3, reach_mm=240.0, turn_deg=60.0), {"a": 130.0}, sheet(), Held())
    assert found is not None
    return found


def of(items, **wanted):
    return [item for item in items if all(getattr(item, key) == value for key, value in wanted.items())]


def test_both_sides_come_from_one_joint(halves):
    (joint,) = of(halves.joints, kind="split")
    assert joint.pieces == ("head", "middle")
    assert joint.station_mm == 130.0
    assert [piece.kind for piece in halves.pieces] == ["head", "middle", "plenum"]
    first, second = of(halves.flanges, joint=joint.name)
    assert (first.piece, second.piece) == joint.pieces
    assert contour_area(first.contour) == pytest.approx(contour_area(second.contour), rel=1e-9)
    assert np.allclose(np.array(first.frame.z), -np.array(second.frame.z))
    (arrival,) = of(halves.joints, kind="runner")
    assert arrival.pieces == ("middle", "plenum")
    assert {screw.tapped_in for screw in of(halves.screws, joint=arrival.name)} == {"middle"}


def test_the_passages_meet_without_a_step(halves):
    """Both pieces' passages are cut from one skin: their last and first rows are the same points."""
    head, middle = (head_forms(piece, halves) for piece in halves.pieces[:2])
    for up, down in zip(rows(head, Sampling()), rows(middle, Sampling()), strict=True):
        assert np.abs(up.inner_mm[-1] - down.inner_mm[0]).max() < 1e-6


def test_the_seal_has_its_lands(halves):
    """Common practice: 1.5 mm beside a groove, to openings, holes and edges."""
    (joint,) = of(halves.joints, kind="split")
    (seal,) = of(halves.seals, joint=joint.name)
    groove = shapely.LinearRing(polyline(seal.path)).buffer(seal.groove_width_mm / 2)
    outline = shapely.Polygon(polyline(of(halves.flanges, name="split_middle")[0].contour))
    assert outline.contains(groove)
    assert outline.exterior.distance(groove) >= 1.5
    for screw in of(halves.screws, joint=joint.name):
        place = shapely.Point(joint.frame.to_local(screw.seat_mm)[:2])
        assert place.distance(groove) - screw.clearance_mm / 2 >= 1.5
    forms = head_forms(halves.pieces[1], halves)
    for skin in rows(forms, Sampling()):
        opening = shapely.Polygon(joint.frame.to_local(skin.inner_mm[0])[:, :2])
        assert opening.distance(groove) >= 1.5
        assert shapely.Polygon(groove.exterior).contains(opening)


def test_its_screws_have_edge_head_and_key_room(halves):
    (joint,) = of(halves.joints, kind="split")
    screws = of(halves.screws, joint=joint.name)
    assert len(screws) >= 8
    (clamped,) = [
        item for item in of(halves.flanges, joint=joint.name) if {item.piece} != {screw.tapped_in for screw in screws}
    ]
    places = clamped.frame.to_local(np.array([screw.seat_mm for screw in screws]))
    assert np.allclose(places[:, 2], clamped.thickness_mm)
    assert to_edge_mm(clamped.contour, places[:, :2]).min() >= edge_distance_mm(6.0)
    skins = np.concatenate([blended_skin(r, halves, tube(r, halves)).reshape(-1, 3) for r in halves.runners])
    for screw in screws:
        space = envelope_of(screw.head, screw.thread, screw.washer)
        offset = skins - np.array(screw.seat_mm)
        along = -(offset @ np.array(screw.direction))
        off = np.sqrt(np.maximum(np.einsum("nk,nk->n", offset, offset) - along**2, 0.0))
        over = (along > 0.0) & (along < space.head_height_mm)
        assert off[over].min(initial=np.inf) >= space.head_radius_mm + 0.5
        key = (along > space.head_height_mm) & (along < space.head_height_mm + space.bent_mm)
        assert off[key].min(initial=np.inf) >= space.key_radius_mm + 0.5


def test_a_straight_middle_piece_holds_what_the_formulas_say(block):
    """Closed form: two plates, tubes between them, a ring of fillet at each root (Pappus), less the bores.

    A quarter-round fillet of radius R has the area (1 - pi/4) R^2, its middle (10 - 3 pi)/(12 - 3 pi) R from the corner.
    """
    design = block(count=2, port=circle(40.0), bore_mm=40.0, mouth_pitch_mm=90.0, **STRAIGHT)
    found = split_at(design, {"a": 100.0}, sheet(), Held())
    bare = replace(found, screws=(), dowels=(), seals=())
    piece = bare.pieces[1]
    built = build_one(piece, bare)
    assert (built.valid, built.watertight, built.solids, built.fallback) == (True, True, 1, "")
    first, last = (flange for flange in bare.flanges if flange.piece == piece.name)
    runner = bare.runners[0]
    bore, outside, radius = 20.0, 24.0, 6.0
    span = runner.length_mm - bare.plena[0].floor_mm - 100.0
    between = span - first.thickness_mm - last.thickness_mm
    plates = sum(contour_area(flange.contour) * flange.thickness_mm for flange in (first, last))
    fillet = 2 * pi * (outside + (10 - 3 * pi) / (12 - 3 * pi) * radius) * (1 - pi / 4) * radius**2
    wanted = plates + 2 * (pi * outside**2 * between + 2 * fillet - pi * bore**2 * span)
    assert built.volume_mm3 == pytest.approx(wanted, rel=2e-3)


@pytest.mark.parametrize("kind", ["head", "middle"])
def test_both_pieces_can_be_held_and_cut(halves, kind):
    (piece,) = of(halves.pieces, kind=kind)
    wanted = {feature.name: feature for feature in features_of(halves, piece)}
    assert sum(f.count for name, f in wanted.items() if name.endswith("from the split face")) == len(halves.runners)
    plan = piece_plan(sheet().shop, halves, build_one(piece, halves), ())
    assert plan.missing == ()


def test_one_piece_stays_one_where_cutters_meet(block):
    design = block(count=2, **STRAIGHT | {"reach_mm": 1900.0})
    found, choice = split_where_needed(design, NO_ROOM, sheet(), Held())
    assert found is design
    assert choice.why == ""


def test_one_piece_stays_one_where_the_sheet_says_so(block):
    design = block(count=2, turn_deg=80.0, reach_mm=260.0)
    assert split_where_needed(design, NO_ROOM, sheet("one"), Held())[0] is design


def test_a_held_station_is_kept(block):
    design = block(count=2, turn_deg=50.0, reach_mm=240.0)
    found, _ = split_where_needed(design, NO_ROOM, sheet(), Held(values={"joint.split.station_mm": 112.0}))
    assert of(found.joints, kind="split")[0].station_mm == 112.0


def test_a_joint_keeps_off_bosses_on_the_runners(block):
    """Nozzles half way along stood in the flange of the split that was put there, or under it: three stops in one job."""
    design = block(count=2, turn_deg=50.0, reach_mm=240.0)
    plain, _ = split_where_needed(design, NO_ROOM, sheet("two"), Held())
    (middle,) = (joint.station_mm for joint in of(plain.joints, kind="split"))
    nozzle = {"name": "nozzle", "thread": "1/8 NPT", "station": middle, "reach": 12.0}
    wanted = JobSheet.model_validate({"job": {"name": "made up"}, "runner": {"pieces": "two"}, "boss": [nozzle]})
    found, choice = split_where_needed(design, NO_ROOM, wanted, Held())
    (joint,) = of(found.joints, kind="split")
    thickest = max(flange.thickness_mm for flange in of(found.flanges, joint=joint.name))
    top = bosses(found, wanted, Held())[0].top_mm
    assert abs(joint.station_mm - middle) > thickest + top / 2.0, choice.why
