"""The head's pattern as a head piece of the user's own shows it, beside what other sources say of it."""

from dataclasses import replace

import numpy as np

from tractwright.design.pattern import Measurement, Pattern
from tractwright.design.records import HeadHole, Port
from tractwright.own.head_records import OwnHead, OwnHole

_SAME_HOLE_MM = 3.0


def pattern_of(own: OwnHead, thread_mm: float) -> Pattern:
    """The pattern where nothing else tells of it: threads guessed from the holes that their screws pass. thread_mm : full
    thread taken for the cylinder head's holes.
    """
    passed = sorted((hole for hole in own.head_holes if hole.use == "clearance"), key=lambda hole: hole.at_mm)
    holes = tuple(
        HeadHole(name=f"s{k}", bank=own.bank.name, at_mm=hole.at_mm, thread=hole.thread, depth_mm=thread_mm, stud=False)
        for k, hole in enumerate(passed, start=1)
    )
    return Pattern(banks=(own.bank,), ports=own.ports, head_holes=holes, notes=own.notes)


def pattern_with(own: OwnHead, pattern: Pattern) -> Pattern:
    """The pattern with the piece's own ports, for its metal is there, and how far it lies off what the others say."""
    by_name = {port.name: port for port in pattern.ports}
    apart = [
        item for port in own.ports if (known := by_name.get(port.name)) is not None for item in _port_apart(port, known)
    ]
    return replace(
        pattern,
        banks=(own.bank,),
        ports=own.ports,
        measurements=(*pattern.measurements, *apart),
        notes=(*pattern.notes, *own.notes),
    )


def hole_at(own: OwnHead, hole: HeadHole) -> OwnHole | None:
    """The piece's hole over a hole of the cylinder head; None where it has none there."""
    near = [(float(np.hypot(*np.subtract(item.at_mm, hole.at_mm))), k) for k, item in enumerate(own.head_holes)]
    away, index = min(near, default=(np.inf, 0))
    return own.head_holes[index] if away < _SAME_HOLE_MM else None


def _port_apart(own: Port, known: Port) -> list[Measurement]:
    """Place, width and height as the piece has them and as the others say."""
    pairs = [
        (f"{own.name} x", own.at_mm[0], known.at_mm[0]),
        (f"{own.name} y", own.at_mm[1], known.at_mm[1]),
        (f"{own.name} width", own.outline.width_mm, known.outline.width_mm),
        (f"{own.name} height", own.outline.height_mm, known.outline.height_mm),
    ]
    return [
        Measurement(
            what=f"{what} in the own piece",
            value=value,
            unit="mm",
            residual=0.0,
            sure=1.0,
            other_source=other,
            source="own piece",
            other="pattern",
        )
        for what, value, other in pairs
    ]
