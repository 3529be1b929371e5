"""A job's pieces drawn already, read from their files: the pattern, room and aims that follow from them."""

import hashlib
from dataclasses import replace
from pathlib import Path

import numpy as np

from tractwright.cache import kept
from tractwright.design.pattern import Pattern, Room
from tractwright.design.room import HEAD_FACE
from tractwright.job.own_tables import OwnPiece
from tractwright.job.sheet import JobSheet
from tractwright.own.head import own_head
from tractwright.own.head_records import OwnHead
from tractwright.own.pattern import pattern_of, pattern_with
from tractwright.own.records import OwnFile
from tractwright.own.stage import read_own

_USUAL_FLOOR_MM = 12.0
"""Thickness of a plenum's floor before it is drawn. Source: shop_judgement."""


def own_file(path: Path) -> OwnFile:
    """What a file holds, read once for the same bytes. Raises SolidError."""
    data = path.read_bytes() if path.is_file() else b""
    return kept("own", (hashlib.sha256(data).digest(), path.name), lambda: read_own(path))


def head_of(sheet: JobSheet, folder: Path, pattern: Pattern | None) -> OwnHead | None:
    """The head piece that a sheet names, placed; None where it names none. pattern : where other sources have the ports.

    Raises SolidError where its file cannot be used, SheetError where it does not fit the head.
    """
    if not sheet.piece:
        return None
    facts = _facts(sheet)
    path = folder / facts.own
    file = own_file(path)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    cylinders = sheet.engine.cylinders if sheet.engine else None
    inputs = (facts, digest, pattern, cylinders)
    return kept("own_head", inputs, lambda: own_head(facts, file, digest, pattern, cylinders))


def pattern_on(own: OwnHead, sheet: JobSheet, pattern: Pattern | None) -> Pattern:
    """The pattern with the piece's own ports; where nothing else tells of it, the one that the piece shows."""
    if pattern is not None:
        return pattern_with(own, pattern)
    facts = _facts(sheet)
    said = sheet.pattern
    found = pattern_of(own, facts.head_depth_mm if said is None else said.screw_depth_mm)
    if said is None or "screw_thread" not in said.model_fields_set:
        return found
    holes = tuple(replace(hole, thread=said.screw_thread) for hole in found.head_holes)
    return replace(found, head_holes=holes)


def room_before(own: OwnHead, room: Room) -> Room:
    """The room with the head's face where the piece has it."""
    height = float(np.dot(own.bank.frame.origin_mm, own.bank.frame.z))
    planes = tuple(
        replace(plane, normal=own.bank.frame.z, offset_mm=height) if plane.name == HEAD_FACE else plane
        for plane in room.planes
    )
    return replace(room, planes=planes)


def sheet_told(own: OwnHead, sheet: JobSheet) -> JobSheet:
    """The sheet with the length and bore of the piece's passages where it is silent: what the air is asked with.

    length : of the passages alone; the plenum's floor is not drawn yet and counts as a usual one.
    """
    told: dict[str, float] = {}
    if sheet.runner.length_mm is None:
        told["length_mm"] = float(np.mean([runner.length_mm for runner in own.runners])) + _USUAL_FLOOR_MM
    if sheet.runner.bore_mm is None:
        told["bore_mm"] = float(np.mean([runner.bore_mm for runner in own.runners]))
    return sheet.model_copy(update={"runner": sheet.runner.model_copy(update=told)}) if told else sheet


def _facts(sheet: JobSheet) -> OwnPiece:
    return next(piece for piece in sheet.piece if piece.kind == "head")
