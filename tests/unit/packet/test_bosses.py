"""Bosses in what goes out: their table, their lines on the page, their holes among what is cut."""

import csv
import io
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest

from tractwright.design.file import Held
from tractwright.job.boss_tables import BossFacts
from tractwright.make.features import features_of
from tractwright.packet.contents import Contents
from tractwright.packet.exports import pdf, tables
from tractwright.route.layout.bosses import bosses

WANTED = (
    BossFacts.model_validate({"name": "nozzle", "use": "nozzle", "thread": "1/8 NPT", "clock": "90 deg"}),
    BossFacts.model_validate({"name": "seat", "clock": "270 deg", "bore": "6 mm", "pocket": [[14, 8], [11, 10]]}),
    BossFacts.model_validate({"name": "map", "use": "sensor", "thread": "M10x1", "wall": "top"}),
)


@pytest.fixture(scope="module")
def bossed(whole: Contents) -> Contents:
    """The manifold with a fitting and a seat on each of its runners, a sensor on its cover."""
    case = whole.case
    sheet = case.sheet.model_copy(update={"boss": WANTED})
    design = replace(case.design, bosses=bosses(case.design, sheet, Held()))
    described = replace(case.described, design=design)
    return replace(whole, case=replace(case, sheet=sheet, described=described))


def test_bosses_csv_has_a_row_a_boss_whose_top_lies_on_its_axis(bossed: Contents):
    rows = list(csv.DictReader(io.StringIO(tables.write(bossed)["bosses.csv"].decode())))
    assert len(rows) == 2 * len(bossed.case.design.runners) + 1
    for row in rows:
        skin, top, axis = (np.array([float(row[f"{kind}_{k}"]) for k in keys]) for kind, keys in _PLACES)
        assert top - skin == pytest.approx(axis * float(row["height_mm"]), abs=0.002)
    assert {row["steps_mm"] for row in rows} == {"", "14x8 11x10"}
    assert {row["piece"] for row in rows} == {"head", "cover"}


_PLACES = (("skin", ("x_mm", "y_mm", "z_mm")), ("top", ("x_mm", "y_mm", "z_mm")), ("axis", "xyz"))


def test_without_bosses_there_is_no_table_of_them(whole: Contents):
    assert "bosses.csv" not in tables.write(whole)


def test_the_page_tells_of_them(bossed: Contents):
    paper = pypdfium2.PdfDocument(pdf.write(bossed)["packet.pdf"])
    text = " ".join(page.get_textpage().get_text_range() for page in paper)
    assert "Bosses" in text
    assert "1/8 NPT, 6.9 full" in " ".join(text.split())
    assert "14 wide 8 deep" in " ".join(text.split())


def test_their_holes_are_cut_along_their_axes(bossed: Contents):
    """Those of one way together: fittings upwards, seats downwards with two steps each, the sensor's in the cover."""
    design = bossed.case.design
    head, cover = (
        [f for f in features_of(design, next(p for p in design.pieces if p.kind == kind)) if "boss" in f.name]
        for kind in ("head", "cover")
    )
    assert {f.thread for f in head if f.work == "boss"} == {"1/8 NPT", ""}
    assert [f.diameter_mm for f in head if f.work == "seats"][:2] == [14.0, 11.0]
    assert [(f.thread, f.count) for f in cover] == [("M10x1", 1)]
    assert all(f.count <= len(design.runners) for f in head)
