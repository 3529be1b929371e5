"""What has to be cut is read off the design; holds rest on it; a sequence covers it."""

import numpy as np
import pytest

from tractwright.design.records import Design
from tractwright.job.shop_tables import Shop
from tractwright.make.feature import faces_of
from tractwright.make.features import features_of, let_go_before_finishing
from tractwright.make.holding import clamp_n
from tractwright.make.holds import holds_for
from tractwright.make.outside import outside_in_parts
from tractwright.make.records import Stock
from tractwright.make.samples import surface_samples
from tractwright.make.setups import least_sequence
from tractwright.make.solid_reach import solid_reach
from tractwright.make.work import Work
from tractwright.reach.cutters import shop_cutters
from tractwright.standards.threads import thread


def piece(design: Design, kind: str):
    return next(item for item in design.pieces if item.kind == kind)


def plate(design: Design, kind: str) -> Work:
    """A plain box in place of the piece: holds need its block and points, not its shape."""
    record = piece(design, kind)
    face = faces_of(design, record)[0]
    axes = np.array(face.joint.frame.matrix())
    size = np.array([200.0, 120.0, 40.0])
    corners = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) * size / 2
    points = (corners + np.array(face.at_mm) @ axes.T) @ axes
    stock = Stock(
        piece=record.name, size_mm=(206.0, 126.0, 50.0), axes=tuple(tuple(row) for row in axes), plate_mm=50.0, mass_kg=3.0,
        buy_to_fly=2.0,
    )  # fmt: skip
    return Work(
        piece=record,
        stock=stock,
        faces=faces_of(design, record),
        features=features_of(design, record),
        flanges=tuple(flange for flange in design.flanges if flange.piece == record.name),
        points_mm=points,
    )


def test_every_screw_dowel_and_groove_of_a_piece_is_a_feature(design: Design):
    for record in design.pieces:
        found = {feature.name: feature for feature in features_of(design, record)}
        for face in faces_of(design, record):
            assert f"{face.name} roughed" in found
            assert bool(face.passing) == (f"{face.name} screw holes" in found)
            if face.tapped:
                assert found[f"{face.name} threads"].count == len(face.tapped)
        grooves = [seal for seal in design.seals if seal.kind == "cord" and seal.piece == record.name]
        assert sum(feature.work == "groove" for feature in found.values()) == len(grooves)


def test_grooves_and_dowels_come_after_the_finished_face_and_finishing_after_a_release(design: Design):
    features = {f.name: f for f in let_go_before_finishing(features_of(design, piece(design, "plenum")))}
    assert "floor face finished" in features["floor face groove"].first
    assert {"floor face roughed", "cover face roughed"} <= features["floor face finished"].earlier
    assert any(name.startswith("inside of") for name in features["floor face finished"].earlier)


def test_fixture_threads_pass_the_screw_and_stop_short_of_its_seat(design: Design):
    """TRADE: the thread is cut from the joint's side only; the screw passes its smallest minor diameter (ISO 965 limits)."""
    for record in design.pieces:
        for face in faces_of(design, record):
            names = {f.name: f for f in features_of(design, record)}
            found = names.get(f"{face.name} fixture threads")
            if found is not None:
                screw = face.passing[0]
                assert found.directions == (face.out,)
                assert found.optional
                assert found.depth_mm <= screw.grip_mm - 3.0
                assert thread(found.thread).hole_minor_min_mm > thread(screw.thread).screw_major_max_mm


@pytest.mark.parametrize("machine", ["3-axis", "rotary axis", "tilting table"])
def test_holds_need_what_they_hold_by_and_cut_nothing_they_cover(design: Design, machine: str):
    work = plate(design, "plenum")
    holds = holds_for(Shop.model_validate({"machine": machine}), work)
    assert holds
    for hold in holds:
        if hold.face:
            assert f"{hold.face} roughed" in hold.needs
            assert not any(name.startswith(hold.face) and name.endswith(("finished", "groove")) for name in hold.makes)
            if "through its screw holes" in hold.holds_by:
                assert f"{hold.face} screw holes" in hold.needs
                assert f"{hold.face} screw seats" not in hold.makes
        if machine == "3-axis":
            made = [f for f in work.features if f.name in hold.makes]
            assert all(max(np.dot(way, hold.direction) for way in f.directions) > 0.999 for f in made)


def test_a_block_larger_than_every_mill_gets_no_hold_until_a_larger_mill_is_listed(design: Design):
    work = plate(design, "plenum")
    small = {"travel": [150, 150, 150], "table": [150, 150]}
    assert holds_for(Shop.model_validate(small), work) == ()
    large = {"name": "large", "machine": "3-axis", "travel": [900, 500, 500], "table": [900, 500]}
    assert {hold.mill for hold in holds_for(Shop.model_validate(small | {"mill": [large]}), work)} == {"large"}


def test_a_block_too_tall_for_the_jaws_is_not_stood_in_the_vice(design: Design):
    work = plate(design, "plenum")
    vices = [h for h in holds_for(Shop(), work) if h.holds_by.startswith("vice")]
    assert vices
    long_axis = np.array(work.stock.axes[0])
    assert all(abs(float(np.dot(hold.direction, long_axis))) < 0.9 or 206.0 <= 1.5 * 126.0 for hold in vices)


def test_screws_hold_by_friction_at_half_their_proof_load(design: Design):
    """ISO 898-1: proof load of M6 class 8.8 is 11.6 kN; 0.15 x 0.5 x 11.6 kN a screw."""
    hold = next(h for h in holds_for(Shop(), plate(design, "plenum")) if h.screw == "M6x1")
    assert clamp_n(Shop(), hold) == pytest.approx(0.15 * 0.5 * 11600 * hold.screws, rel=0.01)


def test_a_sequence_covers_a_plain_block_whole(design: Design):
    """Every feature of a cover whose outside is a plain box: made, in an order in which each hold rests on what exists."""
    work = plate(design, "cover")
    corners = work.points_mm
    faces = np.array(
        [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
         (1, 5, 7), (1, 7, 3)], dtype=np.int32,
    )  # fmt: skip
    samples = surface_samples((corners, faces), 400)
    shop = Shop()
    holds = holds_for(shop, work)
    ways = np.unique(np.round([hold.direction for hold in holds], 6), axis=0)
    reach = solid_reach(shop, (corners, faces), samples, ways, shop_cutters(shop)[:2], 2.0)
    outside = outside_in_parts(shop, reach, np.ones(400, dtype=bool), holds)
    features = (*work.features, *outside.features)
    found = least_sequence(outside.holds, features)
    done: frozenset[str] = frozenset()
    for hold, made in zip(found.holds, found.made, strict=True):
        assert hold.needs <= done
        done |= made
    assert not found.missing
