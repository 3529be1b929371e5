"""Rules that bite at the seals: each holds at its limit and breaks just over it."""

from dataclasses import replace

import pytest

from tractwright.route.layout.outlines import box
from tractwright.standards.cords import cord, width_for_fill_mm


def _bowed(case, bow_mm):
    joints = tuple(
        replace(load, bow_mm=bow_mm, bow_limit_mm=0.2) if load.joint == "cover" else load for load in case.loads.joints
    )
    return replace(case, loads=replace(case.loads, joints=joints))


def test_seal_bow_holds_at_its_limit(sound, verdict):
    assert verdict(_bowed(sound, 0.2), "seal.bow", "joint.cover") == "ok"


def test_seal_bow_breaks_just_over(sound, judged):
    """The bow goes as the cube of the thickness: twice the bow allowed asks for 8 mm x 2^(1/3) = 10.08 mm."""
    assert judged(_bowed(sound, 0.2001), "seal.bow")["joint.cover"].verdict == "stop"
    fix = judged(_bowed(sound, 0.4), "seal.bow")["joint.cover"].fix
    assert fix is not None
    assert (fix.path, fix.value) == ("flange.cover.thickness_mm", 10.5)


def test_seal_corner_holds_at_its_limit(sound, verdict, having):
    case = having(sound, {"seal.cover.path": box((0.0, 0.0), 200.0, 90.0, 3.0 * 2.62)})
    assert verdict(case, "seal.corner", "seal.cover") == "ok"


def test_seal_corner_breaks_just_over(sound, verdict, having):
    case = having(sound, {"seal.cover.path": box((0.0, 0.0), 200.0, 90.0, 3.0 * 2.62 - 0.01)})
    assert verdict(case, "seal.corner", "seal.cover") == "stop"


def test_seal_fill_holds_at_its_limit(sound, judged, having):
    case = having(sound, {"seal.cover.groove_width_mm": width_for_fill_mm(cord(2.62))})
    finding = judged(case, "seal.fill")["seal.cover"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.85, abs=2e-3)


@pytest.mark.parametrize(("width", "expected"), [(3.56, "look"), (3.1, "stop")])
def test_seal_fill_breaks_just_over(sound, judged, having, width, expected):
    """A 2.62 cord in a groove of 3.56 fills 76 % and at worst 87 % (an open package of standard parts); 3.1 mm is full."""
    finding = judged(having(sound, {"seal.cover.groove_width_mm": width}), "seal.fill")["seal.cover"]
    assert finding.verdict == expected
    mended = having(sound, {finding.fix.path: finding.fix.value})
    assert judged(mended, "seal.fill")["seal.cover"].verdict == "ok"


def test_seal_fill_nominal_is_a_stop_of_its_own(sound, judged, having):
    """Nominal over 85 % while the worst stays under 100 %: pi/4 2.62^2 / (0.86 x 1.985) = 3.158 mm wide."""
    finding = judged(having(sound, {"seal.cover.groove_width_mm": 3.18}), "seal.fill")["seal.cover"]
    assert finding.verdict == "stop"
    assert finding.limit == 0.85


@pytest.mark.parametrize("squeeze", [0.19, 0.30])
def test_seal_squeeze_holds_at_its_limit(sound, verdict, having, squeeze):
    case = having(sound, {"seal.cover.groove_depth_mm": 2.62 * (1.0 - squeeze)})
    assert verdict(case, "seal.squeeze", "seal.cover") == "ok"


@pytest.mark.parametrize("squeeze", [0.189, 0.301])
def test_seal_squeeze_breaks_just_over(sound, judged, having, squeeze):
    finding = judged(having(sound, {"seal.cover.groove_depth_mm": 2.62 * (1.0 - squeeze)}), "seal.squeeze")[
        "seal.cover"
    ]
    assert finding.verdict == "stop"
    assert finding.fix.value == pytest.approx(cord(2.62).depth_mm)


def _land(sound, judged, having, left):
    """The cover's groove widened until so much is left beside it."""
    subject, finding = next((s, f) for s, f in judged(sound, "seal.land").items() if "seal.cover" in s)
    seal = next(seal for seal in sound.design.seals if seal.name == "cover")
    width = seal.groove_width_mm + 2.0 * (finding.measured - left)
    return having(sound, {"seal.cover.groove_width_mm": width}), subject


def test_seal_land_holds_at_its_limit(sound, judged, verdict, having):
    case, subject = _land(sound, judged, having, 1.5)
    assert verdict(case, "seal.land", subject) == "ok"


def test_seal_land_breaks_just_over(sound, judged, verdict, having):
    case, subject = _land(sound, judged, having, 1.49)
    assert verdict(case, "seal.land", subject) == "stop"


def test_seal_land_of_a_groove_outside_its_flange(sound, judged, having):
    """A groove that leaves the cover altogether is no groove with plenty of land."""
    case = having(sound, {"seal.cover.path": box((0.0, 0.0), 600.0, 500.0, 30.0)})
    assert next(f for s, f in judged(case, "seal.land").items() if "seal.cover" in s).verdict == "stop"


def _by_the_pin(case, having, left):
    """A pin of the runner joint so far from the groove that this much metal is left between them."""
    seal = next(seal for seal in case.design.seals if seal.name == "runner")
    pin = case.design.dowels[0]
    start, end = max(
        zip(seal.path, (*seal.path[1:], seal.path[0]), strict=True), key=lambda pair: abs(pair[1][0] - pair[0][0])
    )
    joint = next(joint for joint in case.design.joints if joint.name == "runner")
    off = left + (seal.groove_width_mm + pin.diameter_mm) / 2
    inwards = -1.0 if start[1] > 0.0 else 1.0
    place = joint.frame.to_world(((start[0] + end[0]) / 2 + 41.0, start[1] - inwards * off, 0.0))
    return having(case, {f"dowel.{pin.name}.at_mm": tuple(place.tolist())}), f"dowel.{pin.name}+seal.runner"


def test_a_groove_keeps_off_pins(sound, judged, having):
    """The groove's long side is straight: 1.5 mm of metal to the pin's hole hold, 1.49 do not."""
    case, subject = _by_the_pin(sound, having, 1.5)
    assert judged(case, "seal.land")[subject].verdict == "ok"
    case, subject = _by_the_pin(sound, having, 1.49)
    assert judged(case, "seal.land")[subject].verdict == "stop"


def test_a_groove_keeps_off_passages(sound, judged, having):
    """A bore grown until the groove round the mouths is all but cut into."""
    seal = next(seal for seal in sound.design.seals if seal.name == "runner")
    high = max(abs(vertex[1]) for vertex in seal.path) - seal.groove_width_mm / 2
    wide = having(sound, {"runner.r2.area_mm2": tuple((share, 3.14159265 * (high - 1.4) ** 2) for share in (0.0, 1.0))})
    finding = judged(wide, "seal.land")["runner.r2+seal.runner"]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(1.4, abs=0.05)
    assert "runner r2" in finding.message


@pytest.mark.parametrize("joint", ["cover", "runner", "neck", "head"])
def test_seal_there_holds_at_its_limit(sound, verdict, having, joint):
    assert (
        verdict(
            having(sound, {f"seal.{joint}.section_mm": 0.2}) if joint == "head" else sound,
            "seal.there",
            f"joint.{joint}",
        )
        == "ok"
    )


@pytest.mark.parametrize(("joint", "expected"), [("cover", "stop"), ("head", "look")])
def test_seal_there_breaks_just_over(sound, verdict, joint, expected):
    """The joint without its seal; the throttle body's is not asked."""
    seals = tuple(seal for seal in sound.design.seals if seal.joint != joint)
    case = replace(sound, described=replace(sound.described, design=replace(sound.design, seals=seals)))
    assert verdict(case, "seal.there", f"joint.{joint}") == expected
