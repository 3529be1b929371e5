"""The plenum piece: a floor with its rim, box walls, cover columns, neck pads; mouths with lips; grooves and holes."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Design, Flange, Piece, Plenum
from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.geometry.offsets import is_smooth
from tractwright.geometry.placing import carried, from_behind
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.shells import Entry, Slab, Stand, chamber, plate
from tractwright.route.layout.chamber import FLOOR_RADIUS_MM
from tractwright.shape.bosses import wall_bosses, with_boss_blends
from tractwright.shape.finish import Blends, finely_meshed, finished
from tractwright.shape.parts.bodies import body as bodied
from tractwright.shape.parts.bodies import prism
from tractwright.shape.parts.features import with_features
from tractwright.shape.parts.finishes import (
    BEYOND_MM,
    BREAK_MM,
    LEAST_FLOOR_RADIUS_MM,
    ROOTS_MM,
)
from tractwright.shape.parts.gates import Gate, flat_opening, wall_gates, wide_opening
from tractwright.shape.parts.lips import Opening, lip_rooms
from tractwright.shape.parts.shaped_mouths import reach_mm, shaped_mouth
from tractwright.shape.parts.walls import inner_contour, wall_outline
from tractwright.shape.records import BuiltPiece

KIND = "plenum"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """The chamber's space: floor radius, the rounded mouths, and cutters of openings that fit no flat."""

    floor_radius_mm: float
    entries: tuple[Entry, ...]
    wide: tuple[Checked, ...]
    notes: tuple[str, ...]


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The exact plenum piece in the job frame. Raises KernelError naming the step that no rung of its ladder passes."""
    floor = _floor(piece, design)
    plenum = min(design.plena, key=lambda item: _apart(item.frame, floor.frame))
    gates = wall_gates(piece.name, plenum, design)
    body, root, notes = _outside(piece, plenum, floor, gates, design)
    inside = _inside(plenum, gates, design)
    space = chamber(
        inner_contour(plenum),
        plenum.frame.moved((0.0, 0.0, plenum.floor_mm)),
        plenum.depth_mm + BEYOND_MM,
        inside.floor_radius_mm,
        inside.entries,
    )
    body = cut(body, [bodied(space)], "the chamber and its mouths")
    body = cut(body, inside.wide, "openings that are not round, or wider than their wall's flat")
    bossed = wall_bosses(body, piece.name, design)
    body = with_features(bossed.body, piece.name, design)
    blends = Blends(wanted=2, made=(root > 0.0) + (inside.floor_radius_mm > 0.0))
    fine = finely_meshed(body)
    built = finished(piece, body, fine, blends, (*notes, *inside.notes, *bossed.notes))
    return with_boss_blends(built, fine, bossed)


def _floor(piece: Piece, design: Design) -> Flange:
    kinds = {joint.name: joint.kind for joint in design.joints}
    found = [f for f in design.flanges if f.piece == piece.name and kinds[f.joint] == "runner"]
    if not found:
        raise KernelError(f"piece {piece.name}", "it has no flange on a runner joint to be its floor")
    return found[0]


def _outside(
    piece: Piece, plenum: Plenum, floor: Flange, gates: tuple[Gate, ...], design: Design
) -> tuple[Checked, float, tuple[str, ...]]:
    """Floor and walls as one body, the root radius that was made, and what a reader should know."""
    outline = wall_outline(plenum, _columns(piece, plenum, design), gates)
    slab = Slab(
        contour=carried(floor.contour, floor.frame, plenum.frame),
        frame=plenum.frame,
        thickness_mm=floor.thickness_mm,
        break_mm=BREAK_MM if is_smooth(floor.contour) else 0.0,
    )
    height = plenum.floor_mm + plenum.depth_mm
    for root in ROOTS_MM:
        try:
            stand = Stand(outline=outline, root_mm=root, height_mm=height, break_mm=BREAK_MM)
            body = bodied(plate(slab, (stand,)))
        except KernelError:
            continue
        small = f"the walls' root on the rim has {root:g} mm, not {ROOTS_MM[0]:g}: the rim is narrow"
        return body, root, () if root == ROOTS_MM[0] else (small,)
    walls = prism(outline, plenum.frame, height)
    body = fused(bodied(plate(slab)), [walls], "walls on the floor")
    return body, 0.0, ("the walls stand on the rim without a root radius: it has no room",)


def _columns(piece: Piece, plenum: Plenum, design: Design) -> tuple[tuple[float, float, float], ...]:
    """x, y and radius of the cover screws' columns, in the plenum frame."""
    kinds = {joint.name: joint.kind for joint in design.joints}
    screws = [s for s in design.screws if kinds[s.joint] == "cover" and s.tapped_in == piece.name]
    places = [(plenum.frame.to_local(screw.seat_mm), screw.post_mm / 2.0) for screw in screws]
    return tuple((float(at[0]), float(at[1]), radius) for at, radius in places if radius > 0.0)


def _inside(plenum: Plenum, gates: tuple[Gate, ...], design: Design) -> _Inside:
    """Mouths as round as their neighbours allow, the floor's radius as large as they leave."""
    runners = [runner for runner in design.runners if runner.mouth.plenum == plenum.name]
    openings = tuple(
        Opening(at_mm=r.mouth.at_mm, radius_mm=reach_mm(r.mouth), lip_mm=r.mouth.lip_radius_mm) for r in runners
    )
    rooms = lip_rooms(openings, inner_contour(plenum))
    spare = min((room.to_edge_mm - o.lip_mm for room, o in zip(rooms, openings, strict=True)), default=FLOOR_RADIUS_MM)
    radius = min(FLOOR_RADIUS_MM, max(spare, LEAST_FLOOR_RADIUS_MM), 0.45 * plenum.corner_radius_mm)
    notes: list[str] = []
    entries: list[Entry] = []
    wide: list[Checked] = []
    for runner, opening, room in zip(runners, openings, rooms, strict=True):
        across = room.across(opening.lip_mm, radius)
        if across < opening.lip_mm:
            notes.append(f"lip of {runner.name}: {across:.1f} mm across, not {opening.lip_mm:.1f}")
        if runner.mouth.contour:
            shaped = shaped_mouth(runner.mouth, plenum, across)
            wide.append(shaped.cutter)
            notes += [f"{runner.name}: {note}" for note in shaped.notes]
        else:
            entries.append(_mouth(plenum, opening, across))
    for gate in gates:
        entry = flat_opening(gate, plenum, radius)
        if entry is None:
            wide.append(wide_opening(gate, plenum))
        else:
            entries.append(entry)
    return _Inside(floor_radius_mm=radius, entries=tuple(entries), wide=tuple(wide), notes=tuple(notes))


def _mouth(plenum: Plenum, opening: Opening, across_mm: float) -> Entry:
    deep = min(opening.lip_mm, plenum.floor_mm - 1.0)
    frame = plenum.frame.moved((*opening.at_mm, plenum.floor_mm))
    return Entry(
        frame=from_behind(frame),
        bore_mm=2.0 * opening.radius_mm,
        lip_across_mm=across_mm,
        lip_deep_mm=deep,
        length_mm=plenum.floor_mm + BEYOND_MM,
    )


def _apart(one: Frame, other: Frame) -> float:
    return float(np.linalg.norm(np.array(one.origin_mm) - np.array(other.origin_mm)))
