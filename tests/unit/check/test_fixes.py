"""Putting right ends, never goes round in a circle, and changes the tool's own numbers only."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import inf

import pytest
from check_cases import with_value
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tractwright.check import stage
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.stage import Change, is_users, number_at, put_right
from tractwright.design.file import Held
from tractwright.route.giving_way import Answer
from tractwright.route.records import JobFacts

PATHS = (
    "plenum.plenum.depth_mm",
    "plenum.plenum.corner_radius_mm",
    "seal.cover.groove_depth_mm",
    "screw.head.s1.length_mm",
    "screw.head.s2.standoff_mm",
    "runner.r1.wall_mm",
)


@dataclass(frozen=True, kw_only=True)
class Demand:
    """A made-up rule: a number at least or at most a limit. The fix overshoots, falls short or stands right on it."""

    path: str
    limit: float
    at_least: bool
    off: float


def _rule(number: int, demand: Demand) -> Rule:
    def judge(case) -> Iterator[Reading]:
        yield Reading(
            subject=demand.path,
            measured=float(number_at(case.design, demand.path)),
            unit="mm",
            message="Made up.",
            at_least=demand.limit if demand.at_least else None,
            at_most=None if demand.at_least else demand.limit,
            fix=Fix(path=demand.path, value=demand.limit + demand.off, what="made up"),
        )

    return Rule(
        id=f"join.made_up_{number}", question="?", limit="", cure="", bites_at="join", needs="description",
        source="common_practice", judge=judge,
    )  # fmt: skip


class Manifold:
    """Stands in for everything derived anew: some numbers follow others, some do not heed their wish."""

    def __init__(self, sound, follows: Mapping[str, str], deaf: frozenset[str]):
        self.sound, self.follows, self.deaf, self.asked = sound, follows, deaf, 0

    def answered(self, facts: JobFacts) -> Answer:
        return Answer(described=self.describe(facts.held), facts=facts)

    def answered_again(self, before: Answer, wishes: Mapping[str, float | str]) -> Answer:
        return self.answered(before.facts.with_held(before.facts.held.with_wishes(wishes)))

    def describe(self, held: Held):
        self.asked += 1
        design = self.sound.design
        for path in PATHS:
            start = float(number_at(self.sound.design, path))
            leader = self.follows.get(path)
            led = 0.1 * float(held.get(leader, 0.0)) if leader else 0.0
            value = start + led if path in self.deaf else float(held.get(path, start + led))
            design = with_value(design, path, ((0.0, value), (1.0, value)) if "wall" in path else value)
        return replace(self.sound.described, design=design)


def _put_right(patch: pytest.MonkeyPatch, sound, manifold: Manifold, demands: list[Demand], held: Held):
    rules = tuple(_rule(number, demand) for number, demand in enumerate(demands))
    patch.setattr(stage, "answered", manifold.answered)
    patch.setattr(stage, "answered_again", manifold.answered_again)
    patch.setattr(stage, "description_case", lambda *given: replace(sound, described=given[-1]))
    patch.setattr(stage, "all_rules", lambda: rules)
    facts = JobFacts(sheet=sound.sheet, pattern=sound.pattern, room=sound.room, wanted=sound.wanted, held=held)
    return put_right(facts)


def _broken(design, demands: list[Demand]) -> int:
    values = [(float(number_at(design, demand.path)), demand) for demand in demands]
    return sum(value < d.limit - 1e-5 if d.at_least else value > d.limit + 1e-5 for value, d in values)


demands_of = st.builds(
    Demand,
    path=st.sampled_from(PATHS),
    limit=st.floats(1.0, 60.0).map(lambda v: round(v, 2)),
    at_least=st.booleans(),
    off=st.sampled_from([0.0, 0.0, 0.5, -0.5]),
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    demands=st.lists(demands_of, max_size=8),
    follows=st.dictionaries(st.sampled_from(PATHS), st.sampled_from(PATHS), max_size=3),
    deaf=st.frozensets(st.sampled_from(PATHS), max_size=2),
    held=st.dictionaries(st.sampled_from(PATHS), st.floats(1.0, 60.0), max_size=2),
)
def test_putting_right_ends_moves_one_way_and_leaves_the_users_numbers(sound, demands, follows, deaf, held):
    with pytest.MonkeyPatch.context() as patch:
        manifold = Manifold(sound, follows, deaf)
        before = manifold.describe(Held(values=held)).design
        found = _put_right(patch, sound, manifold, demands, Held(values=held))
    assert manifold.asked <= 14
    assert not {change.path for change in found.changes} & set(held)
    assert _broken(found.described.design, demands) <= _broken(before, demands)
    for path in PATHS:
        mine = [change for change in found.changes if change.path == path]
        steps = [float(change.after) - float(change.before) for change in mine]
        assert all(step > 0 for step in steps) or all(step < 0 for step in steps)
        if mine:
            assert float(number_at(found.described.design, path)) == pytest.approx(float(mine[-1].after))


def test_a_number_wanted_both_ways_is_changed_once(sound, monkeypatch):
    """At least 30 and at most 20: the first rule has its way, the second stays broken, and nothing goes to and fro."""
    demands = [
        Demand(path=PATHS[0], limit=1000.0, at_least=True, off=0.0),
        Demand(path=PATHS[0], limit=20.0, at_least=False, off=0.0),
    ]
    manifold = Manifold(sound, {}, frozenset())
    found = _put_right(monkeypatch, sound, manifold, demands, Held())
    assert manifold.asked <= 3
    assert len(found.changes) <= 1


def test_a_cure_that_makes_more_stops_is_not_kept(sound, monkeypatch):
    """Deepening the plenum would lengthen two other numbers past their limits: the manifold as it was is the best."""
    start = float(number_at(sound.design, PATHS[0]))
    demands = [
        Demand(path=PATHS[0], limit=start + 500.0, at_least=True, off=0.0),
        Demand(path=PATHS[3], limit=40.0, at_least=False, off=-inf),
        Demand(path=PATHS[4], limit=10.0, at_least=False, off=-inf),
    ]
    manifold = Manifold(sound, {PATHS[3]: PATHS[0], PATHS[4]: PATHS[0]}, frozenset({PATHS[3], PATHS[4]}))
    found = _put_right(monkeypatch, sound, manifold, demands, Held())
    assert found.changes == ()
    assert float(number_at(found.described.design, PATHS[0])) == pytest.approx(start)


def test_a_number_that_does_not_heed_is_no_change(sound, monkeypatch):
    manifold = Manifold(sound, {}, frozenset({PATHS[0]}))
    demands = [Demand(path=PATHS[0], limit=1000.0, at_least=True, off=0.0)]
    assert _put_right(monkeypatch, sound, manifold, demands, Held()).changes == ()
    assert manifold.asked == 2


def test_what_the_sheet_says_is_the_users(sound):
    """This sheet says the runners' length and the lip; it is silent on the wall."""
    assert is_users(sound.sheet, sound.design, Held(), "runner.r1.length_mm")
    assert is_users(sound.sheet, sound.design, Held(), "runner.r2.mouth.lip_radius_mm")
    assert not is_users(sound.sheet, sound.design, Held(), "runner.r1.wall_mm")
    assert is_users(sound.sheet, sound.design, Held(values={"runner.r1.wall_mm": 3.0}), "runner.r1.wall_mm")


def test_held_numbers_get_a_proposal(sound, judged, having):
    """A finding keeps its fix whoever owns the number: that is the proposal."""
    broken = having(sound, {"plenum.plenum.wall_mm": 2.0})
    fix = judged(broken, "wall.least")["plenum.plenum"].fix
    assert fix is not None
    assert fix.value == 2.5


def test_changes_say_what_from_and_to(sound, monkeypatch):
    demands = [Demand(path=PATHS[2], limit=3.0, at_least=True, off=0.0)]
    found = _put_right(monkeypatch, sound, Manifold(sound, {}, frozenset()), demands, Held())
    start = float(number_at(sound.design, PATHS[2]))
    expected = Change(rule="join.made_up_0", what="made up", path=PATHS[2], before=start, after=3.0)
    assert found.changes == (expected,)


def test_what_a_boss_s_table_says_is_the_user_s(bossed):
    """A fitting's height and top are its table's where they stand there; the tool's own in one that is silent."""
    path = "boss.fitting.r2"
    said = tuple(
        facts.model_copy(update={"top_mm": 15.0}) if facts.name == "fitting" else facts for facts in bossed.sheet.boss
    )
    told = bossed.sheet.model_copy(update={"boss": said})
    assert is_users(told, bossed.design, Held(), f"{path}.top_mm")
    assert not is_users(told, bossed.design, Held(), f"{path}.height_mm")
    assert not is_users(told, bossed.design, Held(), "boss.lid.plenum.top_mm")
    assert is_users(told, bossed.design, Held(), "boss.seat.r1.hole_mm")
