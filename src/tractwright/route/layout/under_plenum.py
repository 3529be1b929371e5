"""Runners that end in a plenum: its floor as the search for courses sees it, and all that stands on it."""

import numpy as np

from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Joint
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import CourseFace
from tractwright.route.layout.chamber import Chamber, plenum_of
from tractwright.route.layout.ending import Ending
from tractwright.route.layout.places import pads_of, places
from tractwright.route.layout.plenum_joints import (
    cover_flange,
    cover_screws,
    cover_seal,
    dowels,
    floor_flange,
    mouth_flange,
    rim_screws,
    runner_seal,
)
from tractwright.route.layout.screws import head_over_mm
from tractwright.route.layout.throttle import necks, throttle_stubs


def plenum_face(
    chamber: Chamber, rows: tuple[tuple[str, ...], ...], pattern: Pattern, sheet: JobSheet, held: Held
) -> CourseFace:
    """The floor, with the box behind it and the throttle on it. rows : runners in the order of their mouths."""
    return CourseFace(
        name=chamber.name,
        rows=rows,
        rows_apart_mm=chamber.rows_apart_mm,
        mouth_bore_mm=chamber.bore_mm,
        lip_radius_mm=chamber.lip_mm,
        least_pitch_mm=chamber.pitch_mm,
        body_depth_mm=chamber.floor_mm + chamber.depth_mm + chamber.cover_mm + head_over_mm(chamber.screw),
        body_half_height_mm=max(chamber.height_mm / 2 + chamber.side_mm, _floor_half_mm(chamber, pattern, sheet, held)),
        body_overhang_mm=(chamber.width_mm - chamber.row_mm) / 2 + chamber.side_mm,
        behind_mm=chamber.floor_mm,
        held_at_mm=sheet.plenum.at_mm,
        held_direction=sheet.plenum.direction,
        stubs=throttle_stubs(chamber, pattern, sheet, held),
    )


def _floor_half_mm(chamber: Chamber, pattern: Pattern, sheet: JobSheet, held: Held) -> float:
    """How far the floor reaches beside the row of mouths [mm]: a wide neck's pad on an end may stand out beyond all else."""
    grounds = [item.ground(chamber, Frame()) for item in necks(chamber, Frame(), pattern, sheet, held)]
    joint = Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=Frame())
    floor = floor_flange(chamber, joint, places(chamber, grounds), pads_of(grounds))
    return float(np.abs(polyline(floor.contour)[:, 1]).max())


def plenum_ending(chamber: Chamber, frame: Frame, pattern: Pattern, sheet: JobSheet, held: Held) -> Ending:
    """Plenum, cover and necks with their joints. Raises TableError."""
    top = frame.moved((0.0, 0.0, chamber.floor_mm + chamber.depth_mm))
    runner_side = Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=frame)
    cover_side = Joint(name="cover", kind="cover", pieces=("plenum", "cover"), frame=top)
    ends = necks(chamber, frame, pattern, sheet, held)
    grounds = [end.ground(chamber, frame) for end in ends]
    spots = places(chamber, grounds)
    bank = pattern.banks[0].name if len(pattern.banks) == 1 else ""
    return Ending(
        pieces=(("plenum", "plenum"), ("cover", "cover"), *((end.piece, "neck") for end in ends)),
        plena=(plenum_of(chamber, frame, bank),),
        throttles=tuple(end.throttle for end in ends),
        flanges=(
            mouth_flange(chamber, runner_side, spots, sheet, held),
            floor_flange(chamber, runner_side, spots, pads_of(grounds)),
            cover_flange(chamber, cover_side, spots),
            *(flange for end in ends for flange in end.flanges),
        ),
        joints=(runner_side, cover_side, *(joint for end in ends for joint in end.joints)),
        screws=(
            *rim_screws(chamber, runner_side, spots, sheet, held),
            *cover_screws(chamber, cover_side, spots, sheet, held),
            *(screw for end in ends for screw in end.screws),
        ),
        dowels=dowels(chamber, runner_side, spots, held),
        seals=(
            runner_seal(chamber, runner_side, sheet, held),
            cover_seal(chamber, cover_side, sheet, held),
            *(end.seal for end in ends),
        ),
    )
