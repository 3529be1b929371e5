"""Facts of the sheet and figures of the scan put together: the sheet wins, and where they differ both are kept."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.pattern import Measurement
from tractwright.design.records import HeadHole, Port
from tractwright.errors import Fault, SheetError
from tractwright.geometry.frames import Array, vec3
from tractwright.geometry.outlines import Outline
from tractwright.job.sheet import PatternFacts
from tractwright.scan.facts import head_holes_at, outline_of, port_places, screw_places
from tractwright.scan.measure import Measured

DIFFER_MM = 0.5
"""Sources that differ by more than this are a stop (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """The pattern with the sheet's facts in, figures with what the sheet says beside them, and notes."""

    measured: Measured
    differences: int


def with_facts(measured: Measured, facts: PatternFacts | None, cylinders: int | None) -> Agreed:
    """The sheet's facts laid over the scan's pattern. Raises SheetError where their ports cannot be matched."""
    if facts is None:
        return Agreed(measured=measured, differences=0)
    ports = _ports_with(measured.ports, facts, cylinders)
    holes, hole_says = _holes_with(measured, facts, ports)
    says = {**_port_says(ports, facts, cylinders), **hole_says}
    figures = tuple(_beside(figure, says) for figure in measured.measurements)
    notes = (*measured.notes, *_mirror_note(measured, facts))
    return Agreed(
        measured=replace(
            measured,
            ports=ports,
            holes=holes,
            measurements=figures,
            notes=notes,
            probable=() if _lists_screws(facts) else measured.probable,
        ),
        differences=sum(figure.other_source is not None for figure in figures),
    )


def _lists_screws(facts: PatternFacts) -> bool:
    """Whether the sheet itself says where the screws are: then nothing is only probable."""
    return bool(facts.screw) or facts.screw_rise_mm is not None


def _ports_with(ports: tuple[Port, ...], facts: PatternFacts, cylinders: int | None) -> tuple[Port, ...]:
    places = port_places(facts, cylinders)
    if places and len(places) != len(ports):
        given = f"{len(places)} ports"
        raise SheetError("job.toml", (Fault("pattern.port", given, f"the {len(ports)} ports that the scan shows"),))
    found: list[Port] = []
    for i, port in enumerate(ports):
        listed = facts.port[i].cylinders if facts.port else ()
        found.append(
            replace(
                port,
                at_mm=places[i] if places else port.at_mm,
                outline=_outline_with(port.outline, facts),
                cylinders=listed or port.cylinders,
                turn_deg=facts.port_turn_deg if "port_turn_deg" in facts.model_fields_set else port.turn_deg,
                axis=_axis_with(port, facts),
            )
        )
    return tuple(found)


def _outline_with(scanned: Outline, facts: PatternFacts) -> Outline:
    """The sheet's outline; what the sheet is silent on comes from the scan where the kind is the same."""
    given = facts.model_fields_set
    outline = outline_of(facts)
    if "port_shape" not in given and scanned.kind == "loop":
        return scanned
    if "port_shape" not in given and scanned.kind != outline.kind:
        outline = replace(outline, kind=scanned.kind)
    silent = {
        "height_mm": "port_height_mm",
        "corner_radius_mm": "port_corner_radius_mm",
        "lower_corner_radius_mm": "port_lower_corner_radius_mm",
    }
    if outline.kind != scanned.kind:
        return outline
    return replace(outline, **{own: getattr(scanned, own) for own, key in silent.items() if key not in given})


def _axis_with(port: Port, facts: PatternFacts) -> tuple[float, float, float]:
    if "port_rise_deg" not in facts.model_fields_set:
        return port.axis
    rise = np.radians(facts.port_rise_deg)
    return vec3((0.0, np.sin(rise), np.cos(rise)))


def _holes_with(
    measured: Measured, facts: PatternFacts, ports: tuple[Port, ...]
) -> tuple[tuple[HeadHole, ...], dict[str, float]]:
    """Head holes: the sheet's places where it gives some, each scanned hole's figures beside the nearest of them."""
    given = facts.model_fields_set
    thread = facts.screw_thread if "screw_thread" in given or not measured.holes else measured.holes[0].thread
    if not _lists_screws(facts) and measured.holes:
        return tuple(replace(hole, thread=thread, depth_mm=facts.screw_depth_mm) for hole in measured.holes), {}
    studs = tuple(screw.stud for screw in facts.screw)
    holes = head_holes_at(screw_places(facts, ports), thread, facts.screw_depth_mm, studs)
    says: dict[str, float] = {}
    for scanned in measured.holes:
        away = [np.hypot(hole.at_mm[0] - scanned.at_mm[0], hole.at_mm[1] - scanned.at_mm[1]) for hole in holes]
        nearest = holes[int(np.argmin(away))]
        says[f"hole {scanned.name} x"], says[f"hole {scanned.name} y"] = nearest.at_mm
    return holes, says


def _port_says(ports: tuple[Port, ...], facts: PatternFacts, cylinders: int | None) -> dict[str, float]:
    """What the sheet says of each figure of the scan."""
    says: dict[str, float] = {}
    placed = bool(port_places(facts, cylinders))
    for port in ports:
        says[f"port {port.name} width"] = port.outline.width_mm
        if "port_height_mm" in facts.model_fields_set:
            says[f"port {port.name} height"] = port.outline.height_mm
        if placed:
            says[f"port {port.name} x"], says[f"port {port.name} y"] = port.at_mm
    return says


def _beside(figure: Measurement, says: dict[str, float]) -> Measurement:
    """The figure with the other source's value, where that differs by more than DIFFER_MM."""
    other = says.get(figure.what)
    if other is None or abs(other - figure.value) <= DIFFER_MM:
        return figure
    return replace(figure, other_source=other, other="sheet")


def _mirror_note(measured: Measured, facts: PatternFacts) -> tuple[str, ...]:
    """Listed screws tell a mirrored scan: its holes fit them better turned over than as they stand."""
    if len(facts.screw) < 3 or len(measured.holes) < 3:
        return ()
    listed = np.array([screw.at_mm for screw in facts.screw])
    scanned = np.array([hole.at_mm for hole in measured.holes])
    straight = _misfit(scanned, listed)
    mirrored = min(_misfit(scanned * turn, listed) for turn in (np.array([-1.0, 1.0]), np.array([1.0, -1.0])))
    half_turn = _misfit(-scanned, listed)
    if mirrored < 0.4 * min(straight, half_turn) and min(straight, half_turn) > 1.0:
        return ("the scan's screw holes fit the listed ones only when mirrored: check the scan's handedness",)
    if half_turn < 0.4 * straight and straight > 1.0:
        return ("the listed screws fit after half a turn: check [scan] port_1 and upside_down",)
    return ()


def _misfit(points: Array, others: Array) -> float:
    """Mean distance [mm] from each point to the nearest of the others."""
    return float(np.linalg.norm(points[:, None] - others[None], axis=2).min(axis=1).mean())
