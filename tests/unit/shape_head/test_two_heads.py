"""A flat four's head pieces: one over both heads, or one a head with a middle piece over both. The heads turn into each
other about the upright, and so must what is made for them.
"""

import numpy as np
import pytest
from two_heads import FLAT_FOUR, flat_four_case

from tractwright.design.file import Held
from tractwright.design.passing import bank_of, runners_through
from tractwright.make.features import features_of
from tractwright.route.split.choose import split_where_needed
from tractwright.shape.head_forms import head_forms, rows
from tractwright.shape.head_twin import head_twin
from tractwright.shape.roots import Sampling
from tractwright.shape.stage import build_one

TURNED = np.array([-1.0, 1.0, -1.0])


@pytest.fixture(scope="module")
def one(tmp_path_factory):
    """One head piece over both heads."""
    return flat_four_case(tmp_path_factory.mktemp("one"))


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    """A head piece a bank and a middle piece."""
    text = FLAT_FOUR.replace("[runner]", '[runner]\npieces = "two"')
    return flat_four_case(tmp_path_factory.mktemp("parts"), text).design


def test_one_piece_over_both_heads_is_one_closed_solid(one):
    (piece,) = (item for item in one.design.pieces if item.kind == "head")
    built = build_one(piece, one.design)
    assert (built.valid, built.watertight, built.solids, built.fallback) == (True, True, 1, "")
    assert built.blends_made == built.blends_wanted > 0
    for bank in one.design.banks:
        low = bank.frame.to_local(built.mesh[0])[:, 2].min()
        assert low == pytest.approx(0.0, abs=1e-6)


def test_each_bank_has_its_head_piece_and_all_share_the_middle_one(parts):
    splits = {joint.name: joint.pieces for joint in parts.joints if joint.kind == "split"}
    assert splits == {"split.left": ("head.left", "middle"), "split.right": ("head.right", "middle")}
    heads = {joint.name: joint.pieces for joint in parts.joints if joint.kind == "head"}
    assert heads == {"head.left": ("engine", "head.left"), "head.right": ("engine", "head.right")}
    assert [(piece.name, piece.kind) for piece in parts.pieces[:3]] == [
        ("head.left", "head"),
        ("head.right", "head"),
        ("middle", "middle"),
    ]
    owners = {flange.name: flange.piece for flange in parts.flanges if flange.piece not in ("plenum", "cover", "neck")}
    assert owners == {
        "head.left": "head.left",
        "head.right": "head.right",
        "mouth": "middle",
        "split_head.left": "head.left",
        "split_middle.left": "middle",
        "split_head.right": "head.right",
        "split_middle.right": "middle",
    }
    gaskets = {seal.joint: seal.piece for seal in parts.seals if seal.kind == "gasket"}
    assert gaskets == {"head.left": "head.left", "head.right": "head.right"}
    assert {screw.tapped_in for screw in parts.screws if screw.joint == "runner"} == {"middle"}


def test_a_joint_of_a_bank_is_gone_through_by_its_runners_only(parts):
    for joint in parts.joints:
        through = {runner.bank for runner in runners_through(joint, parts)}
        if joint.kind in ("head", "split"):
            assert through == {bank_of(joint, parts).name} == {joint.name.partition(".")[2]}
        else:
            assert through == {"left", "right"}
    (middle,) = (piece for piece in parts.pieces if piece.kind == "middle")
    counts = {feature.name: feature.count for feature in features_of(parts, middle) if feature.work == "passages"}
    assert counts == {
        "passages from the split face split.left": 2,
        "passages from the split face split.right": 2,
        "passages from the mouth face": 4,
    }


def test_the_passages_of_both_banks_meet_in_the_middle_piece_without_a_step(parts):
    forms = {piece.name: head_forms(piece, parts) for piece in parts.pieces[:3]}
    ends = {name: rows(form, Sampling()) for name, form in forms.items()}
    starts = {
        course.runner.name: row.inner_mm[0] for course, row in zip(forms["middle"].courses, ends["middle"], strict=True)
    }
    assert len(starts) == len(parts.runners)
    for bank in ("head.left", "head.right"):
        for course, row in zip(forms[bank].courses, ends[bank], strict=True):
            assert np.abs(row.inner_mm[-1] - starts[course.runner.name]).max() < 1e-6


def test_the_middle_piece_carries_both_banks_as_one_closed_solid(parts):
    (piece,) = (item for item in parts.pieces if item.kind == "middle")
    built = build_one(piece, parts)
    assert (built.valid, built.watertight, built.solids, built.fallback) == (True, True, 1, "")


def test_the_two_head_pieces_are_one_shape_turned_about(parts):
    """By their meshes: volume, and each corner of one's box is the turned corner of the other's."""
    left, right = (_twin(parts.pieces[k], parts) for k in (0, 1))
    assert left.volume() == pytest.approx(right.volume(), rel=5e-4)
    low, high = np.array(left.bounding_box()).reshape(2, 3)
    there = np.array(right.bounding_box()).reshape(2, 3) * TURNED
    assert low == pytest.approx(there.min(axis=0), abs=0.05)
    assert high == pytest.approx(there.max(axis=0), abs=0.05)


def _twin(piece, design):
    forms = head_forms(piece, design)
    return head_twin(forms).whole(*(range(len(parts)) for parts in (forms.plates, forms.courses, forms.posts)))


def test_held_stations_part_each_bank_where_the_user_says(one):
    sheet = one.sheet.model_copy(update={"runner": one.sheet.runner.model_copy(update={"pieces": "as needed"})})
    held = Held(values={"joint.split.left.station_mm": 110.0, "joint.split.right.station_mm": 116.0})
    found, _ = split_where_needed(one.design, one.room, sheet, held)
    stations = {joint.name: joint.station_mm for joint in found.joints if joint.kind == "split"}
    assert stations == {"split.left": 110.0, "split.right": 116.0}
