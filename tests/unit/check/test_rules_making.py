"""Rules that bite at cutting, holding and price: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.kernel.packed import PackedSolid
from tractwright.make.records import Chatter, MakingPlan, PriceLine, Setup, Stock, Unreached
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece

NO_MESH = (np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32))


def _piece(**given):
    plain = {
        "name": "cover", "kind": "cover", "solid": PackedSolid(b""), "mesh": NO_MESH, "valid": True, "watertight": True,
        "solids": 1, "volume_mm3": 1e5, "twin_volume_mm3": 1e5, "mass_kg": 0.3, "blends_wanted": 6, "blends_made": 6,
        "rung": "", "fallback": "",
    }  # fmt: skip
    return BuiltPiece(**(plain | given))


def _plan(**given):
    plain = {"stocks": (), "passages": (), "setups": (), "currency": "EUR", "price": (), "notes": ()}
    return MakingPlan(**(plain | given))


def _stock(**given):
    plain = {
        "piece": "cover", "size_mm": (300.0, 120.0, 15.0), "axes": ((1, 0, 0), (0, 1, 0), (0, 0, 1)), "plate_mm": 15.0,
        "mass_kg": 1.5, "buy_to_fly": 4.0,
    }  # fmt: skip
    return Stock(**(plain | given))


def _passage(runner, verdict, reach):
    return PassageReach(
        piece="head", runner=runner, verdict=verdict, stations_mm=(0.5, 199.5), stickout_from_port_mm=(10.0, 200.0),
        stickout_from_mouth_mm=(200.0, 10.0), meeting_line_mm=None, split_at_mm=95.0, reach_from_port_end_mm=reach,
        reach_from_mouth_end_mm=reach, ledge_mm=None, cutter="", stickout_over_neck=None, stickout_over_head=None,
    )  # fmt: skip


def test_cut_blends_holds_at_its_limit(sound, verdict):
    assert verdict(replace(sound, pieces=(_piece(),)), "cut.blends", "piece.cover") == "ok"


def test_cut_blends_breaks_just_over(sound, verdict):
    assert verdict(replace(sound, pieces=(_piece(blends_made=5),)), "cut.blends", "piece.cover") == "look"


def test_cut_exact_holds_at_its_limit(sound, verdict):
    assert verdict(replace(sound, pieces=(_piece(),)), "cut.exact", "piece.cover") == "ok"


@pytest.mark.parametrize("fault", [{"solid": None}, {"valid": False}, {"watertight": False}, {"solids": 2}])
def test_cut_exact_breaks_just_over(sound, verdict, fault):
    assert verdict(replace(sound, pieces=(_piece(**fault),)), "cut.exact", "piece.cover") == "stop"


def test_cut_inner_corner_holds_at_its_limit(sound, verdict, having):
    """Eight diameters deep: a radius of a sixteenth of the depth."""
    case = having(sound, {"plenum.plenum.corner_radius_mm": sound.design.plena[0].depth_mm / 16.0})
    assert verdict(case, "cut.inner_corner", "plenum.plenum") == "ok"


def test_cut_inner_corner_breaks_just_over(sound, judged, having):
    case = having(sound, {"plenum.plenum.corner_radius_mm": sound.design.plena[0].depth_mm / 16.1})
    finding = judged(case, "cut.inner_corner")["plenum.plenum"]
    assert finding.verdict == "look"
    mended = having(sound, {finding.fix.path: finding.fix.value})
    assert judged(mended, "cut.inner_corner")["plenum.plenum"].verdict == "ok"


def test_cut_reach_holds_at_its_limit(sound, judged):
    passages = tuple(_passage(f"r{k}", "needs tilt", 120.0) for k in (1, 2, 3))
    found = judged(replace(sound, plan=_plan(passages=passages)), "cut.reach")
    assert [finding.verdict for finding in found.values()] == ["ok"]


def test_cut_reach_breaks_just_over(sound, judged):
    """One look, for the passage with most left: 200 - 2 x 90 mm."""
    passages = (
        _passage("r1", "must split", 95.0),
        _passage("r2", "must split", 90.0),
        _passage("r3", "one piece", 120.0),
    )
    found = judged(replace(sound, plan=_plan(passages=passages)), "cut.reach")
    assert list(found) == ["runner.r2"]
    assert found["runner.r2"].verdict == "look"
    assert found["runner.r2"].measured == pytest.approx(20.0)
    assert "2 of 3 passages" in found["runner.r2"].message


def test_cut_reach_that_is_not_known(sound, judged):
    passages = (_passage("r1", "one piece", 120.0), _passage("r2", "unknown", 0.0))
    found = judged(replace(sound, plan=_plan(passages=passages)), "cut.reach")
    assert found["runner.r2"].verdict == "unknown"


def _cover(case):
    return next(piece for piece in case.design.pieces if piece.name == "cover")


def test_hold_nothing_left_holds_at_its_limit(sound, verdict):
    plan = _plan(stocks=(_stock(),), missing=(("head", "groove", "of another piece"),))
    assert verdict(replace(sound, plan=plan), "hold.nothing_left", "piece.cover") == "ok"


def test_hold_nothing_left_breaks_just_over(sound, judged):
    plan = _plan(stocks=(_stock(),), missing=(("cover", "groove", "it waits for the face"),))
    finding = judged(replace(sound, plan=plan), "hold.nothing_left")["piece.cover"]
    assert finding.verdict == "stop"
    assert "groove: it waits for the face" in finding.message


def test_many_features_left_over_are_one_line_with_their_cause(sound, judged, saying):
    """Sixteen features of a plenum, each waiting for another, were listed; that no vice took its block was not said."""
    missing = tuple(("cover", f"feature {k}", "it waits for another") for k in range(16))
    plan = _plan(stocks=(_stock(size_mm=(310.0, 300.0, 320.0)),), missing=missing)
    finding = judged(replace(saying(sound, "shop", vice_opening_mm=90.0), plan=plan), "hold.nothing_left")[
        "piece.cover"
    ]
    assert "feature 2 and 13 more" in finding.message
    assert "in no vice that opens 90 mm" in finding.message


def test_hold_stock_list_holds_at_its_limit(sound, verdict):
    assert verdict(replace(sound, plan=_plan(stocks=(_stock(),))), "hold.stock_list", "piece.cover") == "ok"


def test_hold_stock_list_breaks_just_over(sound, verdict):
    assert (
        verdict(replace(sound, plan=_plan(stocks=(_stock(listed=False),))), "hold.stock_list", "piece.cover") == "look"
    )


def test_hold_travels_holds_at_its_limit(sound, verdict):
    plan = _plan(stocks=(_stock(size_mm=(500.0, 800.0, 500.0)),))
    assert verdict(replace(sound, plan=plan), "hold.travels", "piece.cover") == "ok"


def test_hold_travels_breaks_just_over(sound, judged):
    plan = _plan(stocks=(_stock(size_mm=(100.0, 800.0, 500.1)),))
    finding = judged(replace(sound, plan=plan), "hold.travels")["piece.cover"]
    assert finding.verdict == "stop"
    assert (finding.measured, finding.limit) == (500.1, 500.0)


def test_price_chips_holds_at_its_limit(sound, verdict):
    plan = _plan(stocks=(_stock(), _stock(piece="head", buy_to_fly=25.0)))
    assert verdict(replace(sound, plan=plan), "price.chips", "piece.head") == "ok"


def test_price_chips_breaks_just_over(sound, verdict):
    plan = _plan(stocks=(_stock(), _stock(piece="head", buy_to_fly=25.1)))
    assert verdict(replace(sound, plan=plan), "price.chips", "piece.head") == "look"


def _priced(heavy):
    return _plan(
        price=(
            PriceLine(what="plate, sawn", low=100.0 - heavy, high=100.0 - heavy, how="10 kg"),
            PriceLine(what="programming", low=heavy, high=heavy, how="8 h"),
        )
    )


def test_price_decides_holds_at_its_limit(sound, verdict):
    assert verdict(replace(sound, plan=_priced(80.0)), "price.decides", "price.programming") == "ok"


def test_price_decides_breaks_just_over(sound, judged):
    finding = judged(replace(sound, plan=_priced(80.1)), "price.decides")["price.programming"]
    assert finding.verdict == "look"
    assert "8 h" in finding.message


def _setup(name, needs=(), makes=(), held_times=4.0, jaw_flats_mm=None):
    return Setup(
        name=name, piece="cover", machine="3-axis", direction=(0.0, 0.0, 1.0), holds_by="vice", needs=needs, makes=makes,
        reaches_fraction=1.0, tools=(), minutes=(10.0, 20.0), held_times=held_times, jaw_flats_mm=jaw_flats_mm,
    )  # fmt: skip


def test_hold_order_holds_at_its_limit(sound, verdict):
    setups = (_setup("cover 1", makes=("fixture threads",)), _setup("cover 2", needs=("fixture threads",)))
    assert verdict(replace(sound, plan=_plan(setups=setups)), "hold.order", "piece.cover") == "ok"


def test_hold_order_breaks_just_over(sound, judged):
    """The same two set-ups the other way round; what another piece has made is no help."""
    other = replace(_setup("head 1", makes=("fixture threads",)), piece="head")
    setups = (other, _setup("cover 1", needs=("fixture threads",)), _setup("cover 2", makes=("fixture threads",)))
    finding = judged(replace(sound, plan=_plan(setups=setups)), "hold.order")["piece.cover"]
    assert finding.verdict == "stop"
    assert "cover 1 is held by the fixture threads" in finding.message


@pytest.mark.parametrize(("opening_mm", "told"), [(300.0, False), (299.9, True)])
def test_a_block_that_no_vice_takes_is_told_as_that(sound, judged, saying, opening_mm, told):
    """A head piece on long runners: every line said that a face was not roughed yet, none that the vice was too small."""
    setups = (_setup("cover 1", needs=("fixture threads",)),)
    plan = _plan(setups=setups, stocks=(_stock(size_mm=(310.0, 300.0, 320.0)),))
    case = replace(saying(sound, "shop", vice_opening_mm=opening_mm), plan=plan)
    message = judged(case, "hold.order")["piece.cover"].message
    assert ("310 x 300 x 320 mm, stands safely in no vice that opens 300 mm" in message) == told


def test_hold_clamp_holds_at_its_limit(sound, verdict):
    setups = (_setup("cover 1", held_times=2.0), _setup("cover 2"))
    assert verdict(replace(sound, plan=_plan(setups=setups)), "hold.clamp", "piece.cover") == "ok"


def test_hold_clamp_breaks_just_over(sound, judged):
    setups = (_setup("cover 1"), _setup("cover 2", held_times=1.99))
    finding = judged(replace(sound, plan=_plan(setups=setups)), "hold.clamp")["piece.cover"]
    assert finding.verdict == "look"
    assert "cover 2" in finding.message


def test_hold_flats_holds_at_its_limit(sound, verdict):
    """A sawn block is flat all along, and a set-up that screws hold asks for no flats."""
    setups = (_setup("cover 1", jaw_flats_mm=200.0), _setup("cover 2"), _setup("cover 3", jaw_flats_mm=20.0))
    assert verdict(replace(sound, plan=_plan(setups=setups)), "hold.flats", "piece.cover") == "ok"


def test_hold_flats_breaks_just_over(sound, judged):
    setups = (_setup("cover 1", jaw_flats_mm=200.0), _setup("cover 2", jaw_flats_mm=19.9))
    finding = judged(replace(sound, plan=_plan(setups=setups)), "hold.flats")["piece.cover"]
    assert finding.verdict == "look"
    assert "cover 2" in finding.message


def _patch(area):
    return Unreached(piece="cover", what="pocket", area_mm2=area, at_mm=(1.0, 2.0, 3.0), why="too deep")


def test_cut_unreached_holds_at_its_limit(sound, verdict):
    plan = _plan(stocks=(_stock(),), unreached=(_patch(60.0), _patch(40.0)))
    assert verdict(replace(sound, plan=plan), "cut.unreached", "piece.cover") == "ok"


def test_cut_unreached_breaks_just_over(sound, judged):
    plan = _plan(stocks=(_stock(),), unreached=(_patch(60.0), _patch(40.1)))
    finding = judged(replace(sound, plan=plan), "cut.unreached")["piece.cover"]
    assert finding.verdict == "look"
    assert "pocket (too deep)" in finding.message


def _chatter(deep_mm, **given):
    return Chatter(cutter="flat 20", deep_mm=deep_mm, rpm=5570.0, limit_mm=6.0, **given)


def test_cut_chatter_holds_at_its_limit(sound, verdict):
    assert verdict(replace(sound, plan=_plan(chatter=(_chatter(6.0),))), "cut.chatter", "cutter.flat 20") == "ok"


def test_cut_chatter_breaks_just_over(sound, judged):
    plan = _plan(chatter=(_chatter(6.01, better_rpm=6000.0, bears_mm=9.5),))
    finding = judged(replace(sound, plan=plan), "cut.chatter")["cutter.flat 20"]
    assert finding.verdict == "look"
    assert "or at 6000 rev/min, where it bears 9.5 mm" in finding.message
    bare = judged(replace(sound, plan=_plan(chatter=(_chatter(6.01),))), "cut.chatter")["cutter.flat 20"]
    assert bare.message.endswith("cut shallower, or narrower.")
