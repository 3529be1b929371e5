"""Rules on the part where it sits and on how it goes together: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest
from check_cases import SHEET, described_case, with_values

from tractwright.check.assembly import assembly_of, bodies_after, bodies_before
from tractwright.check.bodies import GROUP, Body
from tractwright.check.screw_distances import envelope
from tractwright.design.pattern import DistanceGrid, KeepOutBox
from tractwright.geometry.frames import vec3


def _with_box(case, low, high):
    box = KeepOutBox(name="pump", low_mm=vec3(low), high_mm=vec3(high))
    return replace(case, room=replace(case.room, boxes=(*case.room.boxes, box)))


def _screw(case, name):
    return next(screw for screw in case.design.screws if screw.name == name)


def _flange_end(case, name):
    """The greatest x of a flange's contour, job frame."""
    flange = next(flange for flange in case.design.flanges if flange.name == name)
    body = next(body for body in case.bodies if body.subject == f"flange.{flange.name}")
    return float(body.groups[..., 0].max())


@pytest.mark.parametrize(("gap", "expected"), [(4.0, "ok"), (3.9, "look"), (0.1, "look"), (-0.1, "stop")])
def test_fit_plates_at_the_end_of_the_head_flange(sound, verdict, gap, expected):
    """A box beside the head flange's end, which no runner and no plenum comes near."""
    end = _flange_end(sound, "head")
    case = _with_box(sound, (end + gap, -200.0, 0.0), (end + 100.0, 200.0, 11.0))
    assert verdict(case, "fit.plates", "flange.head") == expected


def test_fit_plates_holds_at_its_limit(sound, verdict):
    end = _flange_end(sound, "cover")
    case = _with_box(sound, (end + 4.0, -200.0, 346.0), (end + 100.0, 200.0, 353.0))
    assert verdict(case, "fit.plates", "flange.cover") == "ok"


def test_fit_plates_breaks_just_over(sound, judged):
    """A screw's head stands over its flange: a box just over the cover touches the heads."""
    top = _screw(sound, "cover.s1")
    height = top.seat_mm[2] + envelope(top).head_height_mm
    case = _with_box(sound, (-300.0, -300.0, height - 0.2), (300.0, 300.0, height + 50.0))
    finding = judged(case, "fit.plates")["flange.cover"]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(-0.2, abs=1e-6)
    assert "pump" in finding.message


def test_a_further_scan_is_in_the_way_and_the_old_parts_space_is_not(sound, verdict):
    """The same grid once as what a scan of the bay shows, once as the space that the old part took."""
    end = _flange_end(sound, "head")
    x = np.arange(0.0, 60.0, 2.0)
    values = np.broadcast_to((end - 2.0) - (end - 30.0 + x[:, None, None]), (30, 40, 20)).astype(np.float32)
    grid = DistanceGrid(name="bay", low_mm=(end - 30.0, -40.0, -10.0), step_mm=2.0, values=values, free_beyond=True)
    beside = replace(sound, room=replace(sound.room, grids=(grid,)))
    assert verdict(beside, "fit.plates", "flange.head") == "stop"
    old = replace(sound, room=replace(sound.room, grids=(replace(grid, free_beyond=False),)))
    assert verdict(old, "fit.plates", "flange.head") == "ok"


def _over_a_head_screw(case, free_mm):
    """A box that leaves so much over the head of head.s8."""
    screw = _screw(case, "head.s8")
    space = envelope(screw)
    x, y, z = screw.seat_mm
    low = z + space.head_height_mm + free_mm + space.key_radius_mm + 0.5
    return _with_box(case, (x - 20.0, y - 20.0, low), (x + 20.0, y + 20.0, low + 60.0))


def test_join_key_in_place_holds_at_its_limit(sound, judged):
    needed = envelope(_screw(sound, "head.s8")).bent_mm
    found = judged(_over_a_head_screw(sound, needed + 2.1), "join.key_in_place")
    assert [finding.verdict for finding in found.values()] == ["ok"]


def test_join_key_in_place_breaks_just_over(sound, judged):
    """A hair too little; the screw is named, and what stands over it."""
    needed = envelope(_screw(sound, "head.s8")).bent_mm
    finding = judged(_over_a_head_screw(sound, needed - 2.1), "join.key_in_place")["screw.head.s8"]
    assert finding.verdict == "stop"
    assert "pump" in finding.message


def test_what_stands_before_the_cover_is_no_matter_while_the_plenum_goes_on_at_the_bench(sound, judged):
    """No head screw lies under the plenum: cover and rim are screwed on before the part goes on the engine."""
    x, y, z = _screw(sound, "cover.s1").seat_mm
    case = _with_box(sound, (x - 20.0, y - 20.0, z + 12.0), (x + 20.0, y + 20.0, z + 80.0))
    assert {finding.verdict for finding in judged(case, "join.key_in_place").values()} == {"ok"}


def test_a_way_kept_free_for_a_key_is_not_in_the_keys_way(judged, tmp_path):
    """A corridor over a head screw, as the sheet asks for one: the part keeps off it, the key goes along it."""
    way = '[[room.corridor]]\nname = "key"\nstart = [123, 34, 32]\nend = [123, 34, 200]\ndiameter = 14\n'
    case = described_case(tmp_path, f"{SHEET}\n{way}")
    assert {finding.verdict for finding in judged(case, "join.key_in_place").values()} == {"ok"}
    hose = described_case(tmp_path, f"{SHEET}\n{way.replace('corridor', 'hose')}")
    assert judged(hose, "join.key_in_place")["screw.head.s8"].verdict == "stop"


def _slab(case, joint, over, comes_with):
    """A made-up body over the first screw of a joint, so much over its seat, that comes with the piece of that place."""
    screw = next(screw for screw in case.design.screws if screw.joint == joint)
    place = np.array(screw.seat_mm) - over * np.array(screw.direction)
    groups = np.broadcast_to(place, (1, GROUP, 3)).copy()
    body = Body(
        subject="runner.r9",
        joint="",
        comes_with=comes_with,
        groups=groups,
        middle=groups.mean(axis=1),
        reach=np.zeros(1),
    )
    return replace(case, bodies=(*case.bodies, body))


def _place(case, name):
    return [joint.name for joint in case.design.joints].index(name)


def test_join_order_holds_at_its_limit(sound, judged):
    found = assembly_of(sound.bodies, sound.design)
    assert found.listed
    assert found.possible
    assert judged(sound, "join.order")["job.order"].verdict == "ok"


def test_join_order_breaks_just_over(sound, judged):
    """A runner that stands before the neck's screws: the neck goes on the plenum first, then both on the runners."""
    case = _slab(sound, "neck", 20.0, _place(sound, "head"))
    finding = judged(case, "join.order")["job.order"]
    assert finding.verdict == "look"
    order = assembly_of(case.bodies, case.design).order
    assert order.index("neck") < order.index("runner")
    assert ", ".join(name for name in order if name != "body") in finding.message
    assert "stop" not in {found.verdict for found in judged(case, "join.key_room").values()}


def test_where_no_order_will_do_the_screw_is_named(sound, judged):
    """The plenum itself stands before its neck's screws: whatever goes on first, no key gets in."""
    case = _slab(sound, "neck", 20.0, _place(sound, "runner"))
    assert not assembly_of(case.bodies, case.design).possible
    assert judged(case, "join.order")["job.order"].verdict == "ok"
    assert judged(case, "join.key_room")["runner.r9+screw.neck.s1"].verdict == "stop"


def test_each_body_is_there_before_or_comes_after(sound):
    for joint in sound.design.joints:
        before, after = (
            bodies_before(sound.bodies, sound.design, joint),
            bodies_after(sound.bodies, sound.design, joint),
        )
        own = [body for body in sound.bodies if body.joint == joint.name and body not in after]
        assert len(before) + len(after) + len(own) == len(sound.bodies)


def test_lifting_off_counts_rims(sound, verdict):
    """A bar in front of the mouth flange's rim, beside runners and plenum's box and clear of both by more than 4 mm."""
    rim = max((b for b in sound.bodies if b.subject == "flange.mouth"), key=lambda b: b.groups[..., 1].max())
    y = float(rim.groups[..., 1].max())
    high = float(next(p for p in sound.design.plena).height_mm / 2 + next(p for p in sound.design.plena).wall_mm)
    assert y > high + 5.0
    case = _with_box(sound, (-300.0, high + 4.6, 265.0), (300.0, high + 200.0, 285.0))
    assert verdict(case, "fit.lift_off", "bank.a") == "stop"
    assert verdict(with_values(sound, {}), "fit.lift_off", "bank.a") == "ok"
