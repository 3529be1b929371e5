"""The pattern as the sheet gives it: outline, places of ports and screws."""

import itertools

import numpy as np

from tractwright.design.records import HeadHole, Port
from tractwright.errors import Fault, SheetError
from tractwright.geometry.frames import vec3
from tractwright.geometry.outlines import Outline
from tractwright.job.sheet import JobSheet, PatternFacts, cylinders_of_row

BANK = "a"
BESIDE_PORT_MM = 14.0
"""Screws stand this far above and below the ports where the sheet does not say; judgement."""
SCREW_DEPTH_MM = 22.0
"""Full thread in the head where neither sheet nor scan says; judgement, as the sheet's own assumption."""


def outline_of(facts: PatternFacts) -> Outline:
    """The port's outline."""
    return Outline(
        kind=facts.port_shape,
        width_mm=facts.port_width_mm,
        height_mm=facts.port_width_mm if facts.port_shape == "circle" else facts.port_height_mm,
        corner_radius_mm=facts.port_corner_radius_mm,
        lower_corner_radius_mm=facts.port_lower_corner_radius_mm,
        points_mm=facts.port_points_mm,
    )


def port_places(facts: PatternFacts, count: int | None) -> tuple[tuple[float, float], ...]:
    """Where the sheet puts the ports: listed, or a regular row about the middle; () where it does not say."""
    if facts.port:
        return tuple(port.at_mm for port in facts.port)
    if facts.pitch_mm is None or count is None:
        return ()
    first = -facts.pitch_mm * (count - 1) / 2.0
    return tuple((first + facts.pitch_mm * i, 0.0) for i in range(count))


def cylinders_of(count: int, cylinders: int | None) -> tuple[tuple[int, ...], ...]:
    """Which cylinders each of count ports feeds: one each, two ports a cylinder, or one port for two."""
    if cylinders is None or count == cylinders:
        return tuple((i + 1,) for i in range(count))
    if count % cylinders == 0:
        return tuple((i // (count // cylinders) + 1,) for i in range(count))
    if cylinders % count == 0:
        each = cylinders // count
        return tuple(tuple(range(i * each + 1, (i + 1) * each + 1)) for i in range(count))
    return tuple((min(i + 1, cylinders),) for i in range(count))


def ports_of(sheet: JobSheet, facts: PatternFacts) -> tuple[Port, ...]:
    """The ports of a job without a scan. Raises SheetError where the sheet does not say where they are."""
    cylinders = cylinders_of_row(sheet)
    places = port_places(facts, cylinders)
    if not places:
        accepted = "[pattern] pitch with [engine] cylinders, or a list [[pattern.port]], or a [scan]"
        raise SheetError("job.toml", (Fault("pattern.pitch", "nothing", accepted),))
    listed = [port.cylinders for port in facts.port] or [()] * len(places)
    counted = cylinders_of(len(places), cylinders)
    rise = np.radians(facts.port_rise_deg)
    return tuple(
        Port(
            name=f"p{i + 1}",
            bank=BANK,
            cylinders=listed[i] or counted[i],
            at_mm=place,
            outline=outline_of(facts),
            turn_deg=facts.port_turn_deg,
            axis=vec3((0.0, np.sin(rise), np.cos(rise))),
        )
        for i, place in enumerate(places)
    )


def screw_places(facts: PatternFacts, ports: tuple[Port, ...]) -> tuple[tuple[float, float], ...]:
    """Listed screws, or rows above and below at the places between the ports and outside the first and last."""
    if facts.screw:
        return tuple(screw.at_mm for screw in facts.screw)
    rise = facts.screw_rise_mm
    if rise is None:
        rise = max(port.outline.height_mm for port in ports) / 2.0 + BESIDE_PORT_MM
    x = [port.at_mm[0] for port in ports]
    y = float(np.mean([port.at_mm[1] for port in ports]))
    step = (x[-1] - x[0]) / (len(x) - 1) if len(x) > 1 else ports[0].outline.width_mm + 2.0 * BESIDE_PORT_MM
    between = [(a + b) / 2.0 for a, b in itertools.pairwise(x)]
    columns = [x[0] - step / 2.0, *between, x[-1] + step / 2.0]
    return tuple((column, y + side * rise) for column in columns for side in (1.0, -1.0))


def head_holes_at(
    places: tuple[tuple[float, float], ...], thread: str, depth_mm: float, studs: tuple[bool, ...]
) -> tuple[HeadHole, ...]:
    """The head's holes, named along the row."""
    order = sorted(range(len(places)), key=lambda i: (round(places[i][0], 1), -places[i][1]))
    return tuple(
        HeadHole(
            name=f"s{n + 1}",
            bank=BANK,
            at_mm=(float(places[i][0]), float(places[i][1])),
            thread=thread,
            depth_mm=depth_mm,
            stud=studs[i] if studs else False,
        )
        for n, i in enumerate(order)
    )


def holes_of(facts: PatternFacts, ports: tuple[Port, ...]) -> tuple[HeadHole, ...]:
    """The head's holes of a job without a scan."""
    studs = tuple(screw.stud for screw in facts.screw)
    return head_holes_at(screw_places(facts, ports), facts.screw_thread, facts.screw_depth_mm, studs)
