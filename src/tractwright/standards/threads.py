"""Metric (6H/6g) and unified inch (2B/2A) screw threads: limits of size, tap drill, stress area. All lengths in mm.

'M8x1.25', or 'M8' for the coarse pitch; '1/4-20', '#10-32'; a trailing series name such as UNC is ignored.
Sources: ISO 68-1, ISO 965-1; ASME B1.1.
"""

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from math import pi, sqrt
from typing import Literal

from tractwright.errors import TableError
from tractwright.standards.tables import Origin, Row, rows

INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A thread with its limits of size, lengths in mm.

    hole_ : the tapped hole (6H or 2B); screw_ : the screw (6g or 2A). size : 'M8' or '1/4', what heads and holes go by.
    stress_area_mm2 : pi/4 ((d2 + d3)/2)^2 for metric, pi/4 (d - 0.9743 P)^2 for unified threads.
    """

    designation: str
    size: str
    system: Literal["metric", "unified"]
    coarse: bool
    major_mm: float
    pitch_mm: float
    screw_major_max_mm: float
    screw_major_min_mm: float
    screw_pitch_max_mm: float
    screw_pitch_min_mm: float
    hole_minor_min_mm: float
    hole_minor_max_mm: float
    hole_pitch_min_mm: float
    hole_pitch_max_mm: float
    tap_drill_mm: float
    tap_drill: str
    stress_area_mm2: float
    origin: Origin


@lru_cache(maxsize=256)
def thread(designation: str) -> Thread:
    """The thread of that designation. Raises TableError naming the threads held."""
    key = _plain(designation)
    held = _all_threads()
    for candidate in held:
        if key == candidate.designation or (candidate.coarse and key == candidate.size):
            return candidate
    raise TableError("threads", designation, tuple(item.designation for item in held))


def threads() -> tuple[Thread, ...]:
    """Every thread held, metric first, rising."""
    return _all_threads()


def _plain(designation: str) -> str:
    """The designation in the table's own spelling: 'm6 x 1.0' becomes 'M6x1', '10-32 UNF' becomes '#10-32'."""
    text = re.sub(r"[\s-]*(UN[CFSR]?|2A|2B|6H|6g)\b", "", designation.strip(), flags=re.IGNORECASE)
    text = re.sub(r"[\s\"]", "", text).replace("\N{MULTIPLICATION SIGN}", "x")
    metric = re.fullmatch(r"[Mm](\d+(?:\.\d+)?)(?:[xX-](\d+(?:\.\d+)?))?", text)
    if metric:
        major, pitch = metric.groups()
        return f"M{float(major):g}" + (f"x{float(pitch):g}" if pitch else "")
    return f"#{text}" if re.match(r"\d+-\d+$", text) else text


@cache
def _all_threads() -> tuple[Thread, ...]:
    metric = tuple(_metric(item) for item in rows("metric_threads"))
    return metric + tuple(_unified(item) for item in rows("unified_threads"))


def _metric(item: Row) -> Thread:
    d, p = item.number("major_mm"), item.number("pitch_mm")
    height = sqrt(3.0) / 2.0 * p
    pitch_diameter = d - 0.75 * height
    minor = d - 1.25 * height
    root = minor - height / 6.0
    allowance = item.number("screw_allowance_um") / 1000.0
    return Thread(
        designation=item.text("designation"),
        size=item.text("designation").split("x")[0],
        system="metric",
        coarse=item.text("coarse") == "yes",
        major_mm=d,
        pitch_mm=p,
        screw_major_max_mm=d - allowance,
        screw_major_min_mm=d - allowance - item.number("screw_major_tolerance_um") / 1000.0,
        screw_pitch_max_mm=pitch_diameter - allowance,
        screw_pitch_min_mm=pitch_diameter - allowance - item.number("screw_pitch_tolerance_um") / 1000.0,
        hole_minor_min_mm=minor,
        hole_minor_max_mm=minor + item.number("hole_minor_tolerance_um") / 1000.0,
        hole_pitch_min_mm=pitch_diameter,
        hole_pitch_max_mm=pitch_diameter + item.number("hole_pitch_tolerance_um") / 1000.0,
        tap_drill_mm=item.number("tap_drill_mm"),
        tap_drill=f"{item.number('tap_drill_mm'):g} mm",
        stress_area_mm2=pi / 4.0 * ((pitch_diameter + root) / 2.0) ** 2,
        origin=item.origin,
    )


def _unified(item: Row) -> Thread:
    def mm(column: str) -> float:
        return item.number(column) * INCH_MM

    d, p = mm("major_in"), INCH_MM / item.number("threads_per_inch")
    return Thread(
        designation=item.text("designation"),
        size=item.text("designation").split("-")[0],
        system="unified",
        coarse=item.text("series") == "UNC",
        major_mm=d,
        pitch_mm=p,
        screw_major_max_mm=mm("screw_major_max_in"),
        screw_major_min_mm=mm("screw_major_min_in"),
        screw_pitch_max_mm=mm("screw_pitch_max_in"),
        screw_pitch_min_mm=mm("screw_pitch_min_in"),
        hole_minor_min_mm=mm("hole_minor_min_in"),
        hole_minor_max_mm=mm("hole_minor_max_in"),
        hole_pitch_min_mm=d - 0.375 * sqrt(3.0) * p,
        hole_pitch_max_mm=mm("hole_pitch_max_in"),
        tap_drill_mm=mm("tap_drill_in"),
        tap_drill=item.text("tap_drill"),
        stress_area_mm2=pi / 4.0 * (d - 9.0 * sqrt(3.0) / 16.0 * p) ** 2,
        origin=item.origin,
    )
