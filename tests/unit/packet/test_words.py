"""Figures and paths in words."""

from dataclasses import replace

import pytest

from tractwright.check.finding import Finding, Reading
from tractwright.check.stage import all_rules
from tractwright.packet.contents import Contents
from tractwright.packet.paper.parts import orders, parts_list, torque_sheet
from tractwright.packet.paper.words import (
    figure,
    in_one_line,
    in_words,
    numbered,
    reading_words,
    span,
    subjects_words,
    tidy,
    told_once,
)


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (0.3, "share", "30 %"), (1234.5, "mm", "1234 mm"), (12.345, "mm", "12.3 mm"), (0.04567, "mm", "0.046 mm"),
        (0.0, "mm", "0 mm"), (float("inf"), "mm", "no limit"), (100.0, "", "100"), (-3.14159, "mm", "-3.14 mm"),
    ],
)  # fmt: skip
def test_figures_have_the_digits_they_deserve(value: float, unit: str, words: str):
    assert figure(value, unit) == words


def _told(measured: float | None, at_most: float, unit: str = "mm") -> tuple[str, str]:
    reading = Reading(subject="joint.neck", measured=measured, unit=unit, at_most=at_most, message="Too far.")
    return reading_words(Finding.of(all_rules()[0], reading))


def test_a_reading_just_over_its_limit_does_not_read_like_the_limit():
    """Once a terminal said: 127 mm, at most 127 mm."""
    assert _told(127.04, 127.0) == ("127.04 mm", "at most 127 mm")
    assert _told(0.8504, 0.85, "share") == ("85.04 %", "at most 85.00 %")
    assert _told(130.0, 127.0) == ("130 mm", "at most 127 mm")
    assert _told(127.0, 127.0) == ("127 mm", "127 mm")
    assert _told(None, 1.0, "suited") == ("not known", "to be suited")


def test_what_is_there_or_not_is_said_in_words():
    """'0 decided, at least 1 decided' and '1 blocks, at most 0 blocks' were no shop's words."""
    assert _told(0.0, 1.0, "decided") == ("not decided", "to be decided")
    assert _told(0.0, 1.0, "on the list") == ("not on the list", "to be on the list")
    assert figure(1.0, "features") == "1 feature"
    assert figure(0.0, "features") == "0 features"


def _finding(subject: str, measured: float, message: str = "Too little metal.") -> Finding:
    reading = Reading(subject=subject, measured=measured, unit="mm", message=message, at_least=2.0)
    return Finding.of(all_rules()[0], reading)


def test_one_fault_of_many_screws_is_one_line():
    """Holes of the head with too little thread filled a page with one and the same line, once a screw."""
    findings = [_finding("screw.head.s1", 1.5), _finding("runner.r1", 1.9, "Too thin."), _finding("screw.head.s2", 1.0)]
    first, second = told_once(findings)
    assert [item.subject for item in first] == ["screw.head.s2", "screw.head.s1"]
    assert subjects_words(first) == "head screw s2, head screw s1"
    many = [_finding(f"screw.head.s{k}", 1.0) for k in range(12, 0, -1)]
    assert subjects_words(many) == "screws head s1 to s12"
    assert [item.subject for item in second] == ["runner.r1"]


def test_one_line_says_what_is_wrong_and_by_how_much():
    assert in_one_line(_finding("screw.head.s1", 1.5)) == "Too little metal. (1.5 mm; at least 2 mm)"
    assert in_one_line(_finding("screw.head.s1", 2.5)) == "In order."


def test_spans_and_tidied_texts():
    assert span([186.01, 185.98], 1, "mm") == "186.0 mm"
    assert span([186.0, 190.0], 0, "mm") == "186 to 190 mm"
    assert tidy("7.4592 mm") == "7.459 mm"
    assert tidy("M8x1.25, 900, 12.5") == "M8x1.25, 900, 12.5"


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("runner.r3", "runner r3"), ("runner.r3+screw.head.s4", "runner r3 and head screw s4"),
        ("seal.cover", "seal of the cover joint"), ("joint.neck", "neck joint"),
        ("sheet.shop.rate_hour", "the sheet's [shop] rate_hour"), ("plenum.plenum.wall_mm", "plenum wall mm"),
    ],
)  # fmt: skip
def test_subjects_read_as_a_shop_would_say_them(path: str, words: str):
    assert in_words(path) == words


def test_names_in_a_row_are_drawn_together():
    assert numbered([f"head.s{k}" for k in range(1, 9)]) == "head s1 to s8"
    assert numbered(["head.s1", "head.s4"]) == "head s1, s4"


def test_a_balance_pipe_is_bought_where_there_are_plena_to_join(whole: Contents):
    """It is air only: nothing of the pieces carries it, so the list says whose its fittings are."""
    sheet, design = whole.case.sheet, whole.case.design
    air = sheet.air.model_copy(update={"balance_length_mm": 300.0, "balance_bore_mm": 38.0})
    piped = replace(whole.case, sheet=sheet.model_copy(update={"air": air}))
    two = replace(design, plena=design.plena * 2)
    joined = replace(piped, described=replace(piped.described, design=two))
    told = [[row[1] for row in parts_list(replace(whole, case=case))] for case in (piped, joined)]
    assert not any("balance pipe" in text for text in told[0])
    assert [text for text in told[1] if "balance pipe" in text] == [
        "balance pipe, bore 38 mm, 300 mm long; its fittings are not drawn: the shop's own"
    ]


def test_the_parts_list_and_the_torque_sheet_count_every_screw(whole: Contents):
    screws = whole.case.design.screws
    counted = sum(int(row[0]) for row in parts_list(whole) if "screw" in row[1])
    assert counted == len(screws)
    assert sum(int(row[0]) for row in parts_list(whole) if row[1].startswith("washer")) == sum(
        bool(s.washer) for s in screws
    )
    assert {row[7] for row in torque_sheet(whole)} == {s.torque_from for s in screws}


def test_each_joint_is_drawn_down_screw_by_screw_from_the_middle(whole: Contents):
    design = whole.case.design
    for joint, order in orders(whole):
        names = list(order.split(", "))
        own = [s for s in design.screws if s.joint == joint]
        assert sorted(names) == sorted(s.name.rpartition(".")[2] for s in own)
