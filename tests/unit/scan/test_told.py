"""Openings put right by whoever looked at the old part, on an invented scan whose nine screw holes are known."""

import pytest

from tractwright.errors import SheetError
from tractwright.job.sheet import Scan
from tractwright.job.space_tables import ScanOpening
from tractwright.scan.measure import measured_pattern
from tractwright.scan.place import job_frame
from tractwright.scan.told import SAME_MM, with_told

NINTH = (177.5, 22.32)
EMPTY = (177.5, -22.32)


@pytest.fixture(scope="module")
def measured(clean, faces):
    """The scan's own pattern."""
    head, seat = faces
    return measured_pattern(head, seat, job_frame(clean.mesh, head, Scan(file="scan.stl")).frame, 4)


def said(at, what):
    return [ScanOpening.model_validate({"at": list(at), "what": what})]


def test_a_hole_that_is_no_screws_is_left_out_and_the_rest_keep_their_figures(measured):
    found = with_told(measured, said(NINTH, "no screw hole"))
    gone = next(
        hole for hole in measured.holes if abs(hole.at_mm[0] - NINTH[0]) < 1 and abs(hole.at_mm[1] - NINTH[1]) < 1
    )
    assert {hole.at_mm for hole in found.holes} == {hole.at_mm for hole in measured.holes} - {gone.at_mm}
    assert [hole.name for hole in found.holes] == [f"s{n}" for n in range(1, len(measured.holes))]
    figures = {figure.what: figure.value for figure in found.measurements}
    for hole in found.holes:
        assert figures[f"hole {hole.name} x"] == pytest.approx(hole.at_mm[0], abs=1e-6)
    assert sum("hole s" in what for what in figures) < sum("hole s" in item.what for item in measured.measurements)
    assert "left out" in found.notes[-1]


def test_a_screw_hole_that_the_scan_does_not_show_is_taken_as_told(measured):
    found = with_told(measured, said(EMPTY, "screw hole"))
    assert EMPTY in {hole.at_mm for hole in found.holes}
    assert len(found.holes) == len(measured.holes) + 1
    added = next(hole for hole in found.holes if hole.at_mm == EMPTY)
    assert added.thread == measured.holes[0].thread
    assert all(figure.sure == 1.0 for figure in found.measurements if figure.what.startswith(f"hole {added.name} "))


def test_a_hole_confirmed_stays_where_it_was_measured(measured):
    near = (NINTH[0] + 0.99 * SAME_MM, NINTH[1])
    found = with_told(measured, said(near, "screw hole"))
    assert [hole.at_mm for hole in found.holes] == [hole.at_mm for hole in measured.holes]


def test_told_and_taken_back_is_as_before(measured):
    there = with_told(measured, said(EMPTY, "screw hole"))
    back = with_told(there, said(EMPTY, "no screw hole"))
    assert back.holes == measured.holes
    assert back.measurements == measured.measurements


def test_none_where_there_is_none_is_a_mistake_in_the_sheet(measured):
    with pytest.raises(SheetError, match=r"scan.opening\[1\].at.*within 6 mm of a screw hole"):
        with_told(measured, said((NINTH[0] + 20.0, NINTH[1] + 10.0), "no screw hole"))
