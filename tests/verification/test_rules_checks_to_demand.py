"""Rules against figures published outside the project, each with its source.

Seat pressure and clamp: limit of VDI 2230:2003 (a secondary print), nut factors of engineers' tables. Engagement: shear
areas of ISO/TR 16224 as an open package of thread strength states them. Face groove: an open package of standard parts.
Clamp against pressure: plain arithmetic. The tables and formulas behind them have files of their own: `test_iso273.py`,
`test_iso_threads.py`, `test_fixture_threads.py`, `test_iso898.py`, `test_npt.py`, `test_orings.py`,
`test_bolt_spacing.py`, `test_cutting.py`, `test_stored_energy.py`; `data/checks_to_demand.csv` lists which test holds
which figure.
"""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from check_cases import SHEET, described_case, found, with_value, with_values

from tractwright.strength.stage import loads

DEMANDED = list(
    csv.DictReader((Path(__file__).parent / "data/checks_to_demand.csv").read_text(encoding="utf-8").splitlines())
)


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory):
    return described_case(tmp_path_factory.mktemp("sound"), SHEET)


def _screwed(case, name, **values):
    """The case with numbers of one screw changed and its loads worked out again."""
    design = case.design
    for field, value in values.items():
        design = with_value(design, f"screw.{name}.{field}", value)
    return replace(case, described=replace(case.described, design=design), loads=loads(case.sheet, design))


def test_a_cap_head_on_a_fixture_thread_demands_a_washer(case):
    """M6 at 10 Nm, K 0.2, on the mouth of an M8 thread (8.0 mm): 442 MPa over 260; with a washer on 8.4 mm 144 MPa."""
    bare = _screwed(case, "cover.s1", washer="", clearance_mm=8.0, torque_nm=10.0)
    finding = found(bare, "join.seat_pressure")["screw.cover.s1"]
    assert finding.measured == pytest.approx(442.0, rel=0.01)
    assert finding.limit == 260.0
    assert finding.verdict == "stop"
    assert "washer" in finding.message
    washed = found(_screwed(case, "cover.s1", clearance_mm=8.4, torque_nm=10.0), "join.seat_pressure")["screw.cover.s1"]
    assert washed.measured == pytest.approx(144.0, rel=0.01)
    assert washed.verdict == "ok"


@pytest.mark.parametrize(("clearance", "pressure"), [(6.6, 239.0), (6.8, 254.0)])
def test_a_cap_head_on_a_plain_hole_is_no_stop(case, clearance, pressure):
    """M6 cap head on the medium hole of ISO 273, and on a drilled 6.8: 239 and 254 MPa, both borne."""
    plain = _screwed(case, "cover.s1", washer="", clearance_mm=clearance, torque_nm=10.0)
    finding = found(plain, "join.seat_pressure")["screw.cover.s1"]
    assert finding.measured == pytest.approx(pressure, rel=0.01)
    assert finding.verdict == "ok"


@pytest.mark.parametrize(
    ("torque", "grade", "share", "verdict"),
    [(10.0, "8.8", 13889 / 11600, "look"), (8.0, "10.9", 11111 / 16700, "ok"), (10.0, "10.9", 13889 / 16700, "ok")],
)
def test_a_low_nut_factor_past_proof_is_a_look(case, torque, grade, share, verdict):
    """M6 at 10 Nm: 13889 N at K 0.12, past 8.8's proof of 11600 N, under 10.9's of 16700."""
    design = case.design
    for screw in design.screws:
        if screw.joint == "cover":
            for field, value in (("torque_nm", torque), ("property_class", grade)):
                design = with_value(design, f"screw.{screw.name}.{field}", value)
    tightened = replace(case, described=replace(case.described, design=design), loads=loads(case.sheet, design))
    findings = found(tightened, "join.proof")
    assert findings["joint.cover"].measured == pytest.approx(share, rel=0.01)
    assert findings["joint.cover"].verdict == verdict
    assert findings["screw.cover.s1"].verdict == "ok"


@pytest.mark.parametrize(
    ("grade", "length"),
    [("8.8", 12.6), ("10.9", 16.4), ("12.9", 19.2)],
)
def test_engagement_in_a_cast_head(case, grade, length):
    """M8 in A356-T6, shear strength 138 MPa: 12.6, 16.4 and 19.2 mm for the screw to break before the thread strips."""
    graded = _screwed(case, "head.s1", property_class=grade, engagement_mm=length + 0.1, torque_nm=60.0)
    assert found(graded, "join.engagement")["screw.head.s1"].verdict == "ok"
    short = _screwed(case, "head.s1", property_class=grade, engagement_mm=length - 0.1, torque_nm=60.0)
    finding = found(short, "join.engagement")["screw.head.s1"]
    assert finding.verdict == "stop"
    assert finding.limit == pytest.approx(length, abs=0.06)


def test_the_published_face_groove(case):
    """2.62 in 1.91 to 2.06 deep and 3.56 wide: squeeze 24 % in the middle, worst fill 87.4 %: a look, no stop."""
    published = with_values(case, {"seal.cover.groove_depth_mm": 1.985, "seal.cover.groove_width_mm": 3.56})
    squeeze, fill = found(published, "seal.squeeze")["seal.cover"], found(published, "seal.fill")["seal.cover"]
    assert squeeze.measured == pytest.approx((0.189 + 0.293) / 2, abs=0.02)
    assert squeeze.verdict == "ok"
    assert fill.measured == pytest.approx(0.874, abs=0.002)
    assert fill.verdict == "look"


@pytest.mark.parametrize(("depth", "verdict"), [(1.91, "ok"), (2.06, "ok"), (2.20, "stop"), (1.75, "stop")])
def test_squeeze_over_the_published_depths(case, depth, verdict):
    """All of the published depth is fine; well outside it is not."""
    cut = with_values(case, {"seal.cover.groove_depth_mm": depth})
    assert found(cut, "seal.squeeze")["seal.cover"].verdict == verdict


def test_a_cover_under_two_bar(case):
    """2 bar on 300 x 90 mm push with 5400 N; twelve M6 at 10 Nm, K 0.30, less a tenth hold with 60 kN: 11.1 times."""
    pressed = case.sheet.air.model_copy(update={"boost_bar": 2.0})
    sheet = case.sheet.model_copy(update={"air": pressed})
    square = tuple((x, y, 0.0) for x, y in ((-150.0, -45.0), (150.0, -45.0), (150.0, 45.0), (-150.0, 45.0)))
    design = with_value(case.design, "seal.cover.path", square)
    screws = [screw for screw in design.screws if screw.joint != "cover"]
    pattern = next(screw for screw in design.screws if screw.joint == "cover")
    screws += [replace(pattern, name=f"cover.t{k}", torque_nm=10.0) for k in range(12)]
    design = replace(design, screws=tuple(screws))
    held = replace(case, sheet=sheet, described=replace(case.described, design=design), loads=loads(sheet, design))
    finding = found(held, "join.separation")["joint.cover"]
    assert finding.measured == pytest.approx(11.1, abs=0.1)
    assert finding.verdict == "ok"


@pytest.mark.parametrize("row", DEMANDED, ids=lambda row: f"{row['n']} {row['check']}")
def test_every_figure_demanded_has_its_test(row):
    """Each row of the list names the test that holds it, and a source."""
    text = (Path(__file__).parent / f"{row['file']}.py").read_text(encoding="utf-8")
    assert f"def {row['test']}(" in text
    assert row["source"]
    assert row["expected"]


def test_the_list_is_whole():
    assert [int(row["n"]) for row in DEMANDED] == list(range(1, 23))
