"""The cord round mouths that are there already, whatever way they stand."""

import numpy as np
import pytest
import shapely

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.records import Bank, Joint
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.sheet import JobSheet
from tractwright.own.head_records import OwnHead, OwnRunner
from tractwright.route.layout.chamber import LAND_MM
from tractwright.route.onto.chamber import chamber_onto
from tractwright.route.onto.joint import seal_onto

SHEET = JobSheet.model_validate({"job": {"name": "cord"}})
WANTED = Wanted(
    length_mm=200.0, bore_mm=36.0, port_area_mm2=1000.0, mouth_area_mm2=1000.0, plenum_volume_l=1.5,
    throttle_bore_mm=46.0, lip_radius_mm=7.0, why=(),
)  # fmt: skip
BORE = 36.0


def _head(places: tuple[tuple[float, float], ...]) -> OwnHead:
    runners = tuple(
        OwnRunner(
            ports=(f"p{k}",), mouth_mm=place, outline=circle(BORE), turn_deg=0.0, bore_mm=BORE, leaves=(0.0, 0.0, 1.0),
            lean_deg=0.0, poles_mm=(), port_lead_mm=20.0, end_lead_mm=20.0, off_mm=0.0, roots_mm=(5.0, 5.0),
            length_mm=180.0, area_mm2=((0.0, 1000.0),), wall_mm=((0.0, 4.0),),
        )
        for k, place in enumerate(places, start=1)
    )  # fmt: skip
    return OwnHead(
        file="head.step", sha256="", solid=1, frame=Frame(), bank=Bank(name="a", frame=Frame()), ports=(),
        head_outline=(), head_mm=12.0, head_holes=(), mouth_frame=Frame(), mouth_outline=(), mouth_mm=14.0,
        mouth_holes=(), grooves=(), runners=runners, placed_by="by its ports", left_mm=0.0,
    )  # fmt: skip


@pytest.mark.parametrize(
    "places",
    [
        ((0.0, 0.0),),
        ((-60.0, 0.0), (60.0, 0.0)),
        ((-90.0, 0.0), (4.0, 0.05), (90.0, 0.0)),
        ((-80.0, 0.0), (10.0, 4.0), (86.0, 0.0)),
        ((-60.0, -25.0), (-20.0, 25.0), (20.0, -25.0), (60.0, 25.0)),
    ],
    ids=["one", "two", "all but in a row", "one out of the row", "by turns"],
)
def test_it_keeps_its_land_and_never_turns_inwards(places: tuple[tuple[float, float], ...]):
    """Distances by shapely; a line that never turns inwards is its own convex hull."""
    own = _head(places)
    chamber = chamber_onto(own, SHEET, WANTED, Held())
    joint = Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=Frame())
    seal = seal_onto(own, chamber, joint, SHEET, Held())
    middle = shapely.Polygon(polyline(seal.path, 0.002))
    assert middle.convex_hull.area == pytest.approx(middle.area, rel=1e-6)
    for place in places:
        away = middle.exterior.distance(shapely.Point(place)) - BORE / 2 - seal.groove_width_mm / 2
        assert away >= LAND_MM - 1e-3
    assert np.array(seal.path)[:, 2].min() >= 0.0
    assert seal.piece == "plenum"
