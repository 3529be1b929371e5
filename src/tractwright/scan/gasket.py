"""A gasket's pattern in the job frame, and what it says beside another source."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from tractwright.design.pattern import Measurement, ProbableHole
from tractwright.design.records import Port
from tractwright.geometry.frames import Array
from tractwright.job.source_tables import Gasket
from tractwright.scan.agree import DIFFER_MM
from tractwright.scan.clean import MILLIMETRES
from tractwright.scan.drawn_gasket import drawn_loops
from tractwright.scan.facts import BANK, SCREW_DEPTH_MM, cylinders_of, head_holes_at
from tractwright.scan.loops import FlatPattern, flat_pattern
from tractwright.scan.measure import Measured, one_outline, thread_for
from tractwright.scan.pictured_gasket import pictured_loops
from tractwright.scan.shapes import FittedShape, least_turn

BELONGS_MM = 8.0
"""A feature of another source this near is the same one; judgement."""
SURE_DRAWN, SURE_PICTURED = 0.9, 0.8
"""How far a gasket's drawing and picture are believed; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Laying:
    """How the gasket is laid on the head: origin (2,), axes (2, 2) as rows, and -1 where it was seen from its back."""

    origin: Array
    axes: Array
    side: float

    def place(self, at: Array) -> tuple[float, float]:
        """Its own coordinates in the job's x-y."""
        x, y = self.axes @ (at * [self.side, 1.0] - self.origin)
        return float(x), float(y)

    def turn(self, turn: float) -> float:
        """A turn [rad] of its own in the job's x-y."""
        return self.side * turn - float(np.arctan2(self.axes[0, 1], self.axes[0, 0]))


def gasket_pattern(facts: Gasket, folder: Path, cylinders: int | None) -> Measured:
    """The pattern that a gasket shows, in the job frame. Raises ScanError where it shows none."""
    path = folder / facts.file
    if facts.file.lower().endswith(".dxf"):
        loops, notes = drawn_loops(path, MILLIMETRES[facts.unit] if facts.unit else None)
        sure = SURE_DRAWN
    else:
        pictured = pictured_loops(path, facts)
        loops, notes, sure = pictured.loops, pictured.notes, SURE_PICTURED
    flat = flat_pattern(loops, cylinders, facts.file)

    def figure(what: str, value: float, shape: FittedShape) -> Measurement:
        return Measurement(
            what=what, value=value, unit="mm", residual=shape.residual_mm, sure=sure, source=f"gasket {facts.file}"
        )

    sizes = (f"{s.outline.width_mm:.1f} x {s.outline.height_mm:.1f} mm" for s in flat.others)
    said = tuple(f"{facts.file}: a further opening of {size}: keep, move or drop it" for size in sizes)
    laid = _laid(flat, _laying(flat, facts), cylinders, figure)
    return replace(laid, notes=(*notes, *said))


def _laying(flat: FlatPattern, facts: Gasket) -> _Laying:
    """The row of ports level, its middle the origin, port 1 first."""
    side = -1.0 if facts.seen_from == "back" else 1.0
    features = flat.ports if len(flat.ports) > 1 else (*flat.ports, *flat.holes)
    points = np.array([shape.centre_mm for shape in features]) * [side, 1.0]
    row = np.linalg.svd(points - points.mean(axis=0))[2][0] if len(points) > 1 else np.array([1.0, 0.0])
    row = row * (np.sign(row[0]) if abs(row[0]) > 1e-3 else np.sign(row[1]))
    if (facts.port_1 == "left") == (side < 0.0):
        row = -row
    ports = points[: len(flat.ports)]
    along = ports @ row
    middle = (ports[int(np.argmin(along))] + ports[int(np.argmax(along))]) / 2.0
    return _Laying(origin=middle, axes=np.array([row, [-row[1], row[0]]]), side=side)


def _laid(
    flat: FlatPattern,
    laying: _Laying,
    cylinders: int | None,
    figure: Callable[[str, float, FittedShape], Measurement],
) -> Measured:
    """Ports and holes in the job frame, each with its figures."""
    shapes = sorted(flat.ports, key=lambda shape: laying.place(shape.centre_mm)[0])
    feeds = cylinders_of(len(shapes), cylinders)
    own = tuple(_port(f"p{i + 1}", shape, laying, feeds[i]) for i, shape in enumerate(shapes))
    figures: list[Measurement] = []
    for port, shape in zip(own, shapes, strict=True):
        sizes = (("width", port.outline.width_mm), ("height", port.outline.height_mm))
        pairs = (("x", port.at_mm[0]), ("y", port.at_mm[1]), *sizes)
        figures += [figure(f"port {port.name} {what}", value, shape) for what, value in pairs]
    by_place = {laying.place(hole.centre_mm): hole for hole in flat.holes}
    thread = _common_thread(flat)
    holes = head_holes_at(tuple(by_place), thread, SCREW_DEPTH_MM, ())
    for hole in holes:
        shape = by_place[hole.at_mm]
        pairs = (("x", hole.at_mm[0]), ("y", hole.at_mm[1]), ("diameter", shape.outline.width_mm))
        figures += [figure(f"hole {hole.name} {what}", value, shape) for what, value in pairs]
    return Measured(ports=one_outline(own), holes=holes, throttle=None, measurements=tuple(figures), notes=())


def _port(name: str, shape: FittedShape, laying: _Laying, feeds: tuple[int, ...]) -> Port:
    outline, turn = least_turn(shape.outline, laying.turn(shape.turn))
    return Port(
        name=name,
        bank=BANK,
        cylinders=feeds,
        at_mm=laying.place(shape.centre_mm),
        outline=outline,
        turn_deg=float(np.degrees(turn)),
        axis=(0.0, 0.0, 1.0),
    )


def _common_thread(flat: FlatPattern) -> str:
    """The thread whose clearance most holes have."""
    known = [thread for hole in flat.holes if (thread := thread_for(hole.outline.width_mm))]
    return max(set(known), key=lambda item: (known.count(item), item), default="M8")


def compared(base: Measured, other: Measured, base_name: str) -> Measured:
    """The base with the other's places beside its own: where they differ by more than DIFFER_MM both are kept."""
    places = {f"port {port.name}": port.at_mm for port in base.ports}
    places |= {f"hole {hole.name}": hole.at_mm for hole in base.holes}
    figures: list[Measurement] = []
    unmatched: list[tuple[str, tuple[float, float]]] = []
    theirs = [(f"port {port.name}", port.at_mm) for port in other.ports]
    theirs += [(f"hole {hole.name}", hole.at_mm) for hole in other.holes]
    by_what = {figure.what: figure for figure in other.measurements}
    for name, at in theirs:
        kind = name.split(" ")[0]
        near = _nearest({key: place for key, place in places.items() if key.startswith(kind)}, at)
        if near is None:
            unmatched.append((name, at))
            continue
        for k, axis in enumerate("xy"):
            figure, own = by_what[f"{name} {axis}"], places[near][k]
            differs = abs(figure.value - own) > DIFFER_MM
            said = own if differs else None
            figures.append(replace(figure, what=f"{near} {axis}", other_source=said, other=base_name))
    return _with_unmatched(
        replace(
            base,
            measurements=(*base.measurements, *figures),
            notes=(*base.notes, *other.notes, *_laid_wrong(base, other)),
        ),
        unmatched,
        by_what[f"{theirs[0][0]} x"].source,
    )


def _nearest(places: dict[str, tuple[float, float]], at: tuple[float, float]) -> str | None:
    away = {name: float(np.hypot(place[0] - at[0], place[1] - at[1])) for name, place in places.items()}
    best = min(away, key=lambda name: away[name], default=None)
    return best if best is not None and away[best] < BELONGS_MM else None


def _with_unmatched(base: Measured, unmatched: list[tuple[str, tuple[float, float]]], source: str) -> Measured:
    """Holes that only the other source has are taken as probable; ports are said."""
    probable, notes, places = list(base.probable), list(base.notes), [hole.at_mm for hole in base.holes]
    for name, at in unmatched:
        said = f"the {source} has a {name.split(' ')[0]} at x {at[0]:.1f}, y {at[1]:.1f}"
        if name.startswith("hole") and base.holes:
            probable.append(ProbableHole(at_mm=at, why=said, seen=0.0, taken=True))
            places.append(at)
        notes.append(f"{said} where no other source has one")
    holes = head_holes_at(tuple(places), base.holes[0].thread, SCREW_DEPTH_MM, ()) if base.holes else base.holes
    same = len(places) == len(base.holes)
    return replace(base, holes=base.holes if same else holes, probable=tuple(probable), notes=tuple(notes))


def _laid_wrong(base: Measured, other: Measured) -> tuple[str, ...]:
    """Whether the other source fits better turned or turned over than as it was laid."""
    own = np.array([*(port.at_mm for port in base.ports), *(hole.at_mm for hole in base.holes)])
    theirs = np.array([*(port.at_mm for port in other.ports), *(hole.at_mm for hole in other.holes)])
    ways = {
        "as it is": (1.0, 1.0),
        "turned over: check [[gasket]] seen_from": (-1.0, 1.0),
        "turned over and by half a turn: check [[gasket]] seen_from and port_1": (1.0, -1.0),
        "after half a turn: check [[gasket]] port_1": (-1.0, -1.0),
    }
    misfits = {
        words: float(np.linalg.norm((theirs * signs)[:, None] - own[None], axis=2).min(axis=1).mean())
        for words, signs in ways.items()
    }
    best = min(misfits, key=lambda words: misfits[words])
    if best != "as it is" and misfits[best] < 0.4 * misfits["as it is"] and misfits["as it is"] > DIFFER_MM:
        return (f"the gasket fits the other source only {best}",)
    return ()
