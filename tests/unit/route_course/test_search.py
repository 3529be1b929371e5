"""The closing polish works within what it may spend, wherever that ends."""

import numpy as np
import pytest
from rows_of_ports import in_room, row

from tractwright.route.course import search
from tractwright.route.course.demands import question
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.starts import starts_of
from tractwright.route.course.symmetry import ties_of


@pytest.mark.parametrize("most", [1, 2, 3, 5, 8, 12, 20])
def test_a_polish_out_of_evaluations_gives_the_best_it_saw(most, monkeypatch):
    """Once the last evaluation was spent by the minimiser's very end, and the look after it fell over: one impossible job in
    forty ended with a traceback.
    """
    monkeypatch.setattr(search, "_MOST_POLISH", most)
    asked = question(pack_problem(in_room(row(count=3), top=150.0, out=140.0, floor=-90.0)))
    tie = ties_of(asked.packed, asked.bounds)[0]
    x = next(iter(starts_of(asked))).x
    found = search.polish(asked, tie, tie.drawn_together(x))
    assert found.evaluations <= most
    assert np.isfinite(found.y).all()


def test_the_end_of_a_minimisation_may_be_the_last_thing_paid_for(monkeypatch):
    """The minimiser hands over a place it has not looked at, with nothing left to look at it."""
    monkeypatch.setattr(search, "_MOST_POLISH", 2)
    monkeypatch.setattr(search, "_minimised", lambda seen, y, near, steps: (seen.at(y + 1e-3), y + 2e-3)[1])
    asked = question(pack_problem(row(count=2)))
    tie = ties_of(asked.packed, asked.bounds)[0]
    middle = tie.drawn_together(next(iter(starts_of(asked))).x)
    assert search.polish(asked, tie, middle).evaluations == 2
