"""The torque curve that is shown: the quick model's while something is changed, the whole simulation's once it is as new."""

from dataclasses import dataclass
from typing import Any, cast

import pytest

from tractwright.page.looks import Curve
from tractwright.page.workroom import Answers


@dataclass(frozen=True)
class Whole:
    """What the curve reads of a whole simulation."""

    rpm: tuple[float, ...] = (2000.0, 4000.0)
    torque_nm: tuple[float, ...] = (150.0, 180.0)
    trapped_ve: tuple[float, ...] = (0.9, 1.0)
    wanted_peak_rpm: float = 3600.0


def quick(revision: int) -> Curve:
    return Curve(
        revision=revision, rpm=(2000.0,), torque_nm=(149.0,), trapped_ve=(0.9,), wanted_rpm=3600.0, error=0.005
    )  # fmt: skip


def test_nothing_is_shown_where_nothing_is_known():
    assert Answers().curve is None


@pytest.mark.parametrize(("asked", "error"), [(4, 0.005), (3, 0.0), (2, 0.0)])
def test_the_newest_wins_and_of_equals_the_whole_simulation(asked: int, error: float):
    shown = Answers(quick=quick(asked), breathing=cast("Any", Whole()), breathing_of=3).curve
    assert shown is not None
    assert (shown.error, shown.revision) == (error, max(asked, 3))
    assert shown.wanted_rpm == 3600.0
