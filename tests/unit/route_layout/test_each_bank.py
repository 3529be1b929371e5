"""A plenum a bank: both banks' manifolds in one description, apart from each other."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import KDTree
from two_heads import FLAT_FOUR

from tractwright.check.case import Case
from tractwright.design.file import Held
from tractwright.design.housing import cover_of, cover_screws_of, housing_of
from tractwright.design.manifolds import manifolds
from tractwright.pipeline import check_job
from tractwright.route.bank_names import BankNames
from tractwright.watch import Watch

OWN = FLAT_FOUR.replace("[plenum]", '[plenum]\nover = "own"')
RIGHT = BankNames(bank="right", before=3, runners=3)
WORDS = st.text("abcdefgh", min_size=2, max_size=6)
NAMES = st.lists(WORDS, min_size=1, max_size=3).map(".".join)


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Case:
    folder: Path = tmp_path_factory.mktemp("own")
    (folder / "job.toml").write_text(OWN)
    return check_job(folder, Watch(tell=lambda _: None)).case


@given(kind=st.sampled_from(["piece", "joint", "screw", "plenum", "flange", "throttle"]), name=NAMES)
def test_a_name_comes_back(kind: str, name: str):
    assert RIGHT.alone(kind, RIGHT.given(kind, name)) == name


@given(number=st.integers(1, 3))
def test_a_runner_is_counted_on(number: int):
    assert RIGHT.given("runner", f"r{number}") == f"r{number + 3}"
    assert RIGHT.alone("runner", f"r{number + 3}") == f"r{number}"
    assert RIGHT.alone("runner", f"r{number}") is None
    assert RIGHT.given("boss", f"nozzle.r{number}") == f"nozzle.r{number + 3}"


def test_what_is_held_goes_to_its_bank_alone():
    values = {"runner.r5.length_mm": 300.0, "runner.r2.length_mm": 280.0, "flange.mouth.right.thickness_mm": 14.0}
    assert dict(RIGHT.held(Held(values=values)).values) == {
        "runner.r2.length_mm": 300.0,
        "flange.mouth.thickness_mm": 14.0,
    }


def test_every_runner_ends_in_the_plenum_of_its_bank(case: Case):
    banks = {plenum.name: plenum.bank for plenum in case.design.plena}
    assert set(banks.values()) == {"left", "right"}
    assert all(banks[runner.mouth.plenum] == runner.bank for runner in case.design.runners)
    assert [runner.name for runner in case.design.runners] == ["r1", "r2", "r3", "r4"]


def test_every_name_that_is_referred_to_is_there_once(case: Case):
    design = case.design
    pieces, joints = [piece.name for piece in design.pieces], [joint.name for joint in design.joints]
    assert len(set(pieces)) == len(pieces)
    assert len(set(joints)) == len(joints)
    assert {flange.piece for flange in design.flanges} <= set(pieces)
    assert {screw.joint for screw in design.screws} <= set(joints)
    assert {screw.tapped_in for screw in design.screws} <= {*pieces, "engine"}
    assert {seal.piece for seal in design.seals} <= set(pieces)


def test_two_manifolds_each_on_its_own_head(case: Case):
    found = manifolds(case.design)
    assert [tuple(bank.name for bank in part.banks) for part in found] == [("left",), ("right",)]
    assert not found[0].pieces & found[1].pieces
    assert not found[0].runners & found[1].runners


def test_each_plenum_has_its_own_piece_cover_and_screws(case: Case):
    for plenum in case.design.plena:
        assert housing_of(plenum, case.design) == f"plenum.{plenum.bank}"
        assert cover_of(plenum, case.design) == f"cover.{plenum.bank}"
        screws = cover_screws_of(plenum, case.design)
        assert screws
        assert all(re.match(rf"cover\.{plenum.bank}\.", screw.name) for screw in screws)


def test_the_banks_keep_apart_by_twice_the_clearance(case: Case):
    """Against scipy's nearest neighbours, on the outsides of all that stands beyond the head flanges."""
    left, right = (
        np.concatenate([case.tubes[r.name].outer_mm.reshape(-1, 3) for r in case.design.runners if r.bank == bank.name])
        for bank in case.design.banks
    )
    least = float(KDTree(left).query(right)[0].min())
    assert least >= 2.0 * case.sheet.room.clearance_mm - 0.5


def test_the_volume_and_the_throttles_are_shared_out(case: Case):
    volumes = [plenum.volume_l for plenum in case.design.plena]
    assert volumes[0] == pytest.approx(volumes[1], rel=0.02)
    assert [throttle.bore_mm for throttle in case.design.throttles] == [52.0, 52.0]
