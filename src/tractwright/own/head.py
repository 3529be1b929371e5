"""A head piece read as the description tells it: placed, its ports, plates, holes, grooves, and each passage's course."""

from pathlib import Path

import numpy as np

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Port
from tractwright.errors import Fault, SheetError
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.frames import Frame, frame_from_normal, vec3
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.placing import carried
from tractwright.job.own_tables import OwnPiece
from tractwright.own.around import plate_mm, seat_radius_mm
from tractwright.own.head_records import OwnGroove, OwnHead, OwnHole
from tractwright.own.holes import one_hole
from tractwright.own.joints import TwoFaces, two_faces
from tractwright.own.mouths import bare_contour
from tractwright.own.outline import outline_of
from tractwright.own.place import placing_of
from tractwright.own.records import Groove, Hole, JointFace, OwnFile
from tractwright.own.runners import Arm, Read, Told, arms_of_runners, runner_of, squared

BANK = "a"
_SUNK_MM = 0.5
_USUAL_PLATE_MM = 12.0


def own_head(facts: OwnPiece, file: OwnFile, sha256: str, pattern: Pattern | None, cylinders: int | None) -> OwnHead:
    """The head piece of a file. pattern : the head's, None where nothing else tells of it.

    Raises SheetError, in plain words, where its faces cannot be told or it cannot be placed.
    """
    if facts.solid is not None and not 1 <= facts.solid <= len(file.solids):
        raise _fault(facts, "solid", str(facts.solid), f"1 to {len(file.solids)}, as many as the file holds")
    solid = file.solids[facts.solid - 1] if facts.solid else max(file.solids, key=lambda item: item.body.volume_mm3)
    faces = two_faces(solid, facts.face)
    if isinstance(faces, str):
        raise _fault(facts, "face", facts.face or "nothing", f"a head piece with passages between two faces; {faces}")
    placing = placing_of(faces, pattern, facts.placed)
    if isinstance(placing, str):
        raise _fault(facts, "own", facts.own, f"a piece that fits the head; {placing}")
    return _head(facts, Read(solid, faces, placing), (file, sha256), pattern, cylinders)


def _fault(facts: OwnPiece, key: str, given: str, accepted: str) -> SheetError:
    return SheetError(
        "job.toml", (Fault(key=f"piece.{key}", given=f"{Path(facts.own).name}: {given}", accepted=accepted),)
    )


def _head(
    facts: OwnPiece, read: Read, file: tuple[OwnFile, str], pattern: Pattern | None, cylinders: int | None
) -> OwnHead:
    solid, faces, bank = read.solid, read.faces, read.bank()
    plates = [plate_mm(solid.body, face) for face in (faces.head, faces.mouth)]
    head_mm, mouth_mm = (_USUAL_PLATE_MM if plate is None else plate for plate in plates)
    order = _in_row(read, bank)
    mouth = _mouth_frame(read, order)
    starts = [arm for arm in order if arm in read.faces.ports()]
    names = _port_names(read, starts, bank, pattern, cylinders)
    ports = tuple(_port(read, arm, bank, name) for arm, name in zip(starts, names, strict=True))
    by_opening = {p.ends[end].opening: port.name for (p, end), port in zip(starts, ports, strict=True)}
    found = [
        runner_of(read, arms, mouth, (head_mm, mouth_mm), tuple(by_opening[p.ends[end].opening] for p, end in arms))
        for arms in arms_of_runners(order)
    ]
    return OwnHead(
        file=facts.own,
        sha256=file[1],
        solid=next(number for number, item in enumerate(file[0].solids, start=1) if item is solid),
        frame=read.placing.frame,
        bank=Bank(name=BANK if pattern is None else pattern.banks[0].name, frame=bank),
        ports=ports,
        head_outline=_outline(read, faces.head, bank),
        head_mm=head_mm,
        head_holes=tuple(_hole(read, hole, bank, None) for hole in faces.head.holes),
        mouth_frame=mouth,
        mouth_outline=_outline(read, faces.mouth, mouth),
        mouth_mm=mouth_mm,
        mouth_holes=tuple(
            _hole(read, hole, mouth, facts.thread) for hole in faces.mouth.holes if not _of_the_head(hole, faces)
        ),
        grooves=tuple(_groove(read, groove, mouth) for groove in faces.mouth.grooves),
        runners=tuple(runner for runner, _ in found),
        placed_by=read.placing.by,
        left_mm=read.placing.left_mm,
        unknown=(*_plates_unknown(plates), *_lands(faces), *(told for _, left in found for told in left)),
        notes=(*file[0].notes, *solid.notes, *read.placing.notes, *_strays(faces), *_right_through(faces)),
    )


def _in_row(read: Read, bank: Frame) -> list[Arm]:
    """The passages from port 1 on, along the bank's x."""
    places = [float(bank.to_local(read.placing.frame.to_world(p.ends[end].at_mm))[0]) for p, end in read.faces.passages]
    return [read.faces.passages[k] for k in np.argsort(places, kind="stable")]


def _mouth_frame(read: Read, order: list[Arm]) -> Frame:
    """On the mouth face, origin midway between the outermost mouths, x from the first port's mouth towards the last's."""
    face = read.frame_of(read.faces.mouth.frame)
    at = np.array([read.placing.frame.to_world(p.ends[1 - end].at_mm) for p, end in order])
    row = np.array(face.x)
    sense = float((at[-1] - at[0]) @ row) if len(at) > 1 else float(row @ np.array(read.bank().x))
    low, high = face.to_local(at)[:, :2].min(axis=0), face.to_local(at)[:, :2].max(axis=0)
    middle = face.to_world((low + high) / 2.0)
    return frame_from_normal(middle, face.z, row if sense >= 0.0 else -row)


def _port(read: Read, item: Arm, bank: Frame, name: tuple[str, tuple[int, ...]]) -> Port:
    passage, end = item
    contour = bare_contour(read.faces.head, passage, end)
    outline, at, turn = outline_of(carried(contour, read.frame_of(read.faces.head.frame), bank))
    axis = squared(read.placing.frame.turn(passage.ends[end].into), np.array(bank.z))
    return Port(name=name[0], bank=BANK, cylinders=name[1], at_mm=at, outline=outline, turn_deg=turn, axis=vec3(axis))


def _port_names(
    read: Read, order: list[Arm], bank: Frame, pattern: Pattern | None, cylinders: int | None
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


def _outline(read: Read, face: JointFace, frame: Frame) -> Contour:
    """The largest outline of a joint face in a frame's x-y."""
    largest = max(face.outlines, key=contour_area)
    return carried(largest, read.frame_of(face.frame), frame)


def _hole(read: Read, hole: Hole, frame: Frame, thread: str | None) -> OwnHole:
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
        slot_mm=hole.slot_mm,
    )


def _of_the_head(hole: Hole, faces: TwoFaces) -> bool:
    """Whether a hole of the mouth face is for a screw whose head bears there, or that goes on through the head face."""
    sunk_here = hole.counterbore_mm > 0.0 and hole.mouth_mm > hole.bore_mm + _SUNK_MM
    return sunk_here or any(one_hole(hole, other) for other in faces.head.holes)


def _groove(read: Read, groove: Groove, mouth: Frame) -> OwnGroove:
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


def _right_through(faces: TwoFaces) -> tuple[str, ...]:
    count = sum(any(one_hole(hole, other) for other in faces.head.holes) for hole in faces.mouth.holes)
    words = (
        f"{count} holes go through both joint faces: taken for the cylinder head's screws, whose heads need room there"
    )
    return (words,) if count else ()
