"""The least sequence rests only on what exists."""

import pytest

from tractwright.make.feature import Feature
from tractwright.make.setups import RELEASE_MIN, Hold, least_sequence

UP = (0.0, 0.0, 1.0)


def hold(name: str, needs: str, makes: str, forbids: str = "", cost: float = 20.0) -> Hold:
    return Hold(
        name=name, direction=UP, floor=UP, holds_by=name, needs=frozenset(needs), forbids=frozenset(forbids),
        makes=frozenset(makes), cost_min=cost,
    )  # fmt: skip


def features(
    names: str, earlier: dict[str, str] | None = None, first: dict[str, str] | None = None, optional: str = ""
):
    return tuple(
        Feature(
            name=name, work="holes", directions=(UP,), at_mm=(0, 0, 0), first=frozenset((first or {}).get(name, "")),
            earlier=frozenset((earlier or {}).get(name, "")), optional=name in optional,
        )
        for name in names
    )  # fmt: skip


def test_cheapest_of_all_that_make_everything():
    holds = (
        hold("dear", "", "ab", cost=50),
        hold("cheap", "", "ab"),
        hold("second", "a", "c"),
        hold("all", "z", "abc"),
    )
    found = least_sequence(holds, features("abc"))
    assert [h.name for h in found.holds] == ["cheap", "second"]
    assert found.made == (frozenset("ab"), frozenset("c"))
    assert not found.missing


def test_nothing_is_held_by_what_is_not_cut_yet():
    """A plan that would bolt the part down through holes drilled only in that very set-up is refused, with the reason."""
    holds = (hold("plate through the holes", "h", "hs"), hold("vice", "", "f"))
    found = least_sequence(holds, features("hsf"))
    assert [h.name for h in found.holds] == ["vice"]
    assert found.missing == frozenset("hs")
    assert found.reasons[0] == "h: 'plate through the holes' holds by h, which does not exist by then"


def test_a_hold_may_be_barred_by_what_was_cut():
    holds = (hold("vice", "", "a", forbids="s"), hold("plate", "a", "s"))
    assert [h.name for h in least_sequence(holds, features("as")).holds] == ["vice", "plate"]
    found = least_sequence((hold("vice", "s", "a", forbids="s"), hold("x", "", "s")), features("as"))
    assert found.missing == {"a"}
    assert "'vice' grips s" in found.reasons[0]


def test_what_bars_another_hold_is_left_for_later_where_that_helps():
    """Cutting the outside in the first vice would end every vice: it is spared until the second vice has been used."""
    holds = (hold("vice 1", "", "as", forbids="s"), hold("vice 2", "", "b", forbids="s"), hold("plate", "ab", "s"))
    found = least_sequence(holds, features("abs"))
    assert not found.missing
    assert [h.name for h in found.holds][:2] == ["vice 2", "vice 1"] or found.made[0] == frozenset("a")


def test_what_must_be_let_go_before_is_cut_in_the_same_hold_taken_anew():
    """A face finished only after roughing and a release: the same vice again costs less than another set-up."""
    holds = (hold("vice", "", "rf", forbids="r"), hold("plate", "r", "f"))
    found = least_sequence(holds, features("rf", earlier={"f": "r"}))
    assert [h.name for h in found.holds] == ["vice", "vice"]
    assert found.again == (False, True)
    assert RELEASE_MIN < 20.0


def test_what_waits_for_what_no_hold_shows_says_so():
    """A face finished only after all is roughed, and one side that nothing shows: that side is the cause."""
    holds = (hold("vice", "", "rf", forbids="r"), hold("other", "", "q"))
    found = least_sequence(holds, features("rfx", earlier={"f": "rx"}))
    reasons = dict(reason.split(": ", 1) for reason in found.reasons)
    assert reasons["f"] == "it waits for x, which no hold of this shop shows"
    assert reasons["x"].startswith("no hold of this shop turns it to the spindle")


def test_foregoers_may_come_along_in_the_same_set_up():
    found = least_sequence((hold("vice", "", "gf"),), features("gf", first={"g": "f"}))
    assert len(found.holds) == 1
    assert least_sequence((hold("vice", "", "g"),), features("gf", first={"g": "f"})).missing == frozenset("gf")


def test_what_only_a_hold_needs_is_cut_only_where_that_hold_is_used():
    plate = hold("plate", "t", "s")
    assert least_sequence((hold("vice", "", "at"), plate), features("ats", optional="t")).made[0] == frozenset("at")
    assert least_sequence((hold("vice", "", "at"), plate), features("at", optional="t")).made == (frozenset("a"),)


@pytest.mark.parametrize("count", [0, 1])
def test_nothing_wanted_needs_nothing(count: int):
    assert not least_sequence((hold("v", "", "a"),) * count, ()).holds
