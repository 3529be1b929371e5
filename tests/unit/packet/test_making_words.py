"""What the page says of making: each thing once, what was tried, what asks for caution."""

from dataclasses import replace

from tractwright.make.records import MakingPlan, Operation, Setup, Sway
from tractwright.packet.contents import Contents
from tractwright.packet.paper.making import cautioned, making_notes, passages, setups


def setup(name: str, **given: object) -> Setup:
    plain = {
        "name": name, "piece": "head", "machine": "3-axis", "direction": (0, 0, 1), "holds_by": "vice", "needs": (),
        "makes": (), "reaches_fraction": 1.0, "tools": (), "minutes": (10.0, 20.0), "locates": "stop", "holding": "enough",
        "held_times": 9.0,
    }  # fmt: skip
    return Setup(**(plain | given))  # pyright: ignore[reportArgumentType]


def planned(whole: Contents, *done: Setup) -> Contents:
    plan = whole.case.plan
    assert plan is not None
    return replace(whole, case=replace(whole.case, plan=replace(plan, setups=done)))


def test_one_machine_is_told_once_and_two_by_set_up(whole: Contents):
    one = setups(planned(whole, setup("a"), setup("b")), ())
    assert not any(fact[0] == "machine" for item in one for fact in item["facts"])
    two = setups(planned(whole, setup("a"), setup("b", machine="large (3-axis)")), ())
    assert all(any(fact[0] == "machine" for fact in item["facts"]) for item in two)


def test_a_hold_taken_anew_is_not_told_twice(whole: Contents):
    again = setups(planned(whole, setup("a"), setup("a again", again=True)), ("setup_02",))[1]
    assert not any(fact[0] in ("held by", "located by") for fact in again["facts"])
    assert again["picture"] == ""


def test_a_cut_tells_how_far_its_cutter_bends_and_shakes(whole: Contents):
    sway = Sway(cutter="ball 12", out_mm=92.4, bends_mm=0.0121, shakes_mm=0.0187, tooth_hz=300, own_hz=900)
    cut = Operation(what="passages", tools=("ball 12",), minutes=(4.2, 4.4), how="", sway=sway)
    assert setups(planned(whole, setup("a", operations=(cut,))), ())[0]["cuts"][0][2:4] == ["4", "92 mm: 12, 19"]


def test_a_split_is_told_with_what_its_halves_leave(whole: Contents):
    plan = whole.case.plan
    assert plan is not None
    for left, words in (
        (None, "split at 90"),
        (0.0, "split at 90, both halves reached"),
        (12.4, "split at 90, 12 still left"),
    ):
        tried = tuple(replace(passage, left_if_split_mm=left) for passage in plan.passages)
        found = replace(whole, case=replace(whole.case, plan=replace(plan, passages=tried)))
        assert passages(found)[0][4] == words


def test_why_a_piece_stays_whole_stands_with_the_making(whole: Contents):
    described = replace(whole.case.described, notes=("Cutters come 90 mm, but no joint has room.",))
    assert described.notes[0] in making_notes(replace(whole, case=replace(whole.case, described=described)))


def test_cautions_are_asked_for_by_the_plan(whole: Contents):
    def of(*done: Setup) -> list[str]:
        plan: MakingPlan | None = planned(whole, *done).case.plan
        return list(cautioned(plan))

    assert of(setup("a")) == []
    assert of(setup("a", machine="tilting table")) == ["turned work"]
    assert of(setup("a", held_times=2.0)) == ["light hold"]
    long = Sway(cutter="c", out_mm=120.0, bends_mm=0.0, shakes_mm=0.0, tooth_hz=1, own_hz=1)
    cut = Operation(what="p", tools=("c",), minutes=(1, 1), how="", sway=long)
    assert of(setup("a", operations=(cut,))) == ["long cutter"]
    assert list(cautioned(None)) == []
