"""Ports: that there are any, that they fit the cylinders and each other, that an outline is one."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from shapely import Polygon

from tractwright.geometry.contours import polyline
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet, cylinders_of_row
from tractwright.job.space_tables import PatternFacts

_LOOP_FIT_MM = 1.0
"""How far the points of a loop may stray from the port's width and height."""
_SIZE_KEYS = ("pattern.port_shape", "pattern.port_width", "pattern.port_height", "pattern.port_corner_radius")
_OUTLINE_KEYS = (*_SIZE_KEYS, "pattern.port_lower_corner_radius", "pattern.port_points", "pattern.port_turn")
_SAME_PITCH_MM = 0.5  # as far as sources of the pattern may disagree
_PLACE_KEYS = ("engine.cylinders", "bank.cylinders", "pattern.pitch", "pattern.port")
PORT_KEYS = (*_OUTLINE_KEYS, *_PLACE_KEYS)
"""All that decides where the ports' edges are."""


def port_places(sheet: JobSheet) -> list[tuple[float, float]]:
    """Middles of the ports that the sheet gives, listed or in a regular row [mm]; none where the scan gives them."""
    pattern, count = sheet.pattern, cylinders_of_row(sheet)
    if pattern is None:
        return []
    if pattern.port:
        return [port.at_mm for port in pattern.port]
    if pattern.pitch_mm is None or count is None:
        return []
    middle = (count - 1) / 2
    return [((k - middle) * pattern.pitch_mm, 0.0) for k in range(count)]


def port_shape(pattern: PatternFacts) -> Polygon:
    """A port's outline about its own middle, turned."""
    height = pattern.port_width_mm if pattern.port_shape == "circle" else pattern.port_height_mm
    outline = Outline(
        kind=pattern.port_shape,
        width_mm=pattern.port_width_mm,
        height_mm=height,
        corner_radius_mm=pattern.port_corner_radius_mm,
        lower_corner_radius_mm=pattern.port_lower_corner_radius_mm,
        points_mm=pattern.port_points_mm,
    )
    turn = np.radians(pattern.port_turn_deg)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return Polygon(polyline(outline_contour(outline)) @ matrix)


def shape_at(pattern: PatternFacts, place: tuple[float, float]) -> Polygon:
    """A port's outline where it stands on the head face."""
    points = np.asarray(port_shape(pattern).exterior.coords) + np.array(place)
    return Polygon(points)


def loop_is_sound(pattern: PatternFacts) -> bool:
    """Whether a port has an outline: any but a loop that goes through too few points or crosses itself."""
    return pattern.port_shape != "loop" or (
        len(pattern.port_points_mm) >= 3 and Polygon(pattern.port_points_mm).is_valid
    )


def pattern_or_scan(sheet: JobSheet) -> Iterator[CrossFault]:
    """Something says where the ports are."""
    if sheet.pattern is None and sheet.scan is None and not sheet.gasket and not sheet.piece:
        given = "neither a [pattern] nor a [scan] nor a [[gasket]]"
        yield ("pattern",), given, "one of them, or a head piece as [[piece]]: where are the ports?"


def ports_are_placed(sheet: JobSheet) -> Iterator[CrossFault]:
    """A pattern without a scan places its ports."""
    pattern = sheet.pattern
    if pattern is None or pattern.port or sheet.scan is not None or sheet.gasket or sheet.piece:
        return
    if pattern.pitch_mm is None:
        yield ("pattern", "pitch"), "nothing", 'a pitch for a regular row, such as "94 mm", or [[pattern.port]] tables'
    elif cylinders_of_row(sheet) is None:
        yield ("pattern", "pitch"), "a pitch, but no [engine] to count cylinders", "[[pattern.port]] tables, one a port"


def one_pitch(sheet: JobSheet) -> Iterator[CrossFault]:
    """A pitch beside listed ports, one a cylinder, is theirs."""
    pattern = sheet.pattern
    if pattern is None or pattern.pitch_mm is None or len(pattern.port) != cylinders_of_row(sheet):
        return
    row = sorted(port.at_mm[0] for port in pattern.port)
    off = [b - a for a, b in pairwise(row) if abs(b - a - pattern.pitch_mm) > _SAME_PITCH_MM]
    if off:
        given = f"{pattern.pitch_mm:g} mm, beside ports that stand {off[0]:g} mm apart"
        yield ("pattern", "pitch"), given, "the pitch of those ports, or no pitch"


def port_count(sheet: JobSheet) -> Iterator[CrossFault]:
    """Listed ports share out evenly over the cylinders of their row, or say which they feed."""
    pattern, cylinders = sheet.pattern, cylinders_of_row(sheet)
    if pattern is None or cylinders is None or not pattern.port or any(port.cylinders for port in pattern.port):
        return
    count = len(pattern.port)
    if count % cylinders and cylinders % count:
        accepted = f"{cylinders} ports, a multiple or a fraction of that, or `cylinders` in each [[pattern.port]]"
        yield ("pattern", "port"), f"{count} ports for {cylinders} cylinders", accepted


def fed_cylinders(sheet: JobSheet) -> Iterator[CrossFault]:
    """Where ports say which cylinders they feed, all say it, and each cylinder is fed."""
    pattern, engine = sheet.pattern, sheet.engine
    if pattern is None or engine is None or sheet.bank or not any(port.cylinders for port in pattern.port):
        return
    numbers = set(range(1, engine.cylinders + 1))
    for i, port in enumerate(pattern.port):
        if not port.cylinders or not set(port.cylinders) <= numbers:
            given = str(list(port.cylinders)) if port.cylinders else "nothing, though another port says it"
            yield ("pattern", "port", i, "cylinders"), given, f"cylinder numbers from 1 to {engine.cylinders}"
    missing = numbers - {number for port in pattern.port for number in port.cylinders}
    if missing:
        given = "no port for cylinder " + ", ".join(str(number) for number in sorted(missing))
        yield ("pattern", "port"), given, "a port for every cylinder"


def bore_below_pitch(sheet: JobSheet) -> Iterator[CrossFault]:
    """One port a cylinder in a regular row: neighbouring cylinders stand as far apart, so the bore is less."""
    pattern, engine = sheet.pattern, sheet.engine
    if pattern is None or engine is None or pattern.port or pattern.pitch_mm is None or cylinders_of_row(sheet) == 1:
        return
    if engine.bore_mm >= pattern.pitch_mm:
        accepted = f"more than the cylinder bore, {engine.bore_mm:g} mm"
        yield ("pattern", "pitch"), f"{pattern.pitch_mm:g} mm", accepted


def ports_apart(sheet: JobSheet) -> Iterator[CrossFault]:
    """No two ports touch."""
    pattern = sheet.pattern
    if pattern is None or not loop_is_sound(pattern):
        return
    shapes = [shape_at(pattern, place) for place in port_places(sheet)]
    if not pattern.port:
        if len(shapes) > 1 and shapes[0].intersects(shapes[1]):
            left, _, right, _ = shapes[0].bounds
            accepted = f"more than a port takes along the row, {right - left:.4g} mm at most"
            yield ("pattern", "pitch"), f"{pattern.pitch_mm:g} mm", accepted
        return
    for i, shape in enumerate(shapes):
        touched = [j + 1 for j, other in enumerate(shapes[:i]) if shape.intersects(other)]
        if touched:
            x, y = pattern.port[i].at_mm
            accepted = f"a place clear of port {', '.join(str(number) for number in touched)}"
            yield ("pattern", "port", i, "at"), f"[{x:g}, {y:g}]", accepted


def loop_has_points(sheet: JobSheet) -> Iterator[CrossFault]:
    """A loop goes through its points, once, counter-clockwise, as wide and as high as the port is said to be."""
    pattern = sheet.pattern
    if pattern is None:
        return
    points, key = pattern.port_points_mm, ("pattern", "port_points")
    if pattern.port_shape != "loop":
        if points:
            yield (
                key,
                f"{len(points)} points, and port_shape {pattern.port_shape}",
                'points only with port_shape = "loop"',
            )
    elif len(points) < 3:
        yield key, f"{len(points)} points", "at least three points [x, y], counter-clockwise"
    elif not Polygon(points).is_valid:
        yield key, "a loop that crosses or touches itself", "points in order round the port"
    elif not Polygon(points).exterior.is_ccw:
        yield key, "points in clockwise order", "points in counter-clockwise order, seen from in front of the head"


def loop_as_large_as_said(sheet: JobSheet) -> Iterator[CrossFault]:
    """Width and height of a loop are those of its points."""
    pattern = sheet.pattern
    if pattern is None or pattern.port_shape != "loop" or len(pattern.port_points_mm) < 3:
        return
    spans = np.ptp(np.array(pattern.port_points_mm), axis=0)
    for key, said, span in (("width", pattern.port_width_mm, spans[0]), ("height", pattern.port_height_mm, spans[1])):
        if f"port_{key}_mm" in pattern.model_fields_set and abs(said - span) > _LOOP_FIT_MM:
            yield ("pattern", f"port_{key}"), f"{said:g} mm", f"the {key} of port_points, {span:.4g} mm"


def sizes_of_a_circle(sheet: JobSheet) -> Iterator[CrossFault]:
    """A circle is as high as wide."""
    pattern = sheet.pattern
    if pattern is None or pattern.port_shape != "circle":
        return
    if abs(pattern.port_height_mm - pattern.port_width_mm) > 1e-6:
        accepted = f"nothing, or the diameter, {pattern.port_width_mm:g} mm"
        yield ("pattern", "port_height"), f"{pattern.port_height_mm:g} mm, for a circle", accepted


def corners_in_port(sheet: JobSheet) -> Iterator[CrossFault]:
    """A corner's radius is at most half the port's lesser side; a d's two radii together at most its height."""
    pattern = sheet.pattern
    if pattern is None or pattern.port_shape not in ("rounded_rectangle", "d"):
        return
    width, height = pattern.port_width_mm, pattern.port_height_mm
    upper, lower = pattern.port_corner_radius_mm, pattern.port_lower_corner_radius_mm
    if pattern.port_shape == "rounded_rectangle":
        if upper > min(width, height) / 2:
            yield (
                ("pattern", "port_corner_radius"),
                f"{upper:g} mm",
                f"at most {min(width, height) / 2:g} mm in this port",
            )
        return
    for key, radius in (("port_corner_radius", upper), ("port_lower_corner_radius", lower)):
        if radius > width / 2:
            yield ("pattern", key), f"{radius:g} mm", f"at most half the port's width, {width / 2:g} mm"
    if upper + lower > height:
        given = f"{upper:g} mm above and {lower:g} mm below"
        yield ("pattern", "port_corner_radius"), given, f"radii that share the port's height, {height:g} mm"


CHECKS = (
    CrossCheck(("pattern", "scan", "gasket"), pattern_or_scan),
    CrossCheck(("pattern.pitch", "pattern.port", "engine", "bank", "scan", "gasket"), ports_are_placed),
    CrossCheck(_PLACE_KEYS, one_pitch),
    CrossCheck(("pattern.port", "engine.cylinders", "bank.cylinders"), port_count),
    CrossCheck(("pattern.port", "engine.cylinders", "bank"), fed_cylinders),
    CrossCheck(("engine.bore", *_PLACE_KEYS), bore_below_pitch),
    CrossCheck(PORT_KEYS, ports_apart),
    CrossCheck(("pattern.port_shape", "pattern.port_points"), loop_has_points),
    CrossCheck(
        ("pattern.port_shape", "pattern.port_points", "pattern.port_width", "pattern.port_height"),
        loop_as_large_as_said,
    ),
    CrossCheck(("pattern.port_shape", "pattern.port_width", "pattern.port_height"), sizes_of_a_circle),
    CrossCheck((*_SIZE_KEYS, "pattern.port_lower_corner_radius"), corners_in_port),
)
