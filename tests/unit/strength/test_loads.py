"""Loads of a plain description: a plenum with a cover on a bent runner, figures that can be worked by hand."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from tractwright.design.records import Design, Flange, Joint, Piece, Screw, Seal, Throttle
from tractwright.errors import TableError
from tractwright.geometry.frames import Frame
from tractwright.job.engine_tables import AirSupply
from tractwright.job.sheet import JobSheet
from tractwright.standards.cords import cord
from tractwright.standards.materials import material
from tractwright.strength.joints import in_joint_mm, least_radius_mm, sealed_area_mm2
from tractwright.strength.pressure import pressures_of
from tractwright.strength.screws import seat_ring_mm
from tractwright.strength.stage import loads
from tractwright.strength.walls import metal_left

WIDE, HIGH = 300.0, 90.0
BOX = ((-150.0, -45.0, 0.0), (150.0, -45.0, 0.0), (150.0, 45.0, 0.0), (-150.0, 45.0, 0.0))
RIM = ((-165.0, -60.0, 0.0), (165.0, -60.0, 0.0), (165.0, 60.0, 0.0), (-165.0, 60.0, 0.0))
TOP = Frame(origin_mm=(0.0, 0.0, 80.0))
SCREW = Screw(
    name="cover.s1", joint="cover", seat_mm=(0, 0, 92), direction=(0, 0, -1), thread="M6", property_class="8.8", head="cap",
    washer="", length_mm=25, grip_mm=12, engagement_mm=13, tapped_in="plenum", tapped_depth_mm=16, drill_depth_mm=20,
    standoff_mm=0, post_mm=0, counterbore_mm=0, clearance_mm=6.6, torque_nm=10.0, torque_from="computed",
)  # fmt: skip


def sheet(**air) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "made up"}, "air": air})


def places() -> list[tuple[float, float]]:
    """Twelve: five along each long side, one at each end."""
    along = [(x, y) for x in (-150.0, -75.0, 0.0, 75.0, 150.0) for y in (-52.5, 52.5)]
    return [*along, (-157.5, 0.0), (157.5, 0.0)]


def made_up(bend, kind: str = "cord") -> Design:
    """The conftest's bent runner with a 300 x 90 box whose cover is held by twelve M6 at 10 Nm."""
    design = bend(radius_mm=60.0, bore_mm=40.0, lead_mm=20.0)
    groove = cord(2.62)
    round_corner = float(np.tan(pi / 8))
    path = ((-146.0, -45.0, 0.0), (146.0, -45.0, round_corner), (150.0, -41.0, 0.0), (150.0, 45.0, 0.0),
            (-150.0, 45.0, 0.0), (-150.0, -41.0, round_corner))  # fmt: skip
    seal = Seal(
        name="cover", joint="cover", kind=kind, piece="cover", section_mm=2.62, groove_width_mm=groove.width_mm,
        groove_depth_mm=groove.depth_mm, path=path, material="NBR",
    )  # fmt: skip
    plenum = replace(design.plena[0], width_mm=WIDE, height_mm=HIGH, wall_mm=5.0, depth_mm=70.0, floor_mm=10.0,
                     frame=Frame(), centre_mm=(0.0, 0.0), volume_l=1.9)  # fmt: skip
    return replace(
        design,
        plena=(plenum,),
        pieces=(*design.pieces, Piece(name="plenum", kind="plenum", material="6061-T651"),
                Piece(name="cover", kind="cover", material="6061-T651")),
        flanges=(Flange(name="cover", piece="cover", joint="cover", frame=TOP, contour=RIM, thickness_mm=12.0),),
        joints=(Joint(name="cover", kind="cover", pieces=("plenum", "cover"), frame=TOP),),
        screws=tuple(
            replace(SCREW, name=f"cover.s{k}", seat_mm=(x, y, 92.0)) for k, (x, y) in enumerate(places(), start=1)
        ),
        seals=(seal,),
    )  # fmt: skip


def test_a_cover_at_two_bar(bend):
    """The demanded example: 5.4 kN against 60 kN, 11.1 times; at 6 bar 3.7 times. The cord's corners take a little off."""
    found = loads(sheet(boost=2.0, backfire=6.0), made_up(bend))
    (joint,) = found.joints
    assert joint.sealed_area_mm2 == pytest.approx(WIDE * HIGH, rel=1e-3)
    assert joint.parting_n == pytest.approx(5400.0, rel=1e-3)
    assert joint.clamp_low_n == pytest.approx(60000.0, rel=1e-3)
    assert joint.separation_factor == pytest.approx(11.1, abs=0.1)
    assert joint.backfire_factor == pytest.approx(3.7, abs=0.05)
    assert joint.clamp_high_n > joint.clamp_low_n


def test_screws_and_their_threads(bend):
    found = loads(sheet(boost=1.0), made_up(bend))
    assert len(found.screws) == 12
    first = found.screws[0]
    assert first.clamp_stated_n == pytest.approx(8333.3, rel=1e-4)
    assert first.clamp_high_n == pytest.approx(13888.9, rel=1e-4)
    assert first.proof_used_stated == pytest.approx(8333.3 / 11672.0, rel=2e-3)
    assert first.proof_used_high > 1.0
    assert first.seat_stated_mpa == pytest.approx(239.0, rel=0.01)  # M6 cap head over a 6.6 hole
    assert first.seat_limit_mpa == 260.0
    assert first.engagement_needed_mm == pytest.approx(7.6, abs=0.05)
    assert first.strip_n == pytest.approx(13.0 / first.engagement_needed_mm * 16099.0, rel=2e-3)


def test_a_washer_widens_the_seat_and_the_head_is_softer_than_plate(bend):
    assert seat_ring_mm(SCREW) == (9.38, 6.6)
    assert seat_ring_mm(replace(SCREW, washer="ISO 7089")) == (12.0, 6.6)
    assert seat_ring_mm(replace(SCREW, head="hex", clearance_mm=6.4)) == (8.88, 6.4)
    design = made_up(bend)
    into_head = replace(design, screws=tuple(replace(screw, tapped_in="engine") for screw in design.screws))
    soft, hard = (loads(sheet(), item).screws[0].engagement_needed_mm for item in (into_head, design))
    assert soft / hard == pytest.approx(290.0 / 230.0)


def test_spacing_and_bow(bend):
    (joint,) = loads(sheet(boost=2.0), made_up(bend)).joints
    assert joint.spacing_mm == pytest.approx(75.0)
    assert joint.spacing_limit_mm == pytest.approx(2 * 6 + 6 * 12 / 1.0)
    area, around = joint.sealed_area_mm2, 2 * (WIDE + HIGH) - 4 * 4 + pi * 4
    rim = (330.0 * 120.0 - area) / around
    load = joint.parting_n / around + 4.0
    by_hand = load * 75.0**4 / (384 * 68900 * (2 * rim) * 12.0**3 / 12)
    assert joint.bow_mm == pytest.approx(by_hand, rel=0.01)
    assert 0.0 < joint.bow_mm < joint.bow_limit_mm < 0.3


def test_bow_grows_with_the_fourth_power_of_spacing(bend):
    design = made_up(bend)
    fewer = replace(design, screws=tuple(screw for screw in design.screws if abs(screw.seat_mm[0]) != 75.0))
    near, far = (loads(sheet(boost=2.0), item).joints[0] for item in (design, fewer))
    assert far.spacing_mm == pytest.approx(150.0)
    assert far.bow_mm == pytest.approx(16.0 * near.bow_mm, rel=1e-6)


def test_seals(bend):
    (seal,) = loads(sheet(), made_up(bend)).seals
    assert seal.squeeze == pytest.approx(0.242, abs=0.001)
    assert seal.fill_worst == pytest.approx(0.874, abs=0.001)
    assert seal.corner_radius_mm == 0.0  # two of the path's corners are sharp
    assert seal.corner_limit_mm == pytest.approx(7.86)
    assert loads(sheet(), made_up(bend, kind="gasket")).seals == ()


def test_least_radius_of_a_path(bend):
    design = made_up(bend)
    bulge = float(np.tan(pi / 8))
    smooth = ((-40.0, -20.0, 0.0), (40.0, -20.0, bulge), (50.0, -10.0, 0.0), (50.0, 10.0, bulge), (40.0, 20.0, 0.0),
              (-40.0, 20.0, bulge), (-50.0, 10.0, 0.0), (-50.0, -10.0, bulge))  # fmt: skip
    assert least_radius_mm(replace(design.seals[0], path=smooth)) == pytest.approx(10.0)
    assert least_radius_mm(replace(design.seals[0], path=BOX)) == 0.0


def test_what_a_gasket_seals(bend):
    """Without a cord pressure reaches the openings; without any seal the whole flange."""
    design = made_up(bend, kind="gasket")
    joint = design.joints[0]
    assert sealed_area_mm2(joint, design) == pytest.approx(330.0 * 120.0)
    head = replace(joint, name="head", kind="head", frame=design.banks[0].frame)
    with_gasket = replace(design, joints=(head,), seals=(replace(design.seals[0], joint="head"),))
    assert sealed_area_mm2(head, with_gasket) == pytest.approx(pi / 4 * 40.0**2)
    runner = replace(joint, name="runner", kind="runner")
    assert sealed_area_mm2(runner, replace(design, seals=(replace(design.seals[0], joint="runner"),))) == pytest.approx(
        pi / 4 * 40.0**2
    )


def test_a_joint_without_screws_is_not_weighed(bend):
    assert loads(sheet(), replace(made_up(bend), screws=())).joints == ()


def test_slanted_screws_are_placed_where_they_cross_the_joint():
    slanted = replace(SCREW, seat_mm=(10.0, 0.0, 90.0), direction=(-0.6, 0.0, -0.8))
    assert in_joint_mm(TOP, (slanted,))[0] == pytest.approx([2.5, 0.0])


def test_plates(bend):
    """Cover 12 mm over 305 x 95 at 2 bar, supported; floor clamped and weakened by its one mouth of 40 in 300."""
    found = loads(sheet(boost=2.0), made_up(bend))
    plates = {plate.part: plate for plate in found.plates}
    assert set(plates) == {"floor", "long wall", "end wall", "cover"}
    cover = plates["cover"]
    assert cover.subject == "flange.cover"
    assert cover.sides_mm == (305.0, 95.0)
    assert cover.stress_mpa == pytest.approx(0.72 * 0.2 * 95.0**2 / 144.0, rel=0.02)
    assert cover.least_mm < cover.thickness_mm
    assert cover.backfire_mpa == pytest.approx(cover.stress_mpa * 1.5)
    floor = plates["floor"]
    assert floor.stress_mpa == pytest.approx(0.503 * 0.2 * 95.0**2 / 100.0 / (1 - 40 / 300), rel=0.01)
    assert plates["long wall"].sides_mm == (305.0, 75.0)
    assert plates["end wall"].sides_mm == (95.0, 75.0)
    assert cover.frequency_hz > 1000.0


def test_a_thicker_cover_bows_less_and_rings_higher(bend):
    design = made_up(bend)
    thick = replace(design, flanges=(replace(design.flanges[0], thickness_mm=24.0),))
    thin, stiff = (loads(sheet(boost=2.0), item).plates[-1] for item in (design, thick))
    assert thin.bow_mm == pytest.approx(8.0 * stiff.bow_mm)
    assert stiff.frequency_hz == pytest.approx(2.0 * thin.frequency_hz)


def test_mouths_close_together_leave_little_floor(bend):
    design = made_up(bend)
    second = replace(design.runners[0], name="r2", mouth=replace(design.runners[0].mouth, at_mm=(50.0, 0.0)))
    assert metal_left(design.plena[0], replace(design, runners=(*design.runners, second))) == pytest.approx(0.2)
    assert metal_left(design.plena[0], replace(design, runners=())) == 1.0


def test_a_round_runner_is_a_pipe(bend):
    """Hoop stress p r/t on the wall's middle, no bending; least wall p r/allowed."""
    (runner,) = loads(sheet(boost=2.0), made_up(bend)).runners
    assert runner.stress_mpa == pytest.approx(0.2 * 22.0 / 4.0, rel=0.01)
    assert runner.bow_mm < 1e-4
    assert runner.least_mm == pytest.approx(0.2 * 22.0 / material("6061-T651").allowable_mpa, rel=0.01)


def test_pressures():
    """Boost counts from the leak test up; a shut throttle pulls inwards; a backfire is never less than the boost."""
    none = pressures_of(AirSupply.model_validate({}))
    assert none.steady_mpa == pytest.approx(0.035)
    assert none.vacuum_mpa == pytest.approx(0.0763)
    assert none.wall_mpa == none.vacuum_mpa
    assert none.backfire_mpa == pytest.approx(0.3)
    strong = pressures_of(AirSupply.model_validate({"boost": 4.0}))
    assert strong.proof_mpa == pytest.approx(0.6)
    assert strong.backfire_mpa == pytest.approx(0.4)
    assert strong.wall_mpa == pytest.approx(0.4)


def test_stored_energy_counts_runners_too(bend):
    """1.9 l and one runner of 40 mm bore at 1 bar gauge: 717 J in 8 l, in proportion."""
    design = made_up(bend)
    litres = 1.9 + design.runners[0].length_mm * pi / 4 * 1600.0 * 1e-6
    assert loads(sheet(boost=1.0), design).stored_energy_j == pytest.approx(717.0 * litres / 8.0, rel=0.002)


def test_a_thread_no_table_holds_is_told(bend):
    design = made_up(bend)
    with pytest.raises(TableError):
        loads(sheet(), replace(design, screws=(replace(SCREW, thread="M9"),)))


def test_each_joint_counts_only_the_openings_nearest_to_it(bend):
    """Two plena far apart: a gasketed joint under one knows nothing of the other's mouths; a neck has its own throttle."""
    design = made_up(bend, kind="gasket")
    first, run = design.plena[0], design.runners[0]
    second = replace(first, name="second", frame=Frame(origin_mm=(0.0, 500.0, 0.0)))
    wide = replace(run, name="r2", mouth=replace(run.mouth, plenum="second"), area_mm2=((0.0, 900.0), (1.0, 900.0)))
    throttle = Throttle(
        name="throttle", plenum="second", place="end_1", bore_mm=70.0, frame=Frame(origin_mm=(-200.0, 500.0, 40.0)),
        neck_mm=30.0, holes_mm=(), hole_thread="M6",
    )  # fmt: skip
    both = replace(design, plena=(first, second), runners=(run, wide), throttles=(throttle,))
    for kind, area in (("runner", 900.0), ("neck", pi / 4 * 70.0**2)):
        joint = Joint(name="far", kind=kind, pieces=("head", "plenum"), frame=second.frame)
        gasketed = replace(both, seals=(replace(design.seals[0], joint="far"),))
        assert sealed_area_mm2(joint, gasketed) == pytest.approx(area)
    assert len(loads(sheet(), both).plates) == 8
