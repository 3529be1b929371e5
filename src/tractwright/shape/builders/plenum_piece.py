"""The plenum piece: a floor with its rim, box walls, cover columns, neck pads; mouths with lips; grooves and holes."""

from dataclasses import dataclass
from math import hypot, pi, tan

import numpy as np

from tractwright.design.records import Design, Flange, Piece, Plenum, Throttle
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.offsets import is_smooth
from tractwright.geometry.placing import carried, from_behind
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.shells import Entry, Slab, Stand, chamber, plate, plate_with_stand
from tractwright.shape.finish import Blends, finished
from tractwright.shape.parts.bodies import body as bodied
from tractwright.shape.parts.bodies import prism, turned
from tractwright.shape.parts.grooves import flange_pockets, seal_grooves
from tractwright.shape.parts.holes import dowel_holes, screw_holes
from tractwright.shape.parts.lips import Opening, lip_rooms
from tractwright.shape.parts.walls import Gate, inner_contour, wall_gates, wall_outline
from tractwright.shape.records import BuiltPiece

KIND = "plenum"

ROOTS_MM = (4.0, 3.0, 2.0, 1.0)
"""Root radius between walls and rim, the largest that stays on the rim. Source: common_practice."""
FLOOR_RADIUS_MM = 3.0
"""Radius inside between walls and floor, a bull-nosed cutter's. Source: common_practice."""
LEAST_FLOOR_RADIUS_MM = 1.0
THROTTLE_LIP_MM = 5.0
"""Rounded mouth of the throttle opening inside. Source: common_practice."""
BREAK_MM = 0.5
"""Chamfer of outer edges. Source: common_practice."""
_BEYOND_MM = 1.5
_SUNK_MM = 0.05
_QUARTER = tan(pi / 8.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """The chamber's space: floor radius, the rounded mouths, and openings that fit no flat wall, cut plainly."""

    floor_radius_mm: float
    entries: tuple[Entry, ...]
    plain: tuple[Checked, ...]
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
        plenum.depth_mm + _BEYOND_MM,
        inside.floor_radius_mm,
        inside.entries,
    )
    body = cut(body, [bodied(space)], "the chamber and its mouths")
    body = cut(body, inside.plain, "the throttle opening")
    body = cut(body, seal_grooves(piece.name, design), "seal grooves")
    body = cut(body, flange_pockets(piece.name, design), "pockets")
    body = cut(body, [*screw_holes(piece.name, design), *dowel_holes(piece.name, design)], "holes")
    blends = Blends(wanted=2, made=(root > 0.0) + (inside.floor_radius_mm > 0.0))
    return finished(piece, body, blends, (*notes, *inside.notes))


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
            body = bodied(plate_with_stand(slab, stand))
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
    runners = [runner for runner in design.runners if runner.mouth.plenum == plenum.name]
    openings = tuple(
        Opening(at_mm=r.mouth.at_mm, radius_mm=r.mouth.bore_mm / 2.0, lip_mm=r.mouth.lip_radius_mm) for r in runners
    )
    rooms = lip_rooms(openings, inner_contour(plenum))
    spare = min((room - o.lip_mm for room, o in zip(rooms, openings, strict=True)), default=FLOOR_RADIUS_MM)
    radius = min(FLOOR_RADIUS_MM, max(spare, LEAST_FLOOR_RADIUS_MM), 0.45 * plenum.corner_radius_mm)
    notes: list[str] = []
    entries: list[Entry] = []
    for runner, opening, room in zip(runners, openings, rooms, strict=True):
        across = min(opening.lip_mm, room - radius)
        if across < opening.lip_mm:
            notes.append(f"lip of {runner.name}: {max(across, 0.0):.1f} mm across, not {opening.lip_mm:.1f}")
        entries.append(_mouth(plenum, opening, max(across, 0.0)))
    plain: list[Checked] = []
    for gate in gates:
        throttle = _throttle(gate, plenum, design)
        entry = _throttle_entry(gate, throttle, plenum, radius)
        if entry is None:
            plain.append(_plain_opening(gate, throttle, plenum))
        else:
            entries.append(entry)
    return _Inside(floor_radius_mm=radius, entries=tuple(entries), plain=tuple(plain), notes=tuple(notes))


def _mouth(plenum: Plenum, opening: Opening, across_mm: float) -> Entry:
    deep = min(opening.lip_mm, plenum.floor_mm - 1.0)
    frame = plenum.frame.moved((*opening.at_mm, plenum.floor_mm))
    return Entry(
        frame=from_behind(frame),
        bore_mm=2.0 * opening.radius_mm,
        lip_across_mm=across_mm,
        lip_deep_mm=deep,
        length_mm=plenum.floor_mm + _BEYOND_MM,
    )


def _throttle(gate: Gate, plenum: Plenum, design: Design) -> Throttle:
    """The throttle whose axis passes nearest to the neck's joint."""
    here = [throttle for throttle in design.throttles if throttle.plenum == plenum.name]
    if not here:
        raise KernelError(f"the opening in {plenum.name}", "a neck stands on it, but no throttle feeds it")
    place = plenum.frame.to_world(gate.at_mm)
    return min(here, key=lambda item: hypot(*item.frame.to_local(place)[:2]))


def _throttle_entry(gate: Gate, throttle: Throttle, plenum: Plenum, floor_radius_mm: float) -> Entry | None:
    """The opening with its rounded mouth on the inner face of the wall; None where it does not fit the flat of it."""
    aside, half = _flat(gate, plenum)
    height = gate.at_mm[2] - plenum.floor_mm
    radius = throttle.bore_mm / 2.0
    room = min(half - abs(aside), height - floor_radius_mm, plenum.depth_mm - height) - radius - 0.3
    if room < 0.0:
        return None
    across = min(THROTTLE_LIP_MM, room)
    return Entry(
        frame=_gate_frame(gate, plenum),
        bore_mm=throttle.bore_mm,
        lip_across_mm=across if across >= 0.5 else 0.0,
        lip_deep_mm=min(THROTTLE_LIP_MM, gate.wall_mm - 1.0),
        length_mm=_reach(gate),
    )


def _plain_opening(gate: Gate, throttle: Throttle, plenum: Plenum) -> Checked:
    """An opening wider than the flat of its wall: the cutter also clears the box's rounded corners before it.

    Its lip starts a little before the wall's face, so that the two cross and do not merely touch.
    """
    height, radius = gate.at_mm[2] - plenum.floor_mm, throttle.bore_mm / 2.0
    room = min(height, plenum.depth_mm - height, _half_across(gate, plenum)) - radius - 0.3
    lip = min(THROTTLE_LIP_MM, gate.wall_mm - 1.0, max(room, 0.0))
    far, end = -plenum.corner_radius_mm, _reach(gate)
    bore: Contour = (
        (0.0, far, 0.0),
        (radius + lip, far, 0.0),
        (radius, lip - _SUNK_MM, 0.0),
        (radius, end, 0.0),
        (0.0, end, 0.0),
    )
    if lip >= 0.5:
        mouth: Contour = ((radius + lip, -_SUNK_MM, -_QUARTER),)
        bore = (*bore[:2], *mouth, *bore[2:])
    else:
        bore = ((0.0, far, 0.0), (radius, far, 0.0), *bore[3:])
    return turned(bore, _gate_frame(gate, plenum))


def _half_across(gate: Gate, plenum: Plenum) -> float:
    """From the opening's centre to the nearer of the two walls beside it."""
    aside, flat = _flat(gate, plenum)
    return flat + plenum.corner_radius_mm - abs(aside)


def _flat(gate: Gate, plenum: Plenum) -> tuple[float, float]:
    """How far the gate stands from the middle of its wall, and half the flat length of that wall."""
    along_x = abs(gate.outwards[1]) > 0.5
    axis, size = (0, plenum.width_mm) if along_x else (1, plenum.height_mm)
    return gate.at_mm[axis] - plenum.centre_mm[axis], size / 2.0 - plenum.corner_radius_mm


def _gate_frame(gate: Gate, plenum: Plenum) -> Frame:
    """On the wall's inner face at the opening's centre, z outwards."""
    out = np.array([*gate.outwards, 0.0])
    z, x = plenum.frame.turn(out), plenum.frame.turn([-out[1], out[0], 0.0])
    origin = plenum.frame.to_world(np.array(gate.at_mm) - out * gate.wall_mm)
    return Frame(origin_mm=vec3(origin), x=vec3(x), y=plenum.frame.z, z=vec3(z))


def _reach(gate: Gate) -> float:
    return gate.wall_mm + _BEYOND_MM


def _apart(one: Frame, other: Frame) -> float:
    return float(np.linalg.norm(np.array(one.origin_mm) - np.array(other.origin_mm)))
