"""Screws, threads, cords: that the tables know them and that they stand where they can."""

from collections.abc import Iterator
from math import dist, hypot

from shapely import Point

from tractwright.errors import TableError
from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.cross_checks.ports import PORT_KEYS, loop_is_sound, port_places, shape_at
from tractwright.job.lines import KeyPath
from tractwright.job.sheet import JobSheet
from tractwright.standards.cords import cord_sections
from tractwright.standards.screws import head_sizes, screw_head
from tractwright.standards.threads import thread, threads


def screws_given(sheet: JobSheet) -> Iterator[CrossFault]:
    """A pattern without a scan places its screws."""
    pattern = sheet.pattern
    if (
        pattern is not None
        and sheet.scan is None
        and not sheet.gasket
        and pattern.screw_rise_mm is None
        and not pattern.screw
    ):
        yield ("pattern", "screw_rise"), "nothing", 'rows of screws, such as "34 mm", or [[pattern.screw]] tables'


def screw_threads_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """Threads that carry our screws have a head in the tables."""
    named: list[tuple[KeyPath, str]] = [(("joint", "thread"), sheet.joint.thread)]
    if sheet.pattern is not None:
        named.append((("pattern", "screw_thread"), sheet.pattern.screw_thread))
    for key, name in named:
        try:
            screw_head("cap", name)
        except TableError:
            known = [item.designation for item in threads() if item.size in head_sizes("cap")]
            yield key, f'"{name}"', f"a thread with a cap screw in the tables: {', '.join(known)}"


def body_thread_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """The thread of the throttle body's holes is in the tables."""
    try:
        thread(sheet.throttle.hole_thread)
    except TableError:
        known = ", ".join(item.designation for item in threads())
        yield ("throttle", "hole_thread"), f'"{sheet.throttle.hole_thread}"', f"a thread in the tables: {known}"


def cord_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """The seal's cord has a groove in the tables."""
    sections = cord_sections()
    if min(abs(section - sheet.joint.cord_mm) for section in sections) > 1e-6:
        known = ", ".join(f"{section:g}" for section in sections)
        yield ("joint", "cord"), f"{sheet.joint.cord_mm:g} mm", f"a section in the tables: {known} mm"


def screws_clear_of_ports(sheet: JobSheet) -> Iterator[CrossFault]:
    """No head screw's hole reaches into a port."""
    pattern = sheet.pattern
    if pattern is None or not loop_is_sound(pattern):
        return
    radius = _thread_radius(pattern.screw_thread)
    ports = [shape_at(pattern, place) for place in port_places(sheet)]
    for i, screw in enumerate(pattern.screw):
        cut = [k for k, port in enumerate(ports, start=1) if port.distance(Point(screw.at_mm)) < radius]
        if cut:
            x, y = screw.at_mm
            yield ("pattern", "screw", i, "at"), f"[{x:g}, {y:g}], in port {cut[0]}", "a place outside every port"
    if pattern.screw or pattern.screw_rise_mm is None or len(ports) < 2 or pattern.port:
        return
    column = Point((port_places(sheet)[0][0] + port_places(sheet)[1][0]) / 2, pattern.screw_rise_mm)
    if ports[0].distance(column) < radius:
        given = f"{pattern.screw_rise_mm:g} mm, which puts screws into the ports"
        yield ("pattern", "screw_rise"), given, "rows clear of the ports"


def screws_apart(sheet: JobSheet) -> Iterator[CrossFault]:
    """No two head screws stand in the same place."""
    pattern = sheet.pattern
    if pattern is None:
        return
    least = 2 * _thread_radius(pattern.screw_thread)
    for i, screw in enumerate(pattern.screw):
        near = [k for k, other in enumerate(pattern.screw[:i], start=1) if dist(screw.at_mm, other.at_mm) < least]
        if near:
            x, y = screw.at_mm
            accepted = f"a place at least {least:g} mm from screw {near[0]}"
            yield ("pattern", "screw", i, "at"), f"[{x:g}, {y:g}]", accepted


def body_holes_outside_bore(sheet: JobSheet) -> Iterator[CrossFault]:
    """The throttle body's holes stand outside its bore."""
    throttle = sheet.throttle
    if throttle.hole_pitch_mm is None:
        return
    along, across = throttle.hole_pitch_mm
    least = throttle.bore_mm / 2 + _thread_radius(throttle.hole_thread)
    if min(along, across) <= 0 or hypot(along, across) / 2 < least:
        accepted = f"distances that keep the holes outside a bore of {throttle.bore_mm:g} mm"
        yield ("throttle", "hole_pitch"), f"[{along:g}, {across:g}]", accepted


def _thread_radius(name: str) -> float:
    """Half a thread's diameter [mm]; 0 for one the tables do not know, which is a fault of its own."""
    try:
        return thread(name).major_mm / 2
    except TableError:
        return 0.0


CHECKS = (
    CrossCheck(("pattern.screw_rise", "pattern.screw", "scan", "gasket"), screws_given),
    CrossCheck(("joint.thread", "pattern.screw_thread"), screw_threads_known),
    CrossCheck(("throttle.hole_thread",), body_thread_known),
    CrossCheck(("joint.cord",), cord_known),
    CrossCheck((*PORT_KEYS, "pattern.screw", "pattern.screw_rise", "pattern.screw_thread"), screws_clear_of_ports),
    CrossCheck(("pattern.screw", "pattern.screw_thread"), screws_apart),
    CrossCheck(("throttle.bore", "throttle.hole_pitch", "throttle.hole_thread"), body_holes_outside_bore),
)
