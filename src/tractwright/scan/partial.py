"""Half a manifold: a scan that shows some ports of a row, the others laid out at the pitch of those it shows."""

from dataclasses import replace

import numpy as np

from tractwright.design.pattern import Measurement, ProbableHole
from tractwright.design.records import Port
from tractwright.errors import Fault, SheetError
from tractwright.geometry.frames import Frame
from tractwright.scan.facts import SCREW_DEPTH_MM, cylinders_of, head_holes_at
from tractwright.scan.measure import Measured

LAID_OUT = 0.3
"""How sure a port is that was not seen; judgement."""
SAME_MM = 2.0


def completed(measured: Measured, frame: Frame, shown: tuple[int, ...], cylinders: int) -> tuple[Measured, Frame]:
    """The whole row, and its frame: the origin is its middle again. shown : numbers of the ports that were seen, in order.

    The holes seen are mirrored about that middle; what comes of it is taken as probable. Raises SheetError where the
    numbers cannot be these ports.
    """
    count = len(measured.ports)
    if (
        len(shown) != count
        or list(shown) != list(range(shown[0], shown[0] + count))
        or shown[-1] > cylinders
        or count < 2
    ):
        accepted = f"{count} numbers in a row of 1 to {cylinders}: so many ports the scan shows"
        raise SheetError("job.toml", (Fault("scan.shows_ports", str(list(shown)), accepted),))
    x = np.array([port.at_mm[0] for port in measured.ports])
    pitch = float((x[-1] - x[0]) / (count - 1))
    middle = x[0] + pitch * ((cylinders + 1) / 2.0 - shown[0])
    moved = frame.moved((middle, 0.0, 0.0))
    seen = _shifted(measured, middle, shown[0])
    ports = tuple(_port(k, seen, shown, pitch, cylinders) for k in range(1, cylinders + 1))
    unseen = [port for port in ports if int(port.name[1:]) not in shown]
    figures = tuple(
        Measurement(what=f"port {port.name} {axis}", value=port.at_mm[i], unit="mm", residual=0.0, sure=LAID_OUT)
        for port in unseen
        for i, axis in enumerate("xy")
    )
    names = ", ".join(port.name for port in unseen)
    note = (
        f"the scan shows {count} of {cylinders} ports: {names} laid out at the pitch of {pitch:.2f} mm, holes mirrored"
    )
    whole = replace(seen, ports=ports, measurements=(*seen.measurements, *figures), notes=(*seen.notes, note))
    return _mirrored_holes(whole), moved


def _shifted(measured: Measured, middle: float, first: int) -> Measured:
    """The pattern about another origin, its ports named by their numbers in the whole row."""
    names = {port.name: f"p{first + i}" for i, port in enumerate(measured.ports)}
    ports = tuple(
        replace(port, name=names[port.name], at_mm=(port.at_mm[0] - middle, port.at_mm[1])) for port in measured.ports
    )
    holes = tuple(replace(hole, at_mm=(hole.at_mm[0] - middle, hole.at_mm[1])) for hole in measured.holes)
    figures = tuple(_figure(figure, names, middle) for figure in measured.measurements)
    throttle = measured.throttle
    if throttle is not None:
        x, y, z = throttle.frame.origin_mm
        throttle = replace(throttle, frame=replace(throttle.frame, origin_mm=(x - middle, y, z)))
    return replace(measured, ports=ports, holes=holes, measurements=figures, throttle=throttle)


def _figure(figure: Measurement, names: dict[str, str], middle: float) -> Measurement:
    words = figure.what.split(" ")
    if words[0] == "port":
        words[1] = names[words[1]]
    value = figure.value - middle if words[-1] == "x" else figure.value
    return replace(figure, what=" ".join(words), value=value)


def _port(number: int, seen: Measured, shown: tuple[int, ...], pitch: float, cylinders: int) -> Port:
    if number in shown:
        port = seen.ports[number - shown[0]]
    else:
        nearest = seen.ports[0] if number < shown[0] else seen.ports[-1]
        away = pitch * (number - (shown[0] if number < shown[0] else shown[-1]))
        port = replace(nearest, name=f"p{number}", at_mm=(nearest.at_mm[0] + away, nearest.at_mm[1]))
    return replace(port, cylinders=cylinders_of(cylinders, cylinders)[number - 1])


def _mirrored_holes(measured: Measured) -> Measured:
    """Mirror images of the holes that fall where no hole was seen, taken as probable; all named anew along the row."""
    seen = measured.holes
    if not seen:
        return measured
    added: list[ProbableHole] = []
    for hole in seen:
        x, y = -hole.at_mm[0], hole.at_mm[1]
        if all(np.hypot(x - other.at_mm[0], y - other.at_mm[1]) > SAME_MM for other in seen):
            added.append(ProbableHole(at_mm=(x, y), why=f"mirror image of {hole.name}", seen=0.0, taken=True))
    places = (*(hole.at_mm for hole in seen), *(item.at_mm for item in added))
    holes = head_holes_at(
        places, seen[0].thread, SCREW_DEPTH_MM, (*(hole.stud for hole in seen), *[False] * len(added))
    )
    new = {hole.at_mm: hole.name for hole in holes}
    names = {hole.name: new[hole.at_mm] for hole in seen}
    figures = tuple(
        replace(item, what=" ".join(["hole", names[item.what.split(" ")[1]], *item.what.split(" ")[2:]]))
        if item.what.startswith("hole ")
        else item
        for item in measured.measurements
    )
    return replace(measured, holes=holes, measurements=figures, probable=(*measured.probable, *added))
