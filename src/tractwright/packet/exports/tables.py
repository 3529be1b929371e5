"""Tables a shop works from: screws with their holes, the holes of every joint, the air."""

from collections.abc import Mapping

from tractwright.design.boss_hole import tip_mm
from tractwright.design.boss_space import carrier, into_top
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.hole_sheet import hole_sheets
from tractwright.packet.tables import air_tables, csv_text

_SCREW_COLUMNS = (
    "name", "joint", "thread", "property_class", "head", "washer", "length_mm", "grip_mm", "engagement_mm",
    "standoff_mm", "clearance_mm", "counterbore_mm", "tapped_in", "tapped_depth_mm", "drill_depth_mm", "torque_nm",
    "torque_from",
)  # fmt: skip
_BOSS_PLACE = (
    "name", "use", "piece", "skin_x_mm", "skin_y_mm", "skin_z_mm", "top_x_mm", "top_y_mm", "top_z_mm", "axis_x", "axis_y",
    "axis_z",
)  # fmt: skip
_BOSS_COLUMNS = ("height_mm", "foot_mm", "top_mm", "blend_mm", "hole_mm", "hole_depth_mm", "thread_mm")
_HOLE_COLUMNS = ("joint", "number", "name", "x_mm", "y_mm", "in_first_piece", "in_second_piece")


def write(contents: Contents) -> Mapping[str, bytes]:
    """screws.csv, holes.csv, bosses.csv where there are any, and where an engine is known air.csv and length_chart.csv."""
    breathing = contents.case.breathing
    air = air_tables(breathing) if breathing else {}
    bosses = {"bosses.csv": _bosses(contents)} if contents.case.design.bosses else {}
    return {"screws.csv": _screws(contents), "holes.csv": _holes(contents), **bosses, **air}


def _screws(contents: Contents) -> bytes:
    """Every screw with its hole, places in the frame of its joint and in the job frame."""
    design = contents.case.design
    frames = {joint.name: joint.frame for joint in design.joints}
    rows: list[list[object]] = []
    for screw in design.screws:
        x, y, _ = frames[screw.joint].to_local(screw.seat_mm)
        place = [float(value) for value in (x, y, *screw.seat_mm)]
        rows.append([*(getattr(screw, column) for column in _SCREW_COLUMNS), *place])
    return csv_text([*_SCREW_COLUMNS, "joint_x_mm", "joint_y_mm", "seat_x_mm", "seat_y_mm", "seat_z_mm"], rows)


def _holes(contents: Contents) -> bytes:
    """The hole sheets' tables, in the frames of the joints."""
    rows = [
        (sheet.joint, hole.number, hole.name, hole.x_mm, hole.y_mm, hole.in_first, hole.in_second)
        for sheet in hole_sheets(contents.case)
        for hole in sheet.holes
    ]
    return csv_text(_HOLE_COLUMNS, rows)


def _bosses(contents: Contents) -> bytes:
    """Every boss: where its axis comes out of the skin, the middle of its top, its way out (job frame), its sizes and hole."""
    design = contents.case.design
    rows: list[list[object]] = []
    for boss in design.bosses:
        top = into_top(boss).origin_mm
        steps = " ".join(f"{wide:g}x{deep:g}" for wide, deep in boss.pocket_mm)
        sizes = [getattr(boss, column) for column in _BOSS_COLUMNS]
        axis = [f"{value + 0.0:.9f}" for value in boss.axis]
        place = [boss.name, boss.use, carrier(boss, design), *boss.at_mm, *top, *axis]
        rows.append([*place, *sizes, boss.thread, steps, tip_mm(boss)])
    return csv_text([*_BOSS_PLACE, *_BOSS_COLUMNS, "thread", "steps_mm", "drill_point_mm"], rows)
