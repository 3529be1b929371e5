"""Where a head piece lies in the job: its head face laid on the head's ports and screws, or as its file has it."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from tractwright.design.pattern import Pattern
from tractwright.geometry.frames import Array, Frame, frame_from_normal, vec3
from tractwright.geometry.placing import from_behind
from tractwright.own.joints import TwoFaces

_NEAR_MM = 6.0
_SAME_MM = 0.05
_TURNS = 72
_ROUNDS = 4
_SQUARE_DEG = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """frame : the file's axes in the job's; bank : the bank's frame; left_mm : how far ports lie off the head's at most;
    notes : what is in doubt.
    """

    frame: Frame
    bank: Frame
    left_mm: float
    by: Literal["by its ports", "as drawn"]
    notes: tuple[str, ...] = ()


def placing_of(faces: TwoFaces, pattern: Pattern | None, placed: str | None) -> Placing | str:
    """Where the piece lies, or in plain words why it cannot be placed. pattern : the head's, None where nothing else
    places its ports.
    """
    if placed == "as drawn":
        return _as_drawn(faces, pattern)
    if pattern is None:
        return _axes_on_it(faces)
    ports = np.array([port.at_mm for port in pattern.ports])
    if len(ports) != len(faces.ports()):
        return (
            f"{len(faces.ports())} passages lead from its head face, and the head has {len(ports)} ports: "
            "a passage for each port is read, no more and no less"
        )
    return _by_ports(faces, pattern, ports)


def _axes_on_it(faces: TwoFaces) -> Placing:
    """The job's axes laid on the piece: up is where its mouths lie from its ports."""
    face, starts = faces.head.frame, _starts(faces)
    out, row = -np.array(face.z), np.array(face.x)
    along = starts @ row
    middle = (starts[int(np.argmin(along))] + starts[int(np.argmax(along))]) / 2.0
    middle = middle + out * float((np.array(face.origin_mm) - middle) @ out)
    side = np.cross(out, row)
    rise = float((np.array(faces.mouth.frame.origin_mm) - middle) @ side)
    own = frame_from_normal(middle, out, row if rise >= 0.0 else -row)
    notes = ("which way is up is in doubt: its mouths lie level with its ports",) if abs(rise) < _NEAR_MM else ()
    return Placing(frame=_inverse(own), bank=Frame(), left_mm=0.0, by="by its ports", notes=notes)


def _as_drawn(faces: TwoFaces, pattern: Pattern | None) -> Placing | str:
    out, starts = -np.array(faces.head.frame.z), _starts(faces)
    bank = pattern.banks[0].frame if pattern is not None else _bank_on(starts, out)
    off = float(np.degrees(np.arccos(np.clip(out @ np.array(bank.z if pattern else (0.0, 0.0, 1.0)), -1.0, 1.0))))
    if off > _SQUARE_DEG:
        return f"its head face does not look along the head's as drawn: it is {off:.1f} deg off; leave `placed` out"
    ports = np.array([port.at_mm for port in pattern.ports]) if pattern is not None else bank.to_local(starts)[:, :2]
    if len(ports) != len(starts):
        return f"{len(starts)} passages lead from its head face, and the head has {len(ports)} ports"
    places = bank.to_local(starts)
    apart = np.linalg.norm(places[:, None, :2] - ports[None], axis=2).min(axis=1)
    left = max(float(apart.max()), float(np.abs(places[:, 2]).max()))
    return Placing(frame=Frame(), bank=bank, left_mm=left, by="as drawn")


def _bank_on(starts: Array, out: Array) -> Frame:
    """The bank's frame on a head face drawn in the job's axes: midway between the outermost ports, x along them."""
    ends = starts[int(np.argmin(starts[:, 0]))], starts[int(np.argmax(starts[:, 0]))]
    row = ends[1] - ends[0] if len(starts) > 1 else np.array([1.0, 0.0, 0.0])
    return frame_from_normal((ends[0] + ends[1]) / 2.0, out, row)


def _by_ports(faces: TwoFaces, pattern: Pattern, ports: Array) -> Placing:
    """Turned and shifted in the plane of the head face so that ports, then screws, lie nearest to the head's."""
    flat = from_behind(faces.head.frame)
    own = flat.to_local(_starts(faces))[:, :2]
    drilled = [hole.at_mm for hole in faces.head.holes if hole.use != "dowel"]
    holes = flat.to_local(np.array(drilled).reshape(-1, 3))[:, :2]
    screws = np.array([hole.at_mm for hole in pattern.head_holes]).reshape(-1, 2)
    found = [_settled((own, holes), (ports, screws), turn) for turn in _first_turns(own, ports)]
    best = min(cost for cost, _, _ in found)
    as_good = [item for item in found if item[0] < best + _SAME_MM]
    _, turn, shift = min(as_good, key=lambda item: _away_from_drawn(item[1], flat, pattern))
    on_bank = pattern.banks[0].frame
    c, s = np.cos(turn), np.sin(turn)
    x_there = np.array([c, s, 0.0])
    seat = Frame(
        origin_mm=vec3(on_bank.to_world(shift)),
        x=vec3(on_bank.turn(x_there)),
        y=vec3(on_bank.turn(np.array([-s, c, 0.0]))),
        z=on_bank.z,
    )
    moved = own @ np.array([[c, s], [-s, c]]) + shift
    left = float(np.linalg.norm(moved[:, None] - ports[None], axis=2).min(axis=1).max())
    notes = ("it lies on the head's ports and screws as well the other way round",) if _ambiguous(as_good) else ()
    return Placing(frame=_between(flat, seat), bank=on_bank, left_mm=left, by="by its ports", notes=notes)


def _ambiguous(as_good: list[tuple[float, float, Array]]) -> bool:
    turns = np.array([turn for _, turn, _ in as_good])
    return bool(np.abs(np.angle(np.exp(1j * (turns - turns[0])))).max() > 0.1)


def _first_turns(own: Array, ports: Array) -> Array:
    """Turns to begin from: rows along each other both ways; of a single port all round."""
    if len(own) == 1:
        return np.linspace(0.0, 2.0 * np.pi, _TURNS, endpoint=False)
    angles = [np.arctan2(*np.linalg.svd(set_ - set_.mean(axis=0))[2][0][::-1]) for set_ in (own, ports)]
    first = float(angles[1] - angles[0])
    return np.array([first, first + np.pi])


def _settled(here: tuple[Array, Array], there: tuple[Array, Array], turn: float) -> tuple[float, float, Array]:
    """How badly the piece lies on the head from that turn on, and its turn and shift."""
    (own, holes), (ports, screws) = here, there
    shift = ports.mean(axis=0) - _turned(own, turn).mean(axis=0)
    pairs = (own, ports)
    for _ in range(_ROUNDS):
        pairs = _pairs((own, holes), (ports, screws), turn, shift)
        turn, shift = _rigid(*pairs)
    left = np.linalg.norm(_turned(pairs[0], turn) + shift - pairs[1], axis=1)
    alone = len(ports) + len(screws) - len(pairs[0])
    return float(left.mean() + alone), turn, shift


def _pairs(here: tuple[Array, Array], there: tuple[Array, Array], turn: float, shift: Array) -> tuple[Array, Array]:
    """Each port and screw of the head with the piece's that lies nearest, screws only where one is near."""
    mine: list[Array] = []
    theirs: list[Array] = []
    for own, wanted, reach in zip(here, there, (np.inf, _NEAR_MM), strict=True):
        for place in wanted if len(own) else wanted[:0]:
            away = np.linalg.norm(_turned(own, turn) + shift - place, axis=1)
            if away.min() < reach:
                mine.append(own[int(np.argmin(away))])
                theirs.append(place)
    return np.array(mine), np.array(theirs)


def _rigid(own: Array, wanted: Array) -> tuple[float, Array]:
    """The turn and shift that bring points nearest to others: no mirror, no stretch."""
    a, b = own - own.mean(axis=0), wanted - wanted.mean(axis=0)
    turn = float(np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b)))
    return turn, wanted.mean(axis=0) - _turned(own, turn).mean(axis=0)


def _turned(points: Array, turn: float) -> Array:
    c, s = np.cos(turn), np.sin(turn)
    return points @ np.array([[c, s], [-s, c]])


def _away_from_drawn(turn: float, flat: Frame, pattern: Pattern) -> float:
    """How far the piece's own axes would be turned from the job's: less is likelier."""
    bank = pattern.banks[0].frame
    c, s = np.cos(turn), np.sin(turn)
    seat = Frame(x=vec3(bank.turn([c, s, 0.0])), y=vec3(bank.turn([-s, c, 0.0])), z=bank.z)
    return -float(np.trace(seat.matrix().T @ flat.matrix()))


def _starts(faces: TwoFaces) -> Array:
    """Middles of the ports (n, 3), file axes."""
    return np.array([passage.ends[end].at_mm for passage, end in faces.ports()])


def _inverse(frame: Frame) -> Frame:
    """The outer axes as seen in a frame."""
    turned = frame.matrix()
    return Frame(
        origin_mm=vec3(frame.to_local((0.0, 0.0, 0.0))),
        x=vec3(turned[:, 0]),
        y=vec3(turned[:, 1]),
        z=vec3(turned[:, 2]),
    )


def _between(here: Frame, there: Frame) -> Frame:
    """The axes in which a frame is given, once that frame lies on another one."""
    inner = _inverse(here)
    return Frame(
        origin_mm=vec3(there.to_world(inner.origin_mm)),
        x=vec3(there.turn(inner.x)),
        y=vec3(there.turn(inner.y)),
        z=vec3(there.turn(inner.z)),
    )
