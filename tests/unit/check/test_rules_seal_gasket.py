"""Rules on cords' lengths, screws along them, gaskets and materials: at the limit and just over it."""

from dataclasses import replace
from math import pi

import pytest

from tractwright.geometry.outlines import circle
from tractwright.route.layout.outlines import disc
from tractwright.standards.threads import thread

ROUND = disc((0.0, 0.0), 50.0)
MATERIAL = "sheet.joint.seal_material"


def _cut(case, having, length_mm):
    """The neck's cord in a groove of 50 mm radius, 314.16 mm round."""
    return having(case, {"seal.neck.path": ROUND, "seal.neck.length_mm": length_mm})


@pytest.mark.parametrize("length", [100 * pi, 100 * pi / 1.02])
def test_seal_cord_length_holds_at_its_limit(sound, verdict, having, length):
    assert verdict(_cut(sound, having, length), "seal.cord_length", "seal.neck") == "ok"


@pytest.mark.parametrize(
    ("length", "word"), [(314.3, "too long"), (330.0, "too long"), (307.9, "short"), (250.0, "short")]
)
def test_seal_cord_length_breaks_just_over(sound, judged, having, length, word):
    finding = judged(_cut(sound, having, length), "seal.cord_length")["seal.neck"]
    assert finding.verdict == "stop"
    assert word in finding.message
    mended = _cut(sound, having, finding.fix.value)
    assert judged(mended, "seal.cord_length")["seal.neck"].verdict == "ok"


def test_a_cord_of_unknown_length_is_not_known(sound, verdict, having):
    assert verdict(_cut(sound, having, 0.0), "seal.cord_length", "seal.neck") == "unknown"


def _spaced(case, spacing_mm):
    joints = tuple(replace(load, spacing_mm=spacing_mm, spacing_limit_mm=84.0) for load in case.loads.joints)
    return replace(case, loads=replace(case.loads, joints=joints))


def test_seal_spacing_holds_at_its_limit(sound, verdict):
    """M6 and 12 mm of flange on a soft cord: 84 mm by ASME VIII appendix 2, half as much again."""
    assert verdict(_spaced(sound, 126.0), "seal.spacing", "joint.cover") == "ok"


def test_seal_spacing_breaks_just_over(sound, judged):
    found = judged(_spaced(sound, 126.1), "seal.spacing")
    assert found["joint.cover"].verdict == "look"
    assert "joint.head" not in found


def test_seal_spacing_asks_for_the_flange_that_its_screws_bear(sound, judged):
    """M6 a hair too far apart for the cover: 1.5 (2 x 6 + 6 t) + 0.1 mm; half a millimetre more will do."""
    cover = next(flange for flange in sound.design.flanges if flange.name == "cover")
    screw = thread(next(screw for screw in sound.design.screws if screw.joint == "cover").thread).major_mm
    spacing = 1.5 * (2 * screw + 6 * cover.thickness_mm) + 0.1
    joints = tuple(replace(load, spacing_mm=spacing, spacing_limit_mm=spacing / 1.6) for load in sound.loads.joints)
    case = replace(sound, loads=replace(sound.loads, joints=joints))
    fix = judged(case, "seal.spacing")["joint.cover"].fix
    assert (fix.path, fix.value) == ("flange.cover.thickness_mm", cover.thickness_mm + 0.5)


def _ported(case, diameter_mm):
    """The first port alone, of that diameter; a screw of the head 25 mm from its middle, hole 9 mm."""
    port = replace(case.design.ports[0], at_mm=(0.0, 0.0), outline=circle(diameter_mm))
    screw = next(screw for screw in case.design.screws if screw.joint == "head")
    bank = case.design.banks[0].frame
    x, y, z = bank.to_world((0.0, 25.0, 12.0))
    near = replace(screw, seat_mm=(float(x), float(y), float(z)))
    screws = tuple(near if other is screw else other for other in case.design.screws)
    return replace(
        case, described=replace(case.described, design=replace(case.design, ports=(port,), screws=screws))
    ), f"screw.{screw.name}"


def test_seal_gasket_land_holds_at_its_limit(sound, judged):
    """25 - 4.5 - 16.5 = 4 mm."""
    case, screw = _ported(sound, 33.0)
    finding = judged(case, "seal.gasket_land")[f"{screw}+seal.head"]
    assert finding.verdict == "ok"


def test_seal_gasket_land_breaks_just_over(sound, judged):
    case, screw = _ported(sound, 33.1)
    subject, finding = next(iter(judged(case, "seal.gasket_land").items()))
    assert set(subject.split("+")) == {screw, "seal.head"}
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(3.95, abs=0.02)


def _with(case, saying, material, fuel="petrol", sprayed="nothing", confirmed=False):
    air = saying(case, "air", fuel=fuel, sprayed=sprayed)
    return saying(air, "joint", seal_material=material, seal_confirmed=confirmed)


def test_seal_material_holds_at_its_limit(sound, judged, saying):
    """A material that bears the fuel; one that its maker confirmed."""
    assert judged(_with(sound, saying, "FKM"), "seal.material")[MATERIAL].verdict == "ok"
    confirmed = _with(sound, saying, "FKM", fuel="methanol", confirmed=True)
    assert judged(confirmed, "seal.material")[MATERIAL].verdict == "ok"


def test_seal_material_breaks_just_over(sound, judged, saying):
    finding = judged(_with(sound, saying, "epdm", confirmed=True), "seal.material")[MATERIAL]
    assert finding.verdict == "stop"
    assert "petrol" in finding.message


@pytest.mark.parametrize(
    ("material", "fuel", "sprayed", "asked"),
    [
        (None, "petrol", "nothing", "petrol"),
        (None, "ethanol", "water", "ethanol and water"),
        ("FKM", "petrol", "water and methanol", "methanol"),
        ("our own", "petrol", "nothing", "petrol"),
    ],
)
def test_what_is_not_known_of_a_seal_is_asked(sound, judged, saying, material, fuel, sprayed, asked):
    finding = judged(_with(sound, saying, material, fuel, sprayed), "seal.material")[MATERIAL]
    assert finding.verdict == "unknown"
    assert asked in finding.message


def test_a_seal_of_another_material_is_asked_for_itself(sound, judged, saying, having):
    case = having(_with(sound, saying, "FKM"), {"seal.neck.material": "EPDM"})
    found = judged(case, "seal.material")
    assert found[MATERIAL].verdict == "ok"
    assert found["seal.neck"].verdict == "stop"


def _two_rows(case, having, rise):
    """All head screws so far above and below the row of ports, at the ends and between the ports."""
    seats = {s.name: s.seat_mm for s in case.design.screws if s.joint == "head"}
    return having(
        case, {f"screw.{name}.seat_mm": (x, rise if y > 0 else -rise, z) for name, (x, y, z) in seats.items()}
    )


def test_seal_port_screws_holds_at_its_limit(sound, judged, having):
    """M8 half a pitch of 82 mm beside a port of 36 mm: 79.9 mm from its rim, 97.9 from its middle."""
    finding = next(iter(judged(_two_rows(sound, having, (97.9**2 - 41.0**2) ** 0.5), "seal.port_screws").values()))
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(10.0, abs=0.02)


def test_seal_port_screws_breaks_just_over(sound, judged, having):
    finding = next(iter(judged(_two_rows(sound, having, (98.1**2 - 41.0**2) ** 0.5), "seal.port_screws").values()))
    assert finding.verdict == "look"


def test_screws_above_the_ports_only_press_one_side(sound, judged, having):
    seats = {s.name: s.seat_mm for s in sound.design.screws if s.joint == "head"}
    above = having(sound, {f"screw.{name}.seat_mm": (x, 34.0, z) for name, (x, _, z) in seats.items()})
    assert next(iter(judged(above, "seal.port_screws").values())).verdict == "look"
