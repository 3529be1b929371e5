"""Which two faces of a head piece its passages join: the one on the cylinder head, the one the next piece bolts to."""

from collections import Counter
from dataclasses import dataclass

from tractwright.own.records import JointFace, OwnSolid, Passage

_BOLTED = {"tapped": 1.0, "dowel": 2.0, "clearance": -1.0}
_GROOVE = 2.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class TwoFaces:
    """head, mouth : the two faces; passages : from the first to the second, each with which of its ends (0 or 1) lies in
    the head face; strays : names of passages that join other faces.
    """

    head: JointFace
    mouth: JointFace
    passages: tuple[tuple[Passage, int], ...]
    strays: tuple[str, ...]

    def ports(self) -> tuple[tuple[Passage, int], ...]:
        """The passages, one for each opening in the head face: two may start in the same one."""
        firsts = {passage.ends[end].opening: (passage, end) for passage, end in reversed(self.passages)}
        return tuple(item for item in self.passages if item in firsts.values())


def two_faces(solid: OwnSolid, named: str | None) -> TwoFaces | str:
    """The two faces, or in plain words why they cannot be told. named : the mouth face by the user's word."""
    faces = {face.name: face for face in solid.joint_faces}
    if named is not None and named not in faces:
        return f"it has no joint face {named!r}; it has {_listed(faces)}"
    pairs = Counter(_pair(passage) for passage in solid.passages if len(set(_pair(passage))) == 2)
    if named is not None:
        pairs = Counter({pair: count for pair, count in pairs.items() if named in pair})
    if not pairs:
        return f"no passage leads from one joint face to another; joint faces: {_listed(faces)}"
    most = max(pairs.values())
    best = [pair for pair, count in pairs.items() if count == most]
    if len(best) > 1:
        return f"as many passages join {' as '.join(' and '.join(pair) for pair in best)}: say which with `face`"
    mouth = named or _mouth_of(faces[best[0][0]], faces[best[0][1]])
    if not mouth:
        return f"which of {' and '.join(best[0])} the next piece bolts to cannot be told: say it with `face`"
    head = next(name for name in best[0] if name != mouth)
    led = tuple((p, 0 if p.ends[0].face == head else 1) for p in solid.passages if _pair(p) == best[0])
    strays = tuple(p.name for p in solid.passages if _pair(p) != best[0])
    return TwoFaces(head=faces[head], mouth=faces[mouth], passages=led, strays=strays)


def _pair(passage: Passage) -> tuple[str, str]:
    first, last = sorted(end.face for end in passage.ends)
    return first, last


def _mouth_of(one: JointFace, two: JointFace) -> str:
    """The face with threads, dowels and grooves more than holes that screws pass; '' where both are alike."""
    scores = [
        sum(_BOLTED.get(hole.use, 0.0) for hole in face.holes) / max(len(face.holes), 1) + _GROOVE * len(face.grooves)
        for face in (one, two)
    ]
    if scores[0] == scores[1]:
        return ""
    return one.name if scores[0] > scores[1] else two.name


def _listed(faces: dict[str, JointFace]) -> str:
    return (
        ", ".join(f"{face.name} ({len(face.openings)} openings, {len(face.holes)} holes)" for face in faces.values())
        or "none"
    )
