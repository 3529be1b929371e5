"""What cannot be met together is named by the sheet's keys, and the nearest job is offered; small rooms, made up."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from check_cases import SHEET, described_case

from tractwright.design.file import Held
from tractwright.design.pattern import KeepOutBox, KeepOutPlane, Pattern
from tractwright.design.records import Bank, HeadHole, Port
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.sheet import JobSheet, RoomFacts
from tractwright.route import contradiction
from tractwright.route.course.records import CourseSolution, RunnerCourse
from tractwright.route.course.solve import WHOLE, Effort
from tractwright.route.demands import dropped, eased, lengths, room_and_pose, sizes
from tractwright.route.giving_way import answered
from tractwright.route.head_ground import on_the_head
from tractwright.route.layout.chamber import first_chamber
from tractwright.route.nearest import farther
from tractwright.route.records import Courses, JobFacts
from tractwright.scan.space import room_without_scan

SLOT_MM = 40.0


@pytest.fixture(scope="module", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def two() -> Pattern:
    """Two round ports 90 mm apart, screws far from them."""
    row, outline = (-45.0, 45.0), circle(36.0)
    return Pattern(
        banks=(Bank(name="a", frame=Frame()),),
        ports=tuple(
            Port(name=f"p{k}", bank="a", cylinders=(k,), at_mm=(x, 0.0), outline=outline, turn_deg=0.0, axis=(0, 0, 1))
            for k, x in enumerate(row, start=1)
        ),
        head_holes=tuple(
            HeadHole(name=f"h{k}", bank="a", at_mm=(x, 0.0), thread="M8", depth_mm=22.0, stud=False)
            for k, x in enumerate((-90.0, 0.0, 90.0), start=1)
        ),
    )


def facts(two, wanted, runner: dict[str, float], **offsets: tuple[tuple[float, float, float], float]) -> JobFacts:
    planes = [{"name": name, "normal": normal, "offset": offset} for name, (normal, offset) in offsets.items()]
    sheet = JobSheet.model_validate({"job": {"name": "made up"}, "runner": runner, "room": {"plane": planes}})
    aim = replace(wanted(volume_l=1.2, throttle_mm=46.0, lip_mm=6.0), length_mm=sheet.runner.length_mm or 260.0)
    return JobFacts(sheet=sheet, pattern=two, room=room_without_scan(sheet.room), wanted=aim, held=Held())


UP, DOWN, BACK = (0.0, -1.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)


def test_a_slot_too_thin_for_the_plenum_names_its_two_sides(two, wanted):
    """40 mm either side of the ports, 150 mm out: no plenum of a 42 mm mouth with its rim stands in 80 x 150 mm."""
    job = facts(two, wanted, {"length": 260.0}, bonnet=(UP, -SLOT_MM), floor=(DOWN, -SLOT_MM), radiator=(BACK, -220.0))
    found = answered(job).described
    assert not found.feasible
    assert len(found.contradictions) == 1
    told = found.contradictions[0]
    assert set(told.demands) == {"room.plane.bonnet", "room.plane.floor"}
    assert "mm farther off" in told.best_found
    freed = answered(dropped(job, told.demands[0])).described
    assert freed.feasible
    assert not freed.contradictions


SHELVED = """
[[room.plane]]
name = "bonnet"
normal = [0, -1, 0]
offset = -90
[[room.plane]]
name = "shelf"
normal = [0, 1, 0]
offset = -20
[[room.box]]
name = "bracket"
low = [100, 20, 5]
high = [140, 60, 30]
"""


def test_a_thing_where_the_head_s_pattern_puts_metal_contradicts_it(tmp_path):
    """A shelf above the lower screws of the head, a bracket on one of the upper: no course helps, and such jobs ended as stops
    that named no demand.
    """
    case = described_case(tmp_path, SHEET + SHELVED)
    job = JobFacts(sheet=case.sheet, pattern=case.pattern, room=case.room, wanted=case.wanted, held=Held())
    told = on_the_head(case.design, job)
    assert {item.demands for item in told} == {("room.plane.shelf",), ("room.box.bracket",)}
    assert all("Nearest: " in item.best_found for item in told)
    freed = dropped(dropped(job, "room.plane.shelf"), "room.box.bracket")
    assert on_the_head(case.design, freed) == ()


@dataclass(frozen=True)
class Oracle:
    """Stands in for the search: says of a job's facts whether courses exist, and up to what length."""

    solves: Callable[[JobFacts], bool]
    longest_mm: float = 1e6

    def courses(self, job: JobFacts, near: tuple[float, ...], effort: Effort) -> Courses:
        reached = min(job.wanted.length_mm, self.longest_mm) if self.solves(job) else 0.0
        course = RunnerCourse(
            name="r1", poles_mm=(), mouth_at_mm=(0.0, 0.0), length_mm=reached, turn_rad=0.0, least_bend_radius_mm=0.0,
            room_clearance_mm=0.0, neighbour_gap_mm=0.0,
        )  # fmt: skip
        solution = CourseSolution(
            courses=(course,), frames={"plenum": Frame()}, pitches_mm={"plenum": 60.0},
            feasible=reached == job.wanted.length_mm, sound=reached > 0.0, shortfalls=(), binding=(),
            starts_tried=1, evaluations=1,
        )  # fmt: skip
        chamber = first_chamber("plenum", 1, job.sheet, job.wanted, job.held)
        return Courses(facts=job, chamber=chamber, solution=solution)


def refused(patch: pytest.MonkeyPatch, job: JobFacts, oracle: Oracle):
    patch.setattr(contradiction, "coursed", oracle.courses)
    patch.setattr(contradiction, "finds_room", lambda facts: True)
    return contradiction.refusal(oracle.courses(job, (), WHOLE))


def off(job: JobFacts, name: str) -> float:
    """How far off a plane stands; without limit where it is gone."""
    return next((-plane.offset_mm for plane in job.room.planes if plane.name == name), 1e6)


def test_each_demand_that_alone_frees_the_job_is_named_with_the_least_move(two, wanted, monkeypatch):
    """Bonnet or floor 30 mm farther off will do; the radiator does not matter."""
    job = facts(two, wanted, {"length": 260.0}, bonnet=(UP, -50.0), floor=(DOWN, -60.0), radiator=(BACK, -200.0))
    found = refused(monkeypatch, job, Oracle(lambda facts: off(facts, "bonnet") + off(facts, "floor") >= 140.0))
    assert len(found.contradictions) == 1
    assert set(found.contradictions[0].demands) == {"room.plane.bonnet", "room.plane.floor"}
    moved = off(found.nearest.facts, "bonnet") + off(found.nearest.facts, "floor") - 110.0
    assert 30.0 <= moved <= 30.0 * 1.14
    assert f"{moved:.0f} mm farther off" in found.contradictions[0].best_found


def test_two_reasons_are_two_contradictions(two, wanted, monkeypatch):
    """A thin slot and a near radiator: no one plane frees the job, so each reason is told by itself."""
    job = facts(two, wanted, {"length": 260.0}, bonnet=(UP, -50.0), floor=(DOWN, -60.0), radiator=(BACK, -200.0))
    oracle = Oracle(lambda facts: off(facts, "bonnet") + off(facts, "floor") >= 140.0 and off(facts, "radiator") > 210)
    found = refused(monkeypatch, job, oracle)
    named = {frozenset(item.demands) for item in found.contradictions}
    assert named == {frozenset({"room.plane.bonnet", "room.plane.floor"}), frozenset({"room.plane.radiator"})}
    assert oracle.solves(found.nearest.facts)


def test_a_length_out_of_reach_is_offered_shorter(two, wanted, monkeypatch):
    job = facts(two, wanted, {"length": 400.0}, bonnet=(UP, -90.0))
    found = refused(monkeypatch, job, Oracle(lambda facts: True, longest_mm=310.0))
    told = found.contradictions[0]
    assert told.demands == ("runner.length",)
    assert "runners 310 mm long instead of 400 mm" in told.best_found


def test_courses_found_on_a_detour_are_no_contradiction(two, wanted, monkeypatch):
    """The search fails from scratch, but from where a plane has moved a hair it leads back to the whole job."""
    job = facts(two, wanted, {"length": 260.0}, bonnet=(UP, -90.0))
    oracle = Oracle(lambda facts: True)
    monkeypatch.setattr(contradiction, "_FARTHEST_MM", 8.0)
    failed = Oracle(lambda facts: False).courses(job, (), WHOLE)
    monkeypatch.setattr(contradiction, "coursed", oracle.courses)
    monkeypatch.setattr(contradiction, "finds_room", lambda facts: True)
    found = contradiction.refusal(failed)
    assert found.contradictions == ()
    assert found.nearest.fit


def test_what_nothing_frees_names_no_demand(two, wanted, monkeypatch):
    found = refused(monkeypatch, facts(two, wanted, {"length": 260.0}), Oracle(lambda facts: False))
    assert found.contradictions[0].demands == ()


def test_only_what_the_user_holds_can_be_dropped(two, wanted):
    job = facts(two, wanted, {"length": 260.0, "wall": 5.0}, bonnet=(UP, -130.0))
    assert lengths(job) == ("runner.length",)
    assert room_and_pose(job) == ("room.plane.bonnet",)
    assert sizes(job) == ("runner.wall",)
    held = job.with_held(Held(values={"runner.r1.length_mm": 250.0, "plenum.plenum.depth_mm": 80.0}))
    assert lengths(held) == ("runner.length", "runner.r1.length_mm")
    assert sizes(held) == ("runner.wall", "plenum.plenum.depth_mm")
    assert dropped(held, "plenum.plenum.depth_mm").held.values == {"runner.r1.length_mm": 250.0}
    assert dropped(job, "runner.wall").sheet.runner.wall_mm == 4.0
    assert dropped(job, "room.plane.bonnet").sheet.room.plane == ()


def test_a_thing_of_the_room_moves_off_bit_by_bit(two, wanted):
    job = facts(two, wanted, {}, bonnet=((0.0, -2.0, 0.0), -260.0))
    plane = next(plane for plane in eased(job, "room.plane.bonnet", 25.0).room.planes if plane.name == "bonnet")
    assert plane == KeepOutPlane(name="bonnet", normal=(0.0, -2.0, 0.0), offset_mm=-310.0)


def test_a_hose_and_a_way_are_demands_given_up_whole(two, wanted, monkeypatch):
    """A hose right through the runners: nothing was found, and the hose was not among what was tried without."""
    job = facts(two, wanted, {"length": 260.0})
    table = {"start": [-200, 0, 70], "end": [200, 0, 70], "diameter": 20}
    sheet = job.sheet.model_copy(
        update={
            "room": RoomFacts.model_validate(
                {"hose": [{"name": "heater", **table}], "corridor": [{"name": "hand", **table}]}
            )
        }
    )
    job = replace(job, sheet=sheet, room=room_without_scan(sheet.room))
    assert room_and_pose(job) == ("room.hose.heater", "room.corridor.hand")
    assert [rod.name for rod in dropped(job, "room.hose.heater").room.rods] == ["hand"]
    found = refused(monkeypatch, job, Oracle(lambda facts: not any(rod.name == "heater" for rod in facts.room.rods)))
    (told,) = found.contradictions
    assert told.demands == ("room.hose.heater",)
    assert "heater out of the way altogether" in told.best_found


def test_a_box_shrunk_to_nothing_is_out_of_the_way(two, wanted):
    job = facts(two, wanted, {"length": 260.0})
    box = KeepOutBox(name="bracket", low_mm=(-10, -10, 50), high_mm=(10, 10, 90))
    job = replace(job, room=replace(job.room, boxes=(box,)))
    assert farther("room.box.bracket", job, 9.9) == "the box of bracket 10 mm smaller on every side"
    assert farther("room.box.bracket", job, 10.0) == "bracket out of the way altogether"


def test_of_demands_that_must_go_together_each_is_named(two, wanted, monkeypatch):
    """Two had to go; a search that knew the way without them found none for one alone, and "one of 2" stood by itself."""
    job = facts(two, wanted, {"length": 260.0}, bonnet=(UP, -50.0), floor=(DOWN, -60.0))
    asked: list[float] = []

    def solves(facts: JobFacts) -> bool:
        both = off(facts, "bonnet") >= 1e6 and off(facts, "floor") >= 1e6
        asked.append(1.0 if both else 0.0)
        return both and sum(asked) < 3

    found = refused(monkeypatch, job, Oracle(solves))
    assert len(found.contradictions) == 2
    assert {told.demands for told in found.contradictions} == {("room.plane.bonnet",), ("room.plane.floor",)}
