"""What is cut on a piece, and its joint faces: the records, and the words the trade has for the faces."""

from dataclasses import dataclass, field
from typing import Literal

from tractwright.design.records import Design, Joint, Piece, Screw, Throttle
from tractwright.geometry.frames import Vec3, unit, vec3

Work = Literal[
    "rough face", "finish face", "holes", "threads", "fixture threads", "dowel holes", "seats", "groove", "inside", "bore",
    "passages", "pocket", "boss", "outside",
]  # fmt: skip
_WORDS = {
    ("head", 1): "head face", ("runner", 0): "mouth face", ("runner", 1): "entry face", ("cover", 0): "cover face",
    ("cover", 1): "seal face", ("neck", 0): "throttle pad", ("neck", 1): "neck face", ("body", 0): "body face",
    ("split", 0): "split face", ("split", 1): "split face",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A joint face of a piece: its word, its joint, out of the metal, a point of it; screws that pass, screws tapped here."""

    name: str
    joint: Joint
    out: Vec3
    at_mm: Vec3
    passing: tuple[Screw, ...]
    tapped: tuple[Screw, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One thing to cut. directions : any of these, from the work to the spindle; at_mm : where, for the fixture's sake.

    first : features that come before it, in the same set-up or earlier; earlier : in an earlier one, the part let go since.
    count, diameter_mm, depth_mm, thread : of holes; area_mm2, volume_mm3 : of surface and of metal to take away.
    optional : cut only where a hold needs it. starts_mm : places of the surface it is cut in, which has to be bare by then.
    """

    name: str
    work: Work
    directions: tuple[Vec3, ...]
    at_mm: Vec3
    face: str = ""
    first: frozenset[str] = field(default_factory=frozenset[str])
    earlier: frozenset[str] = field(default_factory=frozenset[str])
    count: int = 0
    diameter_mm: float = 0.0
    depth_mm: float = 0.0
    thread: str = ""
    area_mm2: float = 0.0
    volume_mm3: float = 0.0
    optional: bool = False
    starts_mm: tuple[Vec3, ...] = ()


def bore_name(throttle: Throttle, design: Design) -> str:
    """Of the feature that is a throttle's bore."""
    return f"bore {throttle.name}" if len(design.throttles) > 1 else "throttle bore"


def faces_of(design: Design, piece: Piece) -> tuple[Face, ...]:
    """The joint faces of a piece, named as the trade names them; a word used twice carries its joint's name."""
    joints = [joint for joint in design.joints if piece.name in joint.pieces]
    words = [_word(joint, piece) for joint in joints]
    return tuple(
        _face(design, piece, joint, word if words.count(word) == 1 else f"{word} {joint.name}")
        for joint, word in zip(joints, words, strict=True)
    )


def _word(joint: Joint, piece: Piece) -> str:
    place = joint.pieces.index(piece.name)
    return "floor face" if (joint.kind, place, piece.kind) == ("runner", 1, "plenum") else _WORDS[joint.kind, place]


def _face(design: Design, piece: Piece, joint: Joint, name: str) -> Face:
    side = 1.0 if joint.pieces[0] == piece.name else -1.0
    screws = [screw for screw in design.screws if screw.joint == joint.name]
    return Face(
        name=name,
        joint=joint,
        out=vec3(side * unit(joint.frame.z)),
        at_mm=joint.frame.origin_mm,
        passing=tuple(s for s in screws if s.tapped_in != piece.name),
        tapped=tuple(s for s in screws if s.tapped_in == piece.name),
    )
