"""A plenum with a throttle on two of its walls, laid out and built: both openings, each with its own neck."""

from math import pi

import numpy as np
import pytest
from random_layouts import straight_courses
from round_ports import round_ports

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Design, HeadHole, Throttle
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet
from tractwright.kernel.sections import plane_section
from tractwright.make.feature import bore_name
from tractwright.make.features import features_of
from tractwright.route.layout.chamber import first_chamber
from tractwright.route.stage import laid_out
from tractwright.shape.builders import cover, plenum_piece, throttle_neck
from tractwright.shape.parts.finishes import THROTTLE_LIP_MM

BORE = 44.0


def laid(place: str, second: str) -> Design:
    sheet = JobSheet.model_validate({
        "job": {"name": "made up"}, "throttle": {"bore": BORE, "place": place, "second": second},
    })  # fmt: skip
    row = (-90.0, 0.0, 90.0)
    holes = [(x, side * 32.0) for x in (-135.0, -45.0, 45.0, 135.0) for side in (-1.0, 1.0)]
    pattern = Pattern(
        banks=(Bank(name="a", frame=Frame()),),
        ports=round_ports(row),
        head_holes=tuple(
            HeadHole(name=f"h{k}", bank="a", at_mm=hole, thread="M8", depth_mm=22.0, stud=False)
            for k, hole in enumerate(holes, start=1)
        ),
    )
    wanted = Wanted(
        length_mm=250.0, bore_mm=42.0, port_area_mm2=1257.0, mouth_area_mm2=1385.0, plenum_volume_l=2.0,
        throttle_bore_mm=BORE, lip_radius_mm=8.0, why=(),
    )  # fmt: skip
    chamber = first_chamber("plenum", 3, sheet, wanted, Held())
    return laid_out(sheet, pattern, wanted, Held(), chamber, straight_courses(pattern, chamber))


def opening_mm2(built, throttle: Throttle, deep_mm: float) -> float:
    """Area of the hole that a throttle's axis goes through, so deep behind its face."""
    section = plane_section(built.solid.opened(), throttle.frame.moved((0.0, 0.0, -deep_mm)))
    around = [loop for loop in section.loops_mm if np.hypot(*loop.T).max() < 0.5 * BORE + THROTTLE_LIP_MM]
    areas = [0.5 * abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) for x, y in (loop.T for loop in around)]
    return max(areas, default=0.0)


@pytest.mark.parametrize(("place", "second"), [("end_1", "end_2"), ("end_2", "side_2"), ("side_1", "top")])
def test_both_walls_open_and_carry_a_neck_of_their_own(place, second):
    design = laid(place, second)
    pieces = {piece.name: piece for piece in design.pieces}
    assert list(pieces) == ["head", "plenum", "cover", "neck", "neck_2"]
    built = {
        "plenum": plenum_piece.build(pieces["plenum"], design),
        "cover": cover.build(pieces["cover"], design),
        "neck": throttle_neck.build(pieces["neck"], design),
        "neck_2": throttle_neck.build(pieces["neck_2"], design),
    }
    for item in built.values():
        assert (item.valid, item.watertight, item.solids, item.fallback) == (True, True, 1, ""), item.name
        assert item.volume_mm3 == pytest.approx(item.twin_volume_mm3, rel=1e-3)
    assert built["neck"].volume_mm3 == pytest.approx(built["neck_2"].volume_mm3, rel=1e-6)
    for throttle, neck in zip(design.throttles, ("neck", "neck_2"), strict=True):
        carrier = "cover" if throttle.place == "top" else "plenum"
        for name, deep in ((neck, 0.5 * throttle.neck_mm), (carrier, throttle.neck_mm + 2.0)):
            assert opening_mm2(built[name], throttle, deep) == pytest.approx(pi / 4 * BORE**2, rel=2e-3), (
                name,
                throttle.name,
            )


def test_each_bore_is_cut_in_the_pieces_it_goes_through():
    design = laid("end_1", "top")
    bores = {
        piece.name: [feature.name for feature in features_of(design, piece) if feature.work == "bore"]
        for piece in design.pieces
    }
    first, second = (bore_name(throttle, design) for throttle in design.throttles)
    assert first != second
    assert bores == {"head": [], "plenum": [first], "cover": [second], "neck": [first], "neck_2": [second]}
