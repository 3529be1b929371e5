"""What only shows when two keys are read together. Each check yields (key, given, accepted)."""

from collections.abc import Callable, Iterator
from math import hypot

from tractwright.errors import TableError
from tractwright.job.lines import KeyPath
from tractwright.job.sheet import JobSheet
from tractwright.job.space_tables import PatternFacts
from tractwright.standards.cords import cord_sections
from tractwright.standards.threads import thread

CrossFault = tuple[KeyPath, str, str]


def cross_faults(sheet: JobSheet) -> Iterator[CrossFault]:
    """Every fault that needs more than one key."""
    for check in _CHECKS:
        yield from check(sheet)


def _pattern_or_scan(sheet: JobSheet) -> Iterator[CrossFault]:
    if sheet.pattern is None and sheet.scan is None:
        yield ("pattern",), "neither a [pattern] nor a [scan]", "one of the two: where are the ports?"


def _engine_or_sizes(sheet: JobSheet) -> Iterator[CrossFault]:
    if sheet.engine is None:
        for key, value in (("length", sheet.runner.length_mm), ("bore", sheet.runner.bore_mm)):
            if value is None:
                yield ("runner", key), "nothing, and no [engine]", "a length: without an engine it cannot be solved"


def _ports_are_placed(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern = sheet.pattern
    if pattern is None or pattern.port or sheet.scan is not None:
        return
    if pattern.pitch_mm is None:
        yield ("pattern", "pitch"), "nothing", "a pitch for a regular row, or [[pattern.port]] tables"
    elif sheet.engine is None:
        yield ("pattern", "port"), "a pitch, but no [engine] to count cylinders", "[[pattern.port]] tables"


def _port_count(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern, engine = sheet.pattern, sheet.engine
    if pattern is not None and engine is not None and pattern.port and len(pattern.port) != engine.cylinders:
        if not any(port.cylinders for port in pattern.port):
            accepted = f"{engine.cylinders} ports, or `cylinders` in each [[pattern.port]]"
            yield ("pattern", "port"), f"{len(pattern.port)} ports for {engine.cylinders} cylinders", accepted


def _ports_apart(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern = sheet.pattern
    if pattern is None:
        return
    if pattern.pitch_mm is not None and pattern.pitch_mm <= pattern.port_width_mm:
        accepted = f"more than the port's width, {pattern.port_width_mm:g} mm"
        yield ("pattern", "pitch"), f"{pattern.pitch_mm:g} mm", accepted
    places = [port.at_mm for port in pattern.port]
    for i, a in enumerate(places):
        for b in places[:i]:
            if (
                hypot(a[0] - b[0], a[1] - b[1]) < pattern.port_width_mm * 0.8
                and abs(a[0] - b[0]) < pattern.port_width_mm
            ):
                yield ("pattern", "port", i, "at"), f"({a[0]:g}, {a[1]:g})", "a place clear of the other ports"


def _screws_outside_ports(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern = sheet.pattern
    if pattern is None:
        return
    if pattern.screw_rise_mm is not None and pattern.screw_rise_mm < pattern.port_height_mm / 2 and not pattern.screw:
        accepted = f"more than half the port's height, {pattern.port_height_mm / 2:g} mm"
        yield ("pattern", "screw_rise"), f"{pattern.screw_rise_mm:g} mm", accepted
    for i, screw in enumerate(pattern.screw):
        for x, y in _port_places(sheet, pattern):
            dx, dy = abs(screw.at_mm[0] - x), abs(screw.at_mm[1] - y)
            if dx < pattern.port_width_mm / 2 and dy < pattern.port_height_mm / 2:
                given = f"({screw.at_mm[0]:g}, {screw.at_mm[1]:g}), inside a port"
                yield ("pattern", "screw", i, "at"), given, "a place outside every port"


def _screws_given(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern = sheet.pattern
    if pattern is not None and sheet.scan is None and pattern.screw_rise_mm is None and not pattern.screw:
        yield ("pattern", "screw_rise"), "nothing", "screw_rise for regular rows, or [[pattern.screw]] tables"


def _firing_order(sheet: JobSheet) -> Iterator[CrossFault]:
    engine = sheet.engine
    if engine is not None and sorted(engine.firing_order) != list(range(1, engine.cylinders + 1)):
        given = ", ".join(str(number) for number in engine.firing_order)
        yield ("engine", "firing_order"), given, f"each of 1 to {engine.cylinders} once"


def _valves_fit(sheet: JobSheet) -> Iterator[CrossFault]:
    engine = sheet.engine
    if engine is None:
        return
    taken = (
        engine.intake_valves * engine.intake_valve_mm**2 + engine.exhaust_valves * engine.exhaust_valve_mm**2
    ) ** 0.5
    if taken > engine.bore_mm:
        given = f"{engine.intake_valves} of {engine.intake_valve_mm:g} mm"
        yield ("engine", "intake_valve"), given, f"valves that fit a bore of {engine.bore_mm:g} mm"


def _revs(sheet: JobSheet) -> Iterator[CrossFault]:
    engine = sheet.engine
    if engine is not None and engine.highest_rpm <= engine.wanted_peak_rpm:
        accepted = f"more than the wanted peak, {engine.wanted_peak_rpm:g}"
        yield ("engine", "highest"), f"{engine.highest_rpm:g} rpm", accepted


def _rod(sheet: JobSheet) -> Iterator[CrossFault]:
    engine = sheet.engine
    if engine is not None and engine.rod_length_mm < 1.1 * engine.stroke_mm:
        yield ("engine", "rod_length"), f"{engine.rod_length_mm:g} mm", "at least 1.1 x the stroke"


def _loop_has_points(sheet: JobSheet) -> Iterator[CrossFault]:
    pattern = sheet.pattern
    if pattern is not None and pattern.port_shape == "loop" and len(pattern.port_points_mm) < 3:
        given = f"{len(pattern.port_points_mm)} points"
        yield ("pattern", "port_points"), given, "at least three points, counter-clockwise"


def _boxes(sheet: JobSheet) -> Iterator[CrossFault]:
    for i, item in enumerate(sheet.room.box):
        if any(low >= high for low, high in zip(item.low_mm, item.high_mm, strict=True)):
            yield ("room", "box", i, "low"), str(item.low_mm), "each of low below the same of high"


def _normals(sheet: JobSheet) -> Iterator[CrossFault]:
    for i, item in enumerate(sheet.room.plane):
        if not any(item.normal):
            yield ("room", "plane", i, "normal"), "0, 0, 0", "a direction"
    if sheet.plenum.direction is not None and not any(sheet.plenum.direction):
        yield ("plenum", "direction"), "0, 0, 0", "a direction"


def _threads(sheet: JobSheet) -> Iterator[CrossFault]:
    named = [(("joint", "thread"), sheet.joint.thread), (("throttle", "hole_thread"), sheet.throttle.hole_thread)]
    if sheet.pattern is not None:
        named.append((("pattern", "screw_thread"), sheet.pattern.screw_thread))
    for key, name in named:
        try:
            thread(name)
        except TableError as found:
            yield key, repr(name), ", ".join(found.accepted[:12])


def _cord(sheet: JobSheet) -> Iterator[CrossFault]:
    held = cord_sections()
    if min(abs(section - sheet.joint.cord_mm) for section in held) > 1e-6:
        yield ("joint", "cord"), f"{sheet.joint.cord_mm:g} mm", ", ".join(f"{section:g}" for section in held)


def _port_places(sheet: JobSheet, pattern: PatternFacts) -> list[tuple[float, float]]:
    if pattern.port:
        return [port.at_mm for port in pattern.port]
    if pattern.pitch_mm is None or sheet.engine is None:
        return []
    middle = (sheet.engine.cylinders - 1) / 2
    return [((k - middle) * pattern.pitch_mm, 0.0) for k in range(sheet.engine.cylinders)]


_CHECKS: tuple[Callable[[JobSheet], Iterator[CrossFault]], ...] = (
    _pattern_or_scan,
    _engine_or_sizes,
    _ports_are_placed,
    _port_count,
    _ports_apart,
    _screws_outside_ports,
    _screws_given,
    _firing_order,
    _valves_fit,
    _revs,
    _rod,
    _loop_has_points,
    _boxes,
    _normals,
    _threads,
    _cord,
)
