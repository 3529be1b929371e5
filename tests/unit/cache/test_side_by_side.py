"""Two results at once."""

import threading

import pytest

from tractwright.side_by_side import side_by_side


def test_both_are_under_way_together():
    """Each waits for the other to have begun: one after the other would wait for ever."""
    first, second = threading.Event(), threading.Event()

    def one() -> str:
        first.set()
        assert second.wait(10.0)
        return "one"

    def other() -> str:
        second.set()
        assert first.wait(10.0)
        return "other"

    assert side_by_side(one, other) == ("one", "other")


@pytest.mark.parametrize("which", [0, 1])
def test_what_either_raises_is_raised(which: int):
    def falls() -> str:
        raise ValueError("fell")

    pair = (falls, str) if which == 0 else (str, falls)
    with pytest.raises(ValueError, match="fell"):
        side_by_side(*pair)
