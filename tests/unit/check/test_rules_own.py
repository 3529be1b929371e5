"""Rules about pieces that the user has drawn: each holds at its limit and breaks just over it."""

from dataclasses import replace
from typing import Any

import pytest

from tractwright.check.case import Case
from tractwright.design.records import Bank
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.own_tables import OwnPiece
from tractwright.own.head_records import OwnHead, OwnHole, OwnRunner

BOX = ((100.0, -30.0, 0.0), (100.0, 30.0, 0.0), (-100.0, 30.0, 0.0), (-100.0, -30.0, 0.0))


def _runner(case: Case, k: int, **given: Any) -> OwnRunner:
    runner = case.design.runners[k]
    plain: dict[str, Any] = {
        "ports": runner.ports, "mouth_mm": runner.mouth.at_mm, "outline": circle(runner.mouth.bore_mm),
        "turn_deg": 0.0, "bore_mm": runner.mouth.bore_mm, "leaves": (0.0, 0.0, 1.0), "lean_deg": 0.0,
        "poles_mm": runner.poles_mm, "port_lead_mm": 30.0, "end_lead_mm": 30.0, "off_mm": 0.0, "roots_mm": (5.0, 5.0),
        "length_mm": 180.0, "area_mm2": ((0.0, 1000.0), (180.0, 1000.0)), "wall_mm": ((0.0, 4.0), (180.0, 4.0)),
    }  # fmt: skip
    return OwnRunner(**(plain | given))


def _hole(at: tuple[float, float], **given: Any) -> OwnHole:
    plain: dict[str, Any] = {
        "at_mm": at, "use": "clearance", "bore_mm": 9.0, "depth_mm": 12.0, "through": True, "seat_mm": 12.0,
        "seat_radius_mm": 9.0, "counterbore_mm": 0.0, "thread": "M8",
    }  # fmt: skip
    return OwnHole(**(plain | given))


def _drawn(case: Case, of_runners: dict[str, Any] | None = None, **given: Any) -> Case:
    """The sound case as if its head piece had been drawn, with a hole over each hole of the head."""
    plain: dict[str, Any] = {
        "file": "head.step", "sha256": "", "solid": 1, "frame": Frame(), "bank": Bank(name="a", frame=Frame()),
        "ports": case.design.ports, "head_outline": BOX, "head_mm": 12.0,
        "head_holes": tuple(_hole(hole.at_mm) for hole in case.pattern.head_holes),
        "mouth_frame": Frame(), "mouth_outline": BOX, "mouth_mm": 12.0, "mouth_holes": (), "grooves": (),
        "runners": tuple(_runner(case, k, **(of_runners or {})) for k in range(len(case.design.runners))),
        "placed_by": "by its ports", "left_mm": 0.0,
    }  # fmt: skip
    return replace(case, described=replace(case.described, own=OwnHead(**(plain | given))))


def test_pattern_own_says_holds_at_its_limit(sound, verdict, saying):
    case = _drawn(saying(sound, "head", flange_mm=12.1))
    assert verdict(case, "pattern.own_says", "piece.head.head_flange") == "ok"


def test_pattern_own_says_breaks_just_over(sound, verdict, saying):
    case = _drawn(saying(sound, "head", flange_mm=12.101))
    assert verdict(case, "pattern.own_says", "piece.head.head_flange") == "look"


@pytest.mark.parametrize(("key", "value"), [("length_mm", 300.0), ("bore_mm", 60.0), ("wall_mm", 4.2)])
def test_pattern_own_says_knows_every_size_of_the_runners(sound, judged, saying, key: str, value: float):
    found = judged(_drawn(saying(sound, "runner", **{key: value})), "pattern.own_says")
    (finding,) = [item for item in found.values() if key.removesuffix("_mm") in item.subject]
    assert finding.verdict == "look"


def test_pattern_own_told_holds_at_its_limit(sound, judged):
    tapped = _hole((80.0, 0.0), use="tapped", thread="M6")
    assert not judged(_drawn(sound, mouth_holes=(tapped,)), "pattern.own_told")


def test_pattern_own_told_breaks_just_over(sound, verdict):
    """A hole that no thread fits, one that nobody can tell the use of, and what reading left open."""
    holes = (_hole((80.0, 0.0), use="tapped", thread=""), _hole((60.0, 0.0), use="plain", thread=""))
    case = _drawn(sound, mouth_holes=holes, unknown=(("flange.mouth", "no plane face lies over it"),))
    for subject in ("piece.head.hole_1", "piece.head.hole_2", "flange.mouth"):
        assert verdict(case, "pattern.own_told", subject) == "unknown"


@pytest.mark.parametrize(("said", "expected"), [({}, {"unknown"}), ({"head_depth": "24 mm"}, set())])
def test_a_thread_that_only_the_piece_could_tell_is_unknown_until_it_is_said(sound, judged, said, expected):
    piece = OwnPiece.model_validate({"own": "head.step", **said})
    sheet = sound.sheet.model_copy(update={"pattern": None, "piece": (piece,)})
    found = judged(_drawn(replace(sound, sheet=sheet)), "pattern.own_told")
    assert {finding.verdict for finding in found.values()} == expected


def test_join_own_holes_holds_at_its_limit(sound, judged):
    found = judged(_drawn(sound), "join.own_holes")
    assert len(found) == len(sound.pattern.head_holes) + 1
    assert {finding.verdict for finding in found.values()} == {"ok"}


def test_join_own_holes_breaks_just_over(sound, verdict):
    """A hole of the cylinder head that the piece has no hole over, and one it does not go through at."""
    first, second, *rest = (_hole(hole.at_mm) for hole in sound.pattern.head_holes)
    case = _drawn(sound, head_holes=(replace(second, through=False), *rest))
    for hole in sound.pattern.head_holes[:2]:
        assert verdict(case, "join.own_holes", f"head_hole.{hole.name}") == "stop"
    assert first.through


def test_air_mouth_straight_holds_at_its_limit(sound, verdict):
    assert verdict(_drawn(sound, {"lean_deg": 20.0}), "air.mouth_straight", "runner.r1") == "ok"


def test_air_mouth_straight_breaks_just_over(sound, verdict):
    assert verdict(_drawn(sound, {"lean_deg": 20.001}), "air.mouth_straight", "runner.r1") == "look"


def test_nothing_is_asked_of_pieces_that_are_drawn_here(sound, judged):
    for rule in ("pattern.own_says", "pattern.own_told", "join.own_holes", "air.mouth_straight"):
        assert not judged(sound, rule)


def test_a_passage_in_a_block_has_no_root_to_ask_after(sound, judged):
    assert not judged(_drawn(sound, {"roots_mm": (None, None)}), "cut.root")


def test_a_lead_that_is_traced_may_be_short_by_what_tracing_tells(sound, having, verdict):
    """Plates 12 mm thick: 9 mm of straight are enough of a traced passage, and less is a look."""
    thick = next(flange.thickness_mm for flange in sound.design.flanges if flange.name == "head")
    for short, expected in ((3.0, "ok"), (3.01, "look")):
        case = _drawn(having(sound, {"runner.r1.port_lead_mm": thick - short}))
        assert verdict(case, "air.leads", "runner.r1") == expected
