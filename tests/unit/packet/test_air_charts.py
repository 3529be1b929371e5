"""Charts and tables of the air: all there, the same bytes each time, rows as the record has them."""

import pytest

from tractwright.air.records import Breathing
from tractwright.packet.charts.air import air_charts, air_pictures
from tractwright.packet.contents import Contents
from tractwright.packet.tables import QUESTION_COLUMNS, air_tables, question_rows

NAMES = {"filling", "length_chart", "traces", "mach", "flow_bench"}


@pytest.fixture
def breathing(whole: Contents) -> Breathing:
    found = whole.case.breathing
    assert found is not None
    return found


def test_every_chart_as_svg_and_png(breathing: Breathing) -> None:
    charts, pictures = air_charts(breathing, 200.0), air_pictures(breathing, 200.0)
    assert {name.removesuffix(".svg") for name in charts} == NAMES
    assert {name.removesuffix(".png") for name in pictures} == NAMES
    assert all(content.startswith(b"\x89PNG") for content in pictures.values())
    assert all(b"</svg>" in content for content in charts.values())
    assert charts == air_charts(breathing, 200.0)
    assert pictures == air_pictures(breathing, 200.0)


def test_every_table_has_its_rows(breathing: Breathing) -> None:
    tables = {name: content.decode().splitlines() for name, content in air_tables(breathing).items()}
    assert len(tables["air.csv"]) == 1 + len(breathing.rpm)
    assert tables["air.csv"][0].endswith("residual,trapped_ve_1,trapped_ve_2")
    assert len(tables["traces.csv"]) == 1 + len(breathing.traces.crank_deg)
    assert len(tables["mach.csv"]) == 1 + sum(len(along.mach) for along in breathing.mach_along)
    assert len(tables["rules_of_thumb.csv"]) == 1 + len(breathing.rules_of_thumb)
    assert len(tables["flow_bench.csv"]) == 1 + len(breathing.bench.rows)
    assert tables["changes.csv"][0] == ",".join(QUESTION_COLUMNS)
    assert len(tables["changes.csv"]) == 1 + len(question_rows(breathing))
