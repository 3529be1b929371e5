"""The sizes of a plenum that stands on mouths and between screws which are there already."""

from dataclasses import replace
from math import dist, inf

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.job.sheet import JobSheet
from tractwright.own.head_records import OwnHead
from tractwright.route.layout.chamber import (
    FLOOR_RADIUS_MM,
    HEAD_ROOM_MM,
    LIP_ROOM_MM,
    ROOT_MM,
    Chamber,
    at_pitch,
    first_chamber,
)
from tractwright.route.layout.outlines import Point
from tractwright.route.layout.screws import Fastening, head_radius, lift_for_stock_mm, lug_radius
from tractwright.route.onto.holes import rim_fastening, rim_holes
from tractwright.route.records import PLENUM

_LEAST_LIP_MM = 1.0
_MOST_MORE_MM = 3.0
"""So much thicker a floor may become for a stock length of screw. Source: shop_judgement."""


def chamber_onto(own: OwnHead, sheet: JobSheet, wanted: Wanted, held: Held) -> Chamber:
    """The chamber over the piece's mouths, as wide as they ask, no wider than its screws allow. Raises TableError."""
    bore = max(runner.bore_mm for runner in own.runners)
    chamber = first_chamber(PLENUM, len(own.runners), sheet, replace(wanted, bore_mm=bore), _of_the_plenum(held))
    mouths = [runner.mouth_mm for runner in own.runners]
    least = min((dist(a, b) for a in mouths for b in mouths if a != b), default=inf)
    lip = max(_LEAST_LIP_MM, min(chamber.lip_mm, (least - bore) / 2 - LIP_ROOM_MM))
    chamber = replace(chamber, mouth_flange_mm=own.mouth_mm, lip_mm=lip)
    chamber = replace(chamber, floor_mm=_floor(own, chamber, sheet, held))
    chamber = replace(chamber, rim_screw_mm=rim_mm(own, chamber), side_mm=rim_mm(own, chamber) + _lug(own, chamber))
    room = _most_height(own, chamber)
    tightest = (room - _across(own)) / 2 - LIP_ROOM_MM - FLOOR_RADIUS_MM
    chamber = replace(chamber, lip_mm=max(_LEAST_LIP_MM, min(chamber.lip_mm, tightest)))
    least_height = _across(own) + 2 * (chamber.lip_mm + LIP_ROOM_MM + FLOOR_RADIUS_MM)
    chamber = replace(chamber, height_mm=max(least_height, min(chamber.height_mm, room)))
    sized = at_pitch(chamber, pitch_mm(own), sheet, wanted, held)
    return _between_screws(sized, max(least_height, room), sheet, wanted, held)


def pitch_mm(own: OwnHead) -> float:
    """Mouth to mouth along the row, on the average; the bore's own width for a single one."""
    x = [runner.mouth_mm[0] for runner in own.runners]
    return (max(x) - min(x)) / (len(x) - 1) if len(x) > 1 else own.runners[0].bore_mm


def rim_mm(own: OwnHead, chamber: Chamber) -> float:
    """How far outside the chamber's inner face a screw of the piece has to stand to keep its head off the wall [mm]."""
    heads = [head_radius(hole.thread) for hole in rim_holes(own) if hole.use == "tapped"]
    return chamber.wall_mm + ROOT_MM + max(heads, default=head_radius(chamber.screw)) + HEAD_ROOM_MM


def _lug(own: OwnHead, chamber: Chamber) -> float:
    return max((lug_radius(hole.thread) for hole in rim_holes(own)), default=lug_radius(chamber.screw))


def _of_the_plenum(held: Held) -> Held:
    """What is held of the plenum and what stands on it: the runners are as drawn."""
    return Held(
        values={path: value for path, value in held.values.items() if not path.startswith("runner.")},
        wishes={path: value for path, value in held.wishes.items() if not path.startswith("runner.")},
    )


def _across(own: OwnHead) -> float:
    """Across the row, over the mouths' outsides [mm]."""
    return 2 * max(abs(runner.mouth_mm[1]) + runner.outline.height_mm / 2 for runner in own.runners)


def _floor(own: OwnHead, chamber: Chamber, sheet: JobSheet, held: Held) -> float:
    """The floor's thickness: a little more where that suits a stock length of the piece's own screws."""
    floor = max(chamber.floor_mm, chamber.lip_mm + 2.0)
    if (
        held.get("flange.floor.thickness_mm", None) is not None
        or held.get(f"plenum.{PLENUM}.floor_mm", None) is not None
    ):
        return floor
    given: list[Fastening] = [rim_fastening(hole, sheet) for hole in rim_holes(own) if hole.use == "tapped"]
    more = max((lift_for_stock_mm(fastening, floor) for fastening in given), default=0.0)
    return floor + more if more <= _MOST_MORE_MM else floor


def _most_height(own: OwnHead, chamber: Chamber) -> float:
    """The greatest inner height that leaves every screw's head beside the long walls free [mm]."""
    half = max(abs(runner.mouth_mm[0]) + runner.outline.width_mm / 2 for runner in own.runners) + chamber.rim_screw_mm
    beside: list[Point] = [hole.at_mm for hole in rim_holes(own) if abs(hole.at_mm[0]) < half]
    return 2 * min((abs(y) - chamber.rim_screw_mm for _, y in beside), default=inf)


def _between_screws(sized: Chamber, most: float, sheet: JobSheet, wanted: Wanted, held: Held) -> Chamber:
    """No higher than the screws allow: deeper for the same air inside."""
    if sized.height_mm <= most:
        return sized
    low = replace(sized, height_mm=most, corner_mm=min(sized.corner_mm, most / 2 - 1.0))
    volume = held.number(f"plenum.{PLENUM}.volume_l", wanted.plenum_volume_l) * 1e6
    return replace(
        low, depth_mm=held.number(f"plenum.{PLENUM}.depth_mm", max(low.depth_mm, volume / low.floor_area_mm2))
    )
