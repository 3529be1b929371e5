"""What the sheet says against what was made: it holds where nothing differs and breaks at the least difference."""

from dataclasses import replace
from types import SimpleNamespace

from check_cases import SHEET, described_case


def test_pattern_sheet_followed_holds_at_its_limit(sound, judged):
    found = judged(sound, "pattern.sheet_followed")
    assert {"sheet.runner.lip_radius", "sheet.joint.seal_material"} <= set(found)
    assert {finding.verdict for finding in found.values()} == {"ok"}


def test_pattern_sheet_followed_breaks_just_over(sound, judged, saying):
    """A lip of 7.01 mm said and 7 mm made; the description itself left alone."""
    finding = judged(saying(sound, "runner", lip_radius_mm=7.01), "pattern.sheet_followed")["sheet.runner.lip_radius"]
    assert finding.verdict == "look"
    assert "7.01" in finding.message
    assert "has 7:" in finding.message


def test_a_wall_that_the_seal_on_it_needs_wider_is_told(judged, tmp_path):
    """A wall of 3 mm does not carry a cord of 2.62 mm with its lands: a wider one is made, and said so."""
    case = described_case(tmp_path, SHEET.replace("[plenum]", "[plenum]\nwall = 3"))
    finding = judged(case, "pattern.sheet_followed")["sheet.plenum.wall"]
    assert finding.verdict == "look"
    assert finding.measured == case.design.plena[0].wall_mm - 3.0


def test_a_held_number_is_its_users_word(judged, tmp_path):
    """Held against the sheet is pattern.held_fact's to say."""
    case = described_case(tmp_path, SHEET, held={"runner.r3.mouth.lip_radius_mm": 6.0})
    assert judged(case, "pattern.sheet_followed")["sheet.runner.lip_radius"].verdict == "ok"
    assert judged(case, "pattern.held_fact")["runner.r3.mouth.lip_radius_mm"].verdict == "look"


def test_body_holes_far_out_get_arms(judged, tmp_path):
    """Holes that stand apart from the neck's flange are findings, not a failure to draw it: no key gets past its arms."""
    text = SHEET.replace('bore = "52 mm"', 'bore = "52 mm"\nhole_pitch = [200, 20]')
    found = judged(described_case(tmp_path, text), "join.key_room")
    assert {name for name, finding in found.items() if finding.verdict == "stop"} == {
        f"flange.body+screw.neck.s{k}" for k in (1, 2, 3, 4)
    }


def test_unequal_runners_are_priced_once_the_air_is_known(sound, judged, having):
    """1.2 % of torque for equal ones, as the air stage may find: the message says so."""
    uneven = having(sound, {"runner.r2.length_mm": 250.0})
    assert "air results" in judged(uneven, "air.length_spread")["plenum.plenum"].message
    known = SimpleNamespace(unequal=SimpleNamespace(about_wanted=0.012))
    assert "+1.2 %" in judged(replace(uneven, breathing=known), "air.length_spread")["plenum.plenum"].message


def test_a_gasket_is_no_cord(judged, tmp_path):
    """The cord's section that the sheet says is not asked of the head's gasket."""
    case = described_case(tmp_path, SHEET.replace("[joint]", "[joint]\ncord = 3.53"))
    assert judged(case, "pattern.sheet_followed")["sheet.joint.cord"].verdict == "ok"
