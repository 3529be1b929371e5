"""What the command measure tells of a solid: its record for programs, by measure.schema.json, and its tables."""

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from tractwright.check.finding import Finding
from tractwright.check.solid import SolidFacts
from tractwright.geometry.frames import Frame
from tractwright.own.records import Hole, JointFace, Opening, OwnFile, Passage
from tractwright.packet.summary import plain
from tractwright.packet.tables import Row

SCHEMA = "tractwright-measure-1"


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class MeasuredSolid:
    """A solid with what was measured and found of it."""

    facts: SolidFacts
    alloy: str
    mass_kg: float
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class MeasuredFile:
    """A file and its solids."""

    read: OwnFile
    solids: tuple[MeasuredSolid, ...]

    @property
    def outcome(self) -> str:
        """'stops' where a rule is broken, else 'whole'."""
        found = (finding for solid in self.solids for finding in solid.findings)
        return "stops" if any(finding.verdict == "stop" for finding in found) else "whole"


def measured_record(measured: MeasuredFile) -> dict[str, Any]:
    """The record."""
    read = measured.read
    return plain(
        {
            "schema": SCHEMA,
            "file": read.file,
            "unit": read.unit,
            "notes": list(read.notes),
            "solids": [_solid(solid) for solid in measured.solids],
        }
    )


def _solid(measured: MeasuredSolid) -> dict[str, Any]:
    facts, solid = measured.facts, measured.facts.solid
    body = solid.body
    return {
        "name": solid.name,
        "notes": list(solid.notes),
        "faces": len(body.faces),
        "valid": body.valid,
        "watertight": body.watertight,
        "size_mm": np.ptp(body.mesh[0], axis=0),
        "volume_mm3": body.volume_mm3,
        "surface_mm2": body.area_mm2,
        "alloy": measured.alloy,
        "mass_kg": measured.mass_kg,
        "stock_mm": list(facts.stock.size_mm) if facts.stock else None,
        "stock_mass_kg": facts.stock.mass_kg if facts.stock else None,
        "joint_faces": [_face(face) for face in solid.joint_faces],
        "holes": [_hole(hole) for hole in solid.holes],
        "passages": [_passage(facts, k) for k in range(len(solid.passages))],
        "chambers": [[list(opening) for opening in chamber.openings] for chamber in solid.chambers],
        "thin_walls": [asdict(wall) for wall in facts.walls],
        "inner_radii": [asdict(radius) for radius in facts.radii],
        "sharp_inner_edges_mm": list(facts.sharp_mm),
        "findings": [_finding(finding) for finding in measured.findings],
    }


def _face(face: JointFace) -> dict[str, Any]:
    return {
        "name": face.name,
        "frame": _frame(face.frame),
        "area_mm2": face.area_mm2,
        "outlines": [list(outline) for outline in face.outlines],
        "openings": [_opening(opening) for opening in face.openings],
        "grooves": [{"width_mm": groove.width_mm, "depth_mm": groove.depth_mm} for groove in face.grooves],
        "holes": [_hole(hole) for hole in face.holes],
    }


def _frame(frame: Frame) -> dict[str, Any]:
    return {"origin_mm": frame.origin_mm, "x": frame.x, "y": frame.y, "z": frame.z}


def _opening(opening: Opening) -> dict[str, Any]:
    return {
        "name": opening.name,
        "centre_mm": opening.centre_mm,
        "size_mm": opening.size_mm,
        "area_mm2": opening.area_mm2,
        "round": opening.round,
        "land_mm": opening.land_mm,
        "beside": opening.beside,
        "contour": list(opening.contour),
    }


def _hole(hole: Hole) -> dict[str, Any]:
    return asdict(hole)


def _passage(facts: SolidFacts, index: int) -> dict[str, Any]:
    passage = facts.solid.passages[index]
    reach = facts.reaches[index] if facts.reaches is not None else None
    return {
        "name": passage.name,
        "ends": [asdict(end) for end in passage.ends],
        "length_mm": passage.length_mm,
        "lips_mm": list(passage.lips_mm),
        "shared": passage.shared,
        "s_mm": passage.s_mm,
        "area_mm2": passage.area_mm2,
        "centre_mm": passage.centre_mm,
        "least_bend_radius_mm": float(passage.radius_mm.min()),
        "turn_deg": turn_deg(passage),
        "reach": None
        if reach is None
        else {
            "verdict": reach.verdict,
            "from_first_end_mm": reach.reach_from_port_end_mm,
            "from_last_end_mm": reach.reach_from_mouth_end_mm,
            "meeting_line_mm": reach.meeting_line_mm,
            "split_at_mm": reach.split_at_mm,
            "cutter": reach.cutter,
        },
    }


def turn_deg(passage: Passage) -> float:
    """All the turning along a passage together [deg]."""
    steps = np.sum(passage.tangent[1:] * passage.tangent[:-1], axis=1)
    return float(np.degrees(np.arccos(np.clip(steps, -1.0, 1.0))).sum())


def _finding(finding: Finding) -> dict[str, Any]:
    kept = ("rule", "subject", "at_mm", "measured", "limit", "unit", "verdict", "bites_at", "message", "source")
    row = {name: getattr(finding, name) for name in kept}
    return row | ({"limit": None} if finding.verdict == "unknown" else {})


PASSAGE_COLUMNS = (
    "passage",
    "from",
    "to",
    "length_mm",
    "area_first",
    "area_least",
    "area_last",
    "bend_radius",
    "reach",
)


def passage_rows(measured: MeasuredSolid) -> list[Row]:
    """A row a passage."""
    facts = measured.facts
    rows: list[Row] = []
    for index, passage in enumerate(facts.solid.passages):
        first, last = (f"{end.face}, {end.opening}" for end in passage.ends)
        area = passage.area_mm2
        bend = float(passage.radius_mm.min())
        reach = facts.reaches[index].verdict if facts.reaches is not None else "not asked"
        sizes = (passage.length_mm, float(area[0]), float(area.min()), float(area[-1]))
        rows.append((passage.name, first, last, *sizes, bend if np.isfinite(bend) else "straight", reach))
    return rows


def hollow_words(measured: MeasuredSolid) -> list[str]:
    """Which passages run together, and what every chamber opens to."""
    solid = measured.facts.solid
    found: list[str] = []
    for number in sorted({passage.shared for passage in solid.passages} - {0}):
        arms = [passage for passage in solid.passages if passage.shared == number]
        end = arms[0].ends[1]
        found.append(f"{' and '.join(arm.name for arm in arms)} run together into {end.face}, {end.opening}")
    for number, chamber in enumerate(solid.chambers, start=1):
        openings = ", ".join(f"{face} {opening}" for face, opening in chamber.openings)
        found.append(f"chamber {number} opens to {openings}")
    return found


FACE_COLUMNS = ("face", "looks_to", "area_mm2", "openings", "holes", "grooves", "least_land")


def face_rows(measured: MeasuredSolid) -> list[Row]:
    """A row a joint face."""
    rows: list[Row] = []
    for face in measured.facts.solid.joint_faces:
        way = " ".join(f"{value + 0.0:.3f}" for value in face.frame.z)
        lands = [(opening.land_mm, opening.beside) for opening in face.openings]
        land = "{:.2f} to {}".format(*min(lands)) if lands else ""
        grooves = ", ".join(f"{groove.width_mm:.2f} x {groove.depth_mm:.2f}" for groove in face.grooves)
        rows.append((face.name, way, face.area_mm2, len(face.openings), _holes_in_words(face.holes), grooves, land))
    return rows


def _holes_in_words(holes: tuple[Hole, ...]) -> str:
    """Holes alike counted together."""
    names = [f"{hole.use} {hole.thread or f'{hole.bore_mm:.4g}'}".strip() for hole in holes]
    return ", ".join(f"{names.count(name)} {name}" for name in dict.fromkeys(names))
