"""Rules on openings, speeds and steps that the air meets: each holds at its limit and breaks just over it."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from check_cases import SHEET, described_case

R1 = "runner.r1"


def _rpm(case, saying, speed_m_s):
    """The highest revs at which a 72 x 80 mm cylinder draws that speed through 36 mm (plain sums: 2 S N/60 x areas)."""
    ratio = (72.0 / 36.0) ** 2
    return saying(case, "engine", highest_rpm=speed_m_s / ratio * 60.0 / (2 * 0.080))


SOUND_25C = sqrt(1.4 * 287.05 * 298.15)


def test_air_speed_holds_at_its_limit(sound, judged, saying):
    finding = next(iter(judged(_rpm(sound, saying, 0.2999 * SOUND_25C), "air.speed").values()))
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.3, abs=3e-4)


def test_air_speed_breaks_just_over(sound, judged, saying):
    finding = next(iter(judged(_rpm(sound, saying, 0.301 * SOUND_25C), "air.speed").values()))
    assert finding.verdict == "look"


def test_runners_that_share_a_cylinder_share_its_air(sound, judged, saying):
    """Two ports a cylinder, a runner each: the rule sent the whole cylinder through each of them."""
    case = _rpm(sound, saying, 0.3 * SOUND_25C)
    ports = tuple(replace(port, cylinders=(1,)) for port in case.design.ports)
    shared = replace(case, described=replace(case.described, design=replace(case.design, ports=ports)))
    assert next(iter(judged(shared, "air.speed").values())).measured == pytest.approx(0.1, abs=3e-4)


def _throttled(case, saying, share):
    """Revs at which three cylinders of 72 x 80 mm draw that share of the speed of sound through 52 mm."""
    speed = share * SOUND_25C
    swept = 3 * pi / 4 * 0.072**2 * 0.080
    return saying(case, "engine", highest_rpm=speed * pi / 4 * 0.052**2 * 120.0 / swept)


def test_air_throttle_speed_holds_at_its_limit(sound, verdict, saying):
    assert verdict(_throttled(sound, saying, 0.2499), "air.throttle_speed", "throttle.plenum") == "ok"


def test_air_throttle_speed_breaks_just_over(sound, verdict, saying):
    assert verdict(_throttled(sound, saying, 0.2501), "air.throttle_speed", "throttle.plenum") == "look"


def test_speeds_ask_nothing_without_an_engine(sound, judged):
    case = replace(sound, sheet=sound.sheet.model_copy(update={"engine": None}))
    assert not judged(case, "air.speed")
    assert not judged(case, "air.throttle_speed")


@pytest.mark.parametrize("bore", [51.6, 52.4])
def test_air_neck_bore_holds_at_its_limit(sound, verdict, having, bore):
    assert verdict(having(sound, {"throttle.plenum.bore_mm": bore}), "air.neck_bore", "throttle.plenum") == "ok"


@pytest.mark.parametrize(("bore", "expected"), [(51.59, "stop"), (52.41, "look")])
def test_air_neck_bore_breaks_just_over(sound, judged, having, bore, expected):
    finding = judged(having(sound, {"throttle.plenum.bore_mm": bore}), "air.neck_bore")["throttle.plenum"]
    assert finding.verdict == expected
    assert finding.fix.value == 52.0


def test_air_opposite_wall_holds_at_its_limit(sound, verdict, having):
    assert verdict(having(sound, {"plenum.plenum.depth_mm": 38.0}), "air.opposite_wall", "plenum.plenum") == "ok"


@pytest.mark.parametrize(("depth", "expected"), [(37.9, "look"), (22.9, "look"), (22.7, "stop")])
def test_air_opposite_wall_breaks_just_over(sound, judged, having, depth, expected):
    finding = judged(having(sound, {"plenum.plenum.depth_mm": depth}), "air.opposite_wall")["plenum.plenum"]
    assert finding.verdict == expected
    assert finding.fix.value == 38.0


def test_air_lip_radius_holds_at_its_limit(sound, verdict, having):
    assert verdict(having(sound, {"runner.r1.mouth.lip_radius_mm": 3.8}), "air.lip_radius", R1) == "ok"


def test_air_lip_radius_breaks_just_over(sound, verdict, having):
    assert verdict(having(sound, {"runner.r1.mouth.lip_radius_mm": 3.79}), "air.lip_radius", R1) == "look"


FLOOR = "plenum.plenum+runner.r1"


def test_air_lip_floor_holds_at_its_limit(sound, verdict, having):
    floor = sound.design.plena[0].floor_mm
    assert verdict(having(sound, {"runner.r1.mouth.lip_radius_mm": floor - 1.0}), "air.lip_floor", FLOOR) == "ok"


def test_air_lip_floor_breaks_just_over(sound, judged, having):
    floor = sound.design.plena[0].floor_mm
    finding = judged(having(sound, {"runner.r1.mouth.lip_radius_mm": floor - 0.99}), "air.lip_floor")[FLOOR]
    assert finding.verdict == "stop"
    assert finding.fix.value == pytest.approx(floor + 0.01)


@pytest.fixture(scope="module")
def silent(tmp_path_factory):
    """The same manifold of a sheet that does not say how large its plenum is."""
    return described_case(tmp_path_factory.mktemp("silent"), SHEET.replace('volume = "1.6 l"', ""))


@pytest.mark.parametrize("share", [1.4999, 0.5001])
def test_air_volume_holds_at_its_limit(silent, verdict, having, share):
    case = having(silent, {"plenum.plenum.volume_l": 1.6 * share})
    assert verdict(case, "air.volume", "plenum.plenum") == "ok"


@pytest.mark.parametrize(("share", "word"), [(1.501, "more"), (0.499, "less")])
def test_air_volume_breaks_just_over(silent, judged, having, share, word):
    finding = judged(having(silent, {"plenum.plenum.volume_l": 1.6 * share}), "air.volume")["plenum.plenum"]
    assert finding.verdict == "look"
    assert word in finding.message


@pytest.mark.parametrize(("share", "expected"), [(1.0499, "ok"), (0.9501, "ok"), (1.0501, "look"), (0.9499, "look")])
def test_a_volume_that_the_sheet_says_is_had_or_told(sound, judged, having, share, expected):
    """A sheet said one volume, the plenum got two fifths more, and nothing was said of it."""
    finding = judged(having(sound, {"plenum.plenum.volume_l": 1.6 * share}), "air.volume")["plenum.plenum"]
    assert finding.verdict == expected
    assert expected == "ok" or "The sheet says 1.60 litre" in finding.message


def test_air_leads_holds_at_its_limit(sound, verdict, having):
    """Ports square to the face: straight through the head flange's own thickness."""
    thick = next(flange.thickness_mm for flange in sound.design.flanges if flange.name == "head")
    assert verdict(having(sound, {"runner.r1.port_lead_mm": thick}), "air.leads", R1) == "ok"


def test_air_leads_breaks_just_over(sound, judged, having):
    plates = sum(flange.thickness_mm for flange in sound.design.flanges if flange.name in ("mouth", "floor"))
    finding = judged(having(sound, {"runner.r1.mouth_lead_mm": plates - 0.01}), "air.leads")[R1]
    assert finding.verdict == "stop"
    assert finding.fix.path == "runner.r1.mouth_lead_mm"


def _areas(case, having, at_port_mm, at_mouth_mm=38.0):
    first, *between, last = case.design.runners[0].area_mm2
    ends = (first[0], pi / 4 * at_port_mm**2), (last[0], pi / 4 * at_mouth_mm**2)
    return having(case, {"runner.r1.area_mm2": (ends[0], *between, ends[1])})


@pytest.mark.parametrize("port", [36.39, 35.01])
def test_air_port_match_holds_at_its_limit(sound, verdict, having, port):
    """A port of 36 mm: 0.2 mm a side wider, 0.5 mm a side narrower."""
    assert verdict(_areas(sound, having, port), "air.port_match", "port.p1+runner.r1") == "ok"


@pytest.mark.parametrize(("port", "expected"), [(36.41, "stop"), (34.99, "look")])
def test_air_port_match_breaks_just_over(sound, verdict, having, port, expected):
    assert verdict(_areas(sound, having, port), "air.port_match", "port.p1+runner.r1") == expected


@pytest.mark.parametrize(("mouth", "expected"), [(38.39, "ok"), (38.41, "stop"), (37.59, "stop")])
def test_port_match_at_the_mouth(sound, verdict, having, mouth, expected):
    assert verdict(_areas(sound, having, 36.0, mouth), "air.port_match", R1) == expected


def test_air_ends_meet_holds_at_its_limit(sound, verdict, having):
    x, y = sound.design.runners[0].mouth.at_mm
    assert verdict(having(sound, {"runner.r1.mouth.at_mm": (x + 0.4, y)}), "air.ends_meet", R1) == "ok"


@pytest.mark.parametrize("path", ["runner.r1.mouth.at_mm", "port.p1.at_mm"])
def test_air_ends_meet_breaks_just_over(sound, judged, having, path):
    x, y = sound.design.runners[0].mouth.at_mm if path.startswith("runner") else sound.design.ports[0].at_mm
    finding = judged(having(sound, {path: (x, y + 0.6)}), "air.ends_meet")[R1]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(0.6, abs=0.1)


def test_air_step_holds_at_its_limit(sound, judged, saying):
    """Pins beyond the row: half the play and twice the position, 0.01 + 2 x 0.095."""
    case = saying(sound, "shop", position_mm=0.095)
    finding = judged(case, "air.step")["joint.runner"]
    apart = np.linalg.norm(np.subtract(*[dowel.at_mm for dowel in case.design.dowels]))
    reach = max(1.0, 2.0 * _furthest(case) / float(apart))
    assert finding.measured == pytest.approx(0.01 * reach + 0.19)
    assert (
        judged(saying(sound, "shop", position_mm=(0.2 - 0.01 * reach) / 2), "air.step")["joint.runner"].verdict == "ok"
    )


def _furthest(case):
    middle = np.mean([dowel.at_mm for dowel in case.design.dowels], axis=0)
    places = [case.design.plena[0].frame.to_world(runner.mouth.at_mm) for runner in case.design.runners]
    return max(float(np.linalg.norm(place - middle)) for place in places)


def test_air_step_breaks_just_over(sound, verdict, saying):
    assert verdict(saying(sound, "shop", position_mm=0.0955), "air.step", "joint.runner") == "look"


def test_a_joint_without_pins_lies_as_its_screws_let_it(sound, judged):
    """M6 in a hole of 6.6 (ISO 273): 0.3 mm to a side, and twice 0.03."""
    case = replace(sound, described=replace(sound.described, design=replace(sound.design, dowels=())))
    assert judged(case, "air.step")["joint.runner"].measured == pytest.approx(0.36)


def _mouths(case, having, between):
    """The second mouth so far from the first that this much metal is left between bores of 38 mm."""
    x, y = next(runner for runner in case.design.runners if runner.name == "r1").mouth.at_mm
    return having(case, {"runner.r2.mouth.at_mm": (x + 38.0 + between, y)})


def test_air_mouths_apart_holds_at_its_limit(sound, verdict, having):
    """A tenth of 38 mm for either rounding and 0.4 mm flat between."""
    assert verdict(_mouths(sound, having, 8.0), "air.mouths_apart", "runner.r1+runner.r2") == "ok"


@pytest.mark.parametrize(("between", "expected"), [(7.99, "look"), (2.0, "look"), (1.99, "stop"), (-1.0, "stop")])
def test_air_mouths_apart_breaks_just_over(sound, verdict, having, between, expected):
    assert verdict(_mouths(sound, having, between), "air.mouths_apart", "runner.r1+runner.r2") == expected


def _as_a_split(case):
    """The runner joint called a split, with its pins and screws: passages cross it all the same."""
    joints = tuple(replace(j, kind="split") if j.name == "runner" else j for j in case.design.joints)
    return replace(case, described=replace(case.described, design=replace(case.design, joints=joints)))


@pytest.mark.parametrize("rule", ["air.step", "join.located"])
def test_a_split_is_crossed_by_passages_too(sound, judged, rule):
    plain, split = judged(sound, rule)["joint.runner"], judged(_as_a_split(sound), rule)["joint.runner"]
    assert split.measured == pytest.approx(plain.measured)
    assert split.limit == pytest.approx(plain.limit, abs=0.01)
