"""A head piece read as the description tells it: placed, its ports, plates, holes, grooves, and each passage's course."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Port
from tractwright.errors import Fault, SheetError
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit, vec3
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.placing import carried
from tractwright.job.own_tables import OwnPiece
from tractwright.own.around import plate_mm, seat_radius_mm, walls_along, without_plates
from tractwright.own.course import fitted_course
from tractwright.own.head_records import OwnGroove, OwnHead, OwnHole, OwnRunner
from tractwright.own.joints import TwoFaces, two_faces
from tractwright.own.outline import outline_of
from tractwright.own.place import Placing, placing_of
from tractwright.own.records import Groove, Hole, JointFace, Opening, OwnFile, OwnSolid, Passage
from tractwright.own.roots import root_mm

BANK = "a"
_USUAL_PLATE_MM = 12.0
_LEANS_DEG = 0.05
_SCHEDULE_POINTS = 33
_OFF_MM = 0.5
Told = tuple[str, str]


@dataclass(frozen=True, eq=False, slots=True)
class _Read:
    """A solid with its two joint faces, and where it lies."""

    solid: OwnSolid
    faces: TwoFaces
    placing: Placing

    def frame_of(self, frame: Frame) -> Frame:
        """A frame of the file's axes in the job's."""
        on = self.placing.frame
        return Frame(
            origin_mm=vec3(on.to_world(frame.origin_mm)),
            x=vec3(on.turn(frame.x)),
            y=vec3(on.turn(frame.y)),
            z=vec3(on.turn(frame.z)),
        )

    def bank(self) -> Frame:
        """The bank's frame, moved along its z onto the head face."""
        bank = self.placing.bank
        height = float(bank.to_local(self.frame_of(self.faces.head.frame).origin_mm)[2])
        return bank.moved((0.0, 0.0, height)) if abs(height) > 1e-9 else bank


def own_head(facts: OwnPiece, file: OwnFile, sha256: str, pattern: Pattern | None, cylinders: int | None) -> OwnHead:
    """The head piece of a file. pattern : the head's, None where nothing else tells of it.

    Raises SheetError, in plain words, where its faces cannot be told or it cannot be placed.
    """
    if not 1 <= facts.solid <= len(file.solids):
        raise _fault(facts, "solid", str(facts.solid), f"1 to {len(file.solids)}, as many as the file holds")
    solid = file.solids[facts.solid - 1]
    faces = two_faces(solid, facts.face)
    if isinstance(faces, str):
        raise _fault(facts, "face", facts.face or "nothing", f"a head piece with passages between two faces; {faces}")
    placing = placing_of(faces, pattern, facts.placed)
    if isinstance(placing, str):
        raise _fault(facts, "own", facts.own, f"a piece that fits the head; {placing}")
    return _head(facts, _Read(solid, faces, placing), (file, sha256), pattern, cylinders)


def _fault(facts: OwnPiece, key: str, given: str, accepted: str) -> SheetError:
    return SheetError(
        "job.toml", (Fault(key=f"piece.{key}", given=f"{Path(facts.own).name}: {given}", accepted=accepted),)
    )


def _head(
    facts: OwnPiece, read: _Read, file: tuple[OwnFile, str], pattern: Pattern | None, cylinders: int | None
) -> OwnHead:
    solid, faces, bank = read.solid, read.faces, read.bank()
    plates = [plate_mm(solid.body, face) for face in (faces.head, faces.mouth)]
    head_mm, mouth_mm = (_USUAL_PLATE_MM if plate is None else plate for plate in plates)
    order = _in_row(read, bank)
    mouth = _mouth_frame(read, order)
    found = [_runner(read, item, mouth, (head_mm, mouth_mm)) for item in order]
    runners, left = [runner for runner, _ in found], [told for _, told in found if told]
    names = _port_names(read, order, bank, pattern, cylinders)
    ports = tuple(_port(read, item, bank, name) for item, name in zip(order, names, strict=True))
    named = tuple(replace(runner, port=port.name) for runner, port in zip(runners, ports, strict=True))
    return OwnHead(
        file=facts.own,
        sha256=file[1],
        solid=facts.solid,
        frame=read.placing.frame,
        bank=Bank(name=BANK if pattern is None else pattern.banks[0].name, frame=bank),
        ports=ports,
        head_outline=_outline(read, faces.head, bank),
        head_mm=head_mm,
        head_holes=tuple(_hole(read, hole, bank, None) for hole in faces.head.holes),
        mouth_frame=mouth,
        mouth_outline=_outline(read, faces.mouth, mouth),
        mouth_mm=mouth_mm,
        mouth_holes=tuple(_hole(read, hole, mouth, facts.thread) for hole in faces.mouth.holes),
        grooves=tuple(_groove(read, groove, mouth) for groove in faces.mouth.grooves),
        runners=named,
        placed_by=read.placing.by,
        left_mm=read.placing.left_mm,
        unknown=(*_plates_unknown(plates), *_lands(faces), *left),
        notes=(*file[0].notes, *solid.notes, *read.placing.notes, *_strays(faces)),
    )


def _in_row(read: _Read, bank: Frame) -> list[tuple[Passage, int]]:
    """The passages from port 1 on, along the bank's x."""
    places = [float(bank.to_local(read.placing.frame.to_world(p.ends[end].at_mm))[0]) for p, end in read.faces.passages]
    return [read.faces.passages[k] for k in np.argsort(places, kind="stable")]


def _mouth_frame(read: _Read, order: list[tuple[Passage, int]]) -> Frame:
    """On the mouth face, origin midway between the outermost mouths, x from the first port's mouth towards the last's."""
    face = read.frame_of(read.faces.mouth.frame)
    at = np.array([read.placing.frame.to_world(p.ends[1 - end].at_mm) for p, end in order])
    row = np.array(face.x)
    sense = float((at[-1] - at[0]) @ row) if len(at) > 1 else float(row @ np.array(read.bank().x))
    low, high = face.to_local(at)[:, :2].min(axis=0), face.to_local(at)[:, :2].max(axis=0)
    middle = face.to_world((low + high) / 2.0)
    return frame_from_normal(middle, face.z, row if sense >= 0.0 else -row)


def _runner(
    read: _Read, item: tuple[Passage, int], mouth: Frame, plates_mm: tuple[float, float]
) -> tuple[OwnRunner, Told | None]:
    """A passage as a runner, its port still without a name; and what its course does not tell."""
    passage, end = item
    on = read.placing.frame
    turned = slice(None) if end == 0 else slice(None, None, -1)
    s = passage.s_mm if end == 0 else passage.length_mm - passage.s_mm[::-1]
    centre, area = on.to_world(passage.centre_mm[turned]), passage.area_mm2[turned]
    first = _squared(on.turn(passage.ends[end].into), np.array(read.bank().z))
    leaves = _squared(-on.turn(passage.ends[1 - end].into), np.array(mouth.z))
    lean = float(np.degrees(np.arccos(np.clip(leaves @ np.array(mouth.z), -1.0, 1.0))))
    course = fitted_course(s, centre, first, leaves, 0.0 if lean > _LEANS_DEG else float(s[-1]))
    opening = _opening(read.faces.mouth, passage.ends[1 - end].opening)
    outline, at, turn = outline_of(carried(opening.contour, read.frame_of(read.faces.mouth.frame), mouth))
    runner = OwnRunner(
        port="",
        mouth_mm=at,
        outline=outline,
        turn_deg=turn,
        bore_mm=2.0 * float(np.sqrt(opening.area_mm2 * np.cos(np.radians(lean)) / np.pi)),
        leaves=vec3(leaves),
        lean_deg=lean,
        poles_mm=tuple(vec3(pole) for pole in course.poles_mm),
        port_lead_mm=course.first_lead_mm,
        end_lead_mm=course.last_lead_mm,
        off_mm=course.off_mm,
        roots_mm=_roots(read, item, plates_mm),
        length_mm=passage.length_mm,
        area_mm2=_schedule(s, area),
        wall_mm=_walls(read, item, plates_mm),
    )
    far = f"the course drawn here lies up to {course.off_mm:.1f} mm off the traced middle line"
    return runner, (passage.name, far) if course.off_mm > _OFF_MM else None


def _squared(way: Array, square: Array) -> Array:
    """A direction, taken for square where it is so within what tracing tells."""
    way = unit(way)
    return square if float(np.linalg.norm(np.cross(way, square))) < np.radians(_LEANS_DEG) else way


def _schedule(s_mm: Array, value: Array) -> tuple[tuple[float, float], ...]:
    places = np.linspace(0.0, float(s_mm[-1]), _SCHEDULE_POINTS)
    return tuple((float(s), float(v)) for s, v in zip(places, np.interp(places, s_mm, value), strict=True))


def _walls(read: _Read, item: tuple[Passage, int], plates_mm: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    passage, end = item
    others = frozenset(i for other in read.solid.passages if other is not passage for i in other.inside)
    barred = read.faces.head.faces | read.faces.mouth.faces
    s, wall = walls_along(read.solid.body, passage, others, barred)
    if end == 1:
        s, wall = passage.length_mm - s[::-1], wall[::-1]
    free = without_plates(s, wall, plates_mm, passage.length_mm)
    return _schedule(np.append(s, passage.length_mm), np.append(free, free[-1]))


def _roots(read: _Read, item: tuple[Passage, int], plates_mm: tuple[float, float]) -> tuple[float | None, float | None]:
    """At the head's plate and at the mouths'."""
    passage, end = item
    ends = passage.ends[end], passage.ends[1 - end]
    faces = (read.faces.head, read.faces.mouth)
    found = [
        root_mm(read.solid.body, face, plate, np.array(place.at_mm) + np.array(place.into) * plate)
        for face, plate, place in zip(faces, plates_mm, ends, strict=True)
    ]
    return found[0], found[1]


def _opening(face: JointFace, name: str) -> Opening:
    return next(opening for opening in face.openings if opening.name == name)


def _port(read: _Read, item: tuple[Passage, int], bank: Frame, name: tuple[str, tuple[int, ...]]) -> Port:
    passage, end = item
    opening = _opening(read.faces.head, passage.ends[end].opening)
    outline, at, turn = outline_of(carried(opening.contour, read.frame_of(read.faces.head.frame), bank))
    axis = _squared(read.placing.frame.turn(passage.ends[end].into), np.array(bank.z))
    return Port(name=name[0], bank=BANK, cylinders=name[1], at_mm=at, outline=outline, turn_deg=turn, axis=vec3(axis))


def _port_names(
    read: _Read, order: list[tuple[Passage, int]], bank: Frame, pattern: Pattern | None, cylinders: int | None
) -> list[tuple[str, tuple[int, ...]]]:
    """Name and cylinders of each port along the row: the pattern's that lies nearest, else counted."""
    if pattern is None:
        return [(f"p{k}", fed) for k, fed in enumerate(_cylinders_of(len(order), cylinders), start=1)]
    places = np.array([bank.to_local(read.placing.frame.to_world(p.ends[end].at_mm))[:2] for p, end in order])
    known = np.array([port.at_mm for port in pattern.ports])
    nearest = [pattern.ports[int(np.argmin(np.linalg.norm(known - place, axis=1)))] for place in places]
    return [(port.name, port.cylinders) for port in nearest]


def _cylinders_of(count: int, cylinders: int | None) -> list[tuple[int, ...]]:
    """Which cylinders each of count ports feeds: one each, several ports a cylinder, or one port for several."""
    whole = cylinders or count
    if whole % count == 0:
        each = whole // count
        return [tuple(range(k * each + 1, (k + 1) * each + 1)) for k in range(count)]
    return [(min(k * whole // count + 1, whole),) for k in range(count)]


def _outline(read: _Read, face: JointFace, frame: Frame) -> Contour:
    """The largest outline of a joint face in a frame's x-y."""
    largest = max(face.outlines, key=contour_area)
    return carried(largest, read.frame_of(face.frame), frame)


def _hole(read: _Read, hole: Hole, frame: Frame, thread: str | None) -> OwnHole:
    on = read.placing.frame
    x, y, _ = frame.to_local(on.to_world(hole.at_mm))
    seat = hole.seat_depth_mm if hole.counterbore_mm else hole.depth_mm
    flat = seat_radius_mm(read.solid.body, np.array(hole.at_mm), np.array(hole.into), seat) if hole.through else 0.0
    return OwnHole(
        at_mm=(float(x), float(y)),
        use=hole.use,
        bore_mm=hole.bore_mm,
        depth_mm=hole.depth_mm,
        through=hole.through,
        seat_mm=seat,
        seat_radius_mm=flat,
        counterbore_mm=hole.counterbore_mm,
        thread=thread if thread and hole.use == "tapped" else hole.thread,
    )


def _groove(read: _Read, groove: Groove, mouth: Frame) -> OwnGroove:
    inner = carried(groove.inner, read.frame_of(read.faces.mouth.frame), mouth)
    return OwnGroove(
        path=offset_contour(inner, groove.width_mm / 2.0), width_mm=groove.width_mm, depth_mm=groove.depth_mm
    )


def _plates_unknown(plates: list[float | None]) -> tuple[Told, ...]:
    missing = "no plane face lies over it: its thickness is taken as 12 mm"
    names = ("flange.head", "flange.mouth")
    return tuple((name, missing) for name, plate in zip(names, plates, strict=True) if plate is None)


def _lands(faces: TwoFaces) -> tuple[Told, ...]:
    """Faces of several lands: a flange has one outline."""
    sides = ("flange.head", faces.head), ("flange.mouth", faces.mouth)
    return tuple(
        (name, f"its face is {len(face.outlines)} separate lands; the largest is taken for its outline")
        for name, face in sides
        if len(face.outlines) > 1
    )


def _strays(faces: TwoFaces) -> tuple[str, ...]:
    return tuple(
        f"{name} joins other faces than the head's and the mouths': not taken for a runner" for name in faces.strays
    )
