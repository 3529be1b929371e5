"""Holes that a scan hardly shows: found by what is left of them, taken as probable, or said not to be there."""

from dataclasses import replace

import numpy as np

from tractwright.design.pattern import Measurement, ProbableHole
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.meshes import Mesh
from tractwright.scan.faces import HeadFace
from tractwright.scan.holes import with_hole
from tractwright.scan.left_on import Stud
from tractwright.scan.measure import Measured
from tractwright.scan.remains import Remains, remains_at
from tractwright.scan.symmetry import Expected, expected_places

STUD_IN_HOLE_MM = 3.0
STUD_SURE = 0.6
"""A stud may lean in its hole: how sure it marks the hole's middle; judgement."""
SEEN = 0.5
"""Where less than this share is seen, a hole may hide; judgement, as the rule pattern.hole_missing has it."""


def with_missing(measured: Measured, mesh: Mesh, head: HeadFace, frame: Frame) -> Measured:
    """The pattern with the holes that mirror and pitch ask for and the scan does not rule out, each of them said."""
    holes = measured.holes
    if not holes:
        return measured
    diameter = float(np.median([figure.value for figure in measured.measurements if _is_hole_diameter(figure)]))
    ports = np.array([port.at_mm[0] for port in measured.ports])
    asked = expected_places(np.array([hole.at_mm for hole in holes]), tuple(hole.name for hole in holes), ports)
    for place in asked:
        there = head.cut.frame.to_local(frame.to_world(place.at_mm))[:2]
        measured = _taken(measured, place, remains_at(mesh, head.cut, there, diameter), head, frame)
    return measured


def with_studs(measured: Measured, studs: tuple[Stud, ...], head: HeadFace, frame: Frame) -> Measured:
    """Studs left in the part mark screws: holes found round them are studs, others are holes that they hide."""
    for stud in studs:
        x, y = (float(value) for value in frame.to_local(head.cut.frame.to_world(stud.at_mm))[:2])
        said = f"a stud of {stud.diameter_mm:.1f} mm was left on at x {x:.1f}, y {y:.1f}: its hole is taken there"
        measured = replace(measured, notes=(*measured.notes, said))
        near = [hole for hole in measured.holes if np.hypot(hole.at_mm[0] - x, hole.at_mm[1] - y) < STUD_IN_HOLE_MM]
        if near:
            holes = tuple(replace(hole, stud=hole.stud or hole is near[0]) for hole in measured.holes)
            measured = replace(measured, holes=holes)
        elif measured.holes:
            grown, added = with_hole(measured, (x, y))
            figures = tuple(
                Measurement(what=f"hole {added.name} {axis}", value=value, unit="mm", residual=0.3, sure=STUD_SURE)
                for axis, value in (("x", x), ("y", y))
            )
            holes = tuple(replace(hole, stud=hole.stud or hole.name == added.name) for hole in grown.holes)
            measured = replace(grown, holes=holes, measurements=(*grown.measurements, *figures))
    return measured


def _is_hole_diameter(figure: Measurement) -> bool:
    return figure.what.startswith("hole ") and figure.what.endswith(" diameter")


def _taken(measured: Measured, place: Expected, found: Remains, head: HeadFace, frame: Frame) -> Measured:
    if found.rim_share > 0.0:
        at = frame.to_local(head.cut.frame.to_world(found.rim_at))[:2]
        return _with_rim(measured, at, found)
    said = ProbableHole(at_mm=_pair(place.at_mm), why=place.why, seen=found.seen, taken=found.seen < SEEN)
    measured = replace(measured, probable=(*measured.probable, said), notes=(*measured.notes, _words(said, found)))
    return with_hole(measured, said.at_mm)[0] if said.taken else measured


def _pair(at: Array) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def _words(said: ProbableHole, found: Remains) -> str:
    place = f"x {said.at_mm[0]:.1f}, y {said.at_mm[1]:.1f} ({said.why})"
    if said.taken:
        return f"a hole is probably missing at {place}: the scan does not show what is there; it is taken as a screw"
    if found.closed > found.edge:
        return f"no hole at {place}, where the pattern would repeat itself: the scan shows closed metal there"
    return f"no hole at {place}, where the pattern would repeat itself: the old part's flange ends before it"


def _with_rim(measured: Measured, at: Array, found: Remains) -> Measured:
    """A hole whose rim is only seen in part: less sure, the less of it is seen."""
    grown, hole = with_hole(measured, _pair(at))
    values = (("x", at[0]), ("y", at[1]), ("diameter", found.rim_mm))
    figures = tuple(
        Measurement(what=f"hole {hole.name} {what}", value=float(v), unit="mm", residual=0.3, sure=found.rim_share)
        for what, v in values
    )
    said = f"hole {hole.name} was found by {100.0 * found.rim_share:.0f} % of its rim, where the pattern repeats itself"
    return replace(grown, measurements=(*grown.measurements, *figures), notes=(*grown.notes, said))
