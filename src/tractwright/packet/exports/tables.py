"""Tables a shop works from: screws and holes, seals, pieces."""

import csv
import io
from collections.abc import Iterable, Mapping

from tractwright.packet.contents import Contents

_SCREW_COLUMNS = (
    "name", "joint", "thread", "property_class", "head", "washer", "length_mm", "grip_mm", "engagement_mm",
    "standoff_mm", "clearance_mm", "counterbore_mm", "tapped_in", "tapped_depth_mm", "drill_depth_mm", "torque_nm",
    "torque_from",
)  # fmt: skip


def write(contents: Contents) -> Mapping[str, bytes]:
    """screws.csv: every screw with its hole, places in the frame of its joint and in the job frame."""
    design = contents.case.design
    frames = {joint.name: joint.frame for joint in design.joints}
    rows: list[list[object]] = []
    for screw in design.screws:
        x, y, _ = frames[screw.joint].to_local(screw.seat_mm)
        place = [round(float(value), 3) for value in (x, y, *screw.seat_mm)]
        rows.append([_plain(getattr(screw, column)) for column in _SCREW_COLUMNS] + place)
    header = [*_SCREW_COLUMNS, "joint_x_mm", "joint_y_mm", "seat_x_mm", "seat_y_mm", "seat_z_mm"]
    return {"screws.csv": _csv(header, rows)}


def _plain(value: object) -> object:
    return round(value, 3) if isinstance(value, float) else value


def _csv(header: Iterable[str], rows: Iterable[Iterable[object]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode()
