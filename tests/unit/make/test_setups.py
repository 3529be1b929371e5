"""The least sequence rests only on what exists."""

import pytest

from tractwright.make.setups import Hold, least_sequence


def hold(name: str, needs: str, makes: str, forbids: str = "", cost: float = 10.0) -> Hold:
    return Hold(
        name=name, direction=(0, 0, 1), holds_by=name, needs=frozenset(needs), forbids=frozenset(forbids),
        makes=frozenset(makes), cost_min=cost,
    )  # fmt: skip


def test_shortest_then_cheapest():
    holds = (
        hold("dear", "", "ab", cost=50),
        hold("cheap", "", "ab"),
        hold("second", "a", "c"),
        hold("all", "z", "abc"),
    )
    found = least_sequence(holds, frozenset("abc"))
    assert [h.name for h in found.holds] == ["cheap", "second"]
    assert found.made == (frozenset("ab"), frozenset("c"))
    assert not found.missing


def test_nothing_is_held_by_what_is_not_cut_yet():
    """A plan that would bolt the part down through holes drilled only in that very set-up is refused, with what is left."""
    holds = (hold("plate through the holes", "h", "hs"), hold("vice", "", "f"))
    found = least_sequence(holds, frozenset("hsf"))
    assert [h.name for h in found.holds] == ["vice"]
    assert found.missing == frozenset("hs")


def test_a_hold_may_be_barred_by_what_was_cut():
    holds = (hold("vice", "", "a", forbids="s"), hold("plate", "a", "s"))
    assert [h.name for h in least_sequence(holds, frozenset("as")).holds] == ["vice", "plate"]
    assert least_sequence((hold("vice", "s", "a", forbids="s"), hold("x", "", "s")), frozenset("as")).missing == {"a"}


@pytest.mark.parametrize("count", [0, 1])
def test_nothing_wanted_needs_nothing(count: int):
    assert not least_sequence((hold("v", "", "a"),) * count, frozenset()).holds
