"""An insulating spacer in the description and what it takes of its screws: at each limit and just over it."""

from dataclasses import replace
from math import pi, radians, tan

import numpy as np
import pytest
from check_cases import SHEET, described_case

from tractwright.check.measures import stack_mm
from tractwright.design.seated import on_head, seated
from tractwright.job.read import read_sheet
from tractwright.route.layout.head_joint import before_thread_mm
from tractwright.shape.records import NO_MESH, BuiltSpacer
from tractwright.standards.screws import stock_lengths
from tractwright.strength.spacers import pressed_mm2

SPACED = SHEET + '[spacer]\nthickness = "8 mm"\n[head]\ngasket = "1 mm"\nflange = "12 mm"\n'
SPACER = "spacer.head"


@pytest.fixture(scope="module")
def spaced(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("spaced"), SPACED)


@pytest.fixture(scope="module")
def leaning(tmp_path_factory):
    text = SPACED.replace("[spacer]", '[spacer]\nmaterial = "PEEK"').replace(
        'screw_rise = "34 mm"', 'screw_rise = "34 mm"\nport_rise = "15 deg"'
    )
    return described_case(tmp_path_factory.mktemp("leaning"), text)


def test_the_manifold_stands_on_the_spacer(spaced, sound):
    """Everything 8 mm further out, and so the screws longer: 12 + 1.6 + 8 + 2 x 1 mm are clamped before their thread."""
    (bank,) = spaced.design.banks
    assert (bank.spacer_mm, bank.frame.origin_mm) == (8.0, (0.0, 0.0, 8.0))
    screw = next(item for item in spaced.design.screws if item.joint == "head")
    assert screw.seat_mm[2] == pytest.approx(20.0)
    assert stack_mm(spaced, screw) == pytest.approx(12.0 + 1.6 + 8.0 + 2.0)
    assert screw.length_mm in stock_lengths("cap", screw.thread)
    assert screw.length_mm - stack_mm(spaced, screw) == pytest.approx(screw.engagement_mm)
    shorter = next(item for item in sound.design.screws if item.joint == "head")
    assert screw.length_mm > shorter.length_mm


def test_the_stack_of_the_layout_is_that_of_the_rules(spaced):
    assert before_thread_mm(spaced.sheet) == pytest.approx(10.0)


def test_without_a_spacer_one_gasket_is_clamped(sound):
    assert before_thread_mm(sound.sheet) == pytest.approx(sound.sheet.head.gasket_mm)
    assert sound.design.spacers == ()


def test_a_leaning_port_moves_along_its_own_axis(leaning):
    """8 mm out at 15 degrees: 8 tan 15 up; back on the head where the sheet has it."""
    assert leaning.design.ports[0].at_mm[1] == pytest.approx(8.0 * tan(radians(15.0)))
    assert on_head(leaning.pattern).ports[0].at_mm[1] == pytest.approx(0.0, abs=1e-12)
    assert on_head(leaning.pattern).banks[0].spacer_mm == 0.0
    assert seated(on_head(leaning.pattern), 8.0).ports == leaning.pattern.ports


def test_the_air_goes_through_the_spacer(spaced):
    from tractwright.air.stage import _through_spacer

    told = _through_spacer(spaced.sheet, spaced.design.banks)
    assert told.engine.port_length_mm == pytest.approx(spaced.sheet.engine.port_length_mm + 8.0)


def _pressed(case, mpa):
    loads = tuple(replace(load, pressure_mpa=mpa) for load in case.loads.spacers)
    return replace(case, loads=replace(case.loads, spacers=loads))


def test_join_spacer_pressed_holds_at_its_limit(spaced, judged):
    """A quarter of 60 000 psi = 414 MPa."""
    finding = judged(_pressed(spaced, 103.5), "join.spacer_pressed")[SPACER]
    assert (finding.limit, finding.verdict) == (pytest.approx(60_000 * 0.0068948 / 4, rel=1e-3), "ok")


def test_join_spacer_pressed_breaks_just_over(spaced, verdict):
    assert verdict(_pressed(spaced, 103.6), "join.spacer_pressed", SPACER) == "stop"


def test_a_screw_presses_on_a_ring_of_the_spacer(spaced):
    """A washer of 16 mm and 12 mm of flange spread at 30 degrees: 29.9 mm wide, less the hole; no more than is there."""
    (spacer,) = spaced.design.spacers
    screw = next(item for item in spaced.design.screws if item.joint == "head")
    x, y = screw.seat_mm[:2]
    wide = 16.0 + 2 * 12.0 * tan(radians(30.0))
    plate = replace(spacer, contour=((x + 60.0, y, 1.0), (x - 60.0, y, 1.0)))
    alone = replace(spaced.design, ports=(), screws=(screw,))
    whole = pi / 4 * (wide**2 - screw.clearance_mm**2)
    assert pressed_mm2(screw, plate, alone) == pytest.approx(whole, rel=1e-3)
    assert pressed_mm2(screw, spacer, spaced.design) < whole


def test_heat_goes_by_conduction(spaced):
    """k A / t, with A of the plate less holes and openings; screws of steel beside it."""
    (load,), (spacer,) = spaced.loads.spacers, spaced.design.spacers
    from tractwright.geometry.contours import contour_area

    screws = [item for item in spaced.design.screws if item.joint == "head"]
    area = contour_area(spacer.contour) - 3 * pi / 4 * 36.0**2 - len(screws) * pi / 4 * screws[0].clearance_mm ** 2
    assert load.spacer_w_k == pytest.approx(0.60 * area * 1e-6 / 8e-3, rel=1e-6)
    assert load.screws_w_k == pytest.approx(len(screws) * 45.0 * pi / 4 * 8e-3**2 / (12 + 8 + 2) * 1e3, rel=1e-6)
    assert load.mass_kg == pytest.approx(area * 8.0 * 1.82e-6, rel=1e-6)
    assert load.passes_w_k < load.bare_w_k


def test_join_spacer_warm_holds_at_its_limit(spaced, verdict, saying):
    assert verdict(saying(spaced, "spacer", warm_head_degc=140.0), "join.spacer_warm", SPACER) == "ok"


def test_join_spacer_warm_breaks_just_over(spaced, verdict, saying):
    assert verdict(saying(spaced, "spacer", warm_head_degc=140.1), "join.spacer_warm", SPACER) == "stop"


def _played(case, having, play):
    """Holes of all screws so wide that the outermost has that play on each side."""
    holes = {f"screw.{s.name}.clearance_mm": 8.0 + 2 * play for s in case.design.screws if s.joint == "head"}
    return having(case, holes)


def _wanders(case):
    """PEEK 47e-6 against cast aluminium's 21.4e-6 over 90 K, from the middle to the outermost screw."""
    far = max(np.hypot(*s.seat_mm[:2]) for s in case.design.screws if s.joint == "head")
    return (47e-6 - 21.4e-6) * 90.0 * far


def test_join_spacer_growth_holds_at_its_limit(leaning, judged, having):
    case = _played(leaning, having, _wanders(leaning))
    finding = judged(case, "join.spacer_growth")[SPACER]
    assert (finding.measured, finding.verdict) == (pytest.approx(_wanders(leaning)), "ok")


def test_join_spacer_growth_breaks_just_over(leaning, verdict, having):
    assert verdict(_played(leaning, having, _wanders(leaning) - 0.001), "join.spacer_growth", SPACER) == "look"


def test_the_gasket_on_the_head_counts_too(leaning, spaced, judged):
    """The ports come out 2.1 mm lower on the head, where the plate's edge and the screws stay: the land is less there."""
    (straight,) = judged(spaced, "seal.gasket_land").values()
    (found,) = judged(leaning, "seal.gasket_land").values()
    flat = replace(leaning.design.banks[0], spacer_mm=0.0)
    design = replace(leaning.design, banks=(flat,))
    outer_only = replace(leaning, described=replace(leaning.described, design=design))
    (outer,) = judged(outer_only, "seal.gasket_land").values()
    assert found.measured <= outer.measured
    assert straight.verdict == "ok"


def test_a_warm_spacer_stretches_screws_by_its_own_growth(spaced, judged):
    """Clamped 12 mm of aluminium and 8 mm of laminate at 43.5e-6: (12 x 23.6 + 8 x 43.5)/20 = 31.6e-6."""
    bare = replace(spaced.design, spacers=())
    without = replace(spaced, described=replace(spaced.described, design=bare))
    hot, cool = (judged(case, "join.hot")["joint.head"].measured for case in (spaced, without))
    more = (31.56e-6 - 23.6e-6) * 40.0 / 1.3 * 206000.0 * 36.609
    proof = next(load for load in spaced.loads.screws if load.joint == "head").proof_n
    assert hot - cool == pytest.approx(more / proof, rel=1e-3)


def test_a_spacer_that_could_not_be_cut_is_told(spaced, verdict):
    good = BuiltSpacer(name="head", solid=None, mesh=NO_MESH, volume_mm3=0.0, fallback="no cut")
    assert verdict(replace(spaced, spacers=(good,)), "cut.exact", SPACER) == "stop"


def test_a_spacer_is_said_by_the_sheet(spaced, tmp_path):
    assert spaced.design.standing["spacer.head.thickness_mm"] == "fact"
    assert spaced.design.standing["spacer.head.material"] == "assumed"
    (tmp_path / "job.toml").write_text(SHEET, encoding="utf-8")
    assert read_sheet(tmp_path).spacer is None
