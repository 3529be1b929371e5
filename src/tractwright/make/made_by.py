"""Which features of the plan bare each place of a piece's surface, by the names the plan gives them."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from tractwright.design.boss_space import carrier
from tractwright.design.records import Design, Piece
from tractwright.design.tube import centreline
from tractwright.geometry.frames import Vec3, vec3
from tractwright.make.channels import channel_features
from tractwright.make.face_features import FIXTURE_SCREWS, fixture_depth, fixture_pair_of
from tractwright.make.feature import Face, Feature, faces_of
from tractwright.make.features import features_of
from tractwright.make.owners import OUTSIDE, on_rod, owners_of
from tractwright.make.patches import in_pockets
from tractwright.make.samples import Samples

Mask = npt.NDArray[np.bool_]
Makers = tuple[frozenset[str], ...]
_PAST_MM = 1.0


def made_by(design: Design, piece: Piece, samples: Samples) -> tuple[npt.NDArray[np.int16], Makers]:
    """Numbers (n,) into a list of features by name, any of which bares a sample; number 1, the list's first, is the outside.
    Number 0 stands for none.
    """
    features = (*features_of(design, piece), *channel_features(design, piece))
    owners = owners_of(design, piece, samples)
    makers: list[frozenset[str]] = [frozenset({OUTSIDE})]
    numbers = np.ones(len(samples.points_mm), dtype=np.int16)
    for mask, names in _claims(design, piece, features, samples, owners):
        if not mask.any():
            continue
        if names not in makers:
            makers.append(names)
        numbers[mask] = makers.index(names) + 1
    return numbers, tuple(makers)


def _claims(
    design: Design, piece: Piece, features: tuple[Feature, ...], samples: Samples, owners: npt.NDArray[np.str_]
) -> Iterator[tuple[Mask, frozenset[str]]]:
    """Later ones win."""
    faces = {face.name: face for face in faces_of(design, piece)}
    known = {feature.name for feature in features}
    for owner in (str(name) for name in np.unique(owners) if name != OUTSIDE):
        mask = owners == owner
        if owner.startswith("passage "):
            yield from _passage(design, owner.removeprefix("passage "), features, samples, mask)
        elif owner.endswith(" finished"):
            yield mask, frozenset({owner.replace(" finished", " roughed")})
        elif owner.endswith(" screw holes"):
            face = faces[owner.removesuffix(" screw holes")]
            yield mask, frozenset({owner, f"{face.name} threads"} & known)
            yield from _fixture_threads(face, samples, mask)
        elif owner == "throttle bore":
            yield mask, frozenset(feature.name for feature in features if feature.work == "bore")
        else:
            yield mask, frozenset({owner})
    yield from ((mask, frozenset({name})) for mask, name in in_pockets(design, piece, samples))
    yield from _boss_holes(design, piece, features, samples)


def _passage(
    design: Design, name: str, features: tuple[Feature, ...], samples: Samples, mask: Mask
) -> Iterator[tuple[Mask, frozenset[str]]]:
    """Of a runner's passage from each end that half which is nearer to it."""
    runner = next(item for item in design.runners if item.name == name)
    line = centreline(runner, design)
    ends = [f for f in features if f.work == "passages" and _has(f, name)]
    if not ends:
        return
    points = samples.points_mm[mask]
    places = [line.points_mm[_nearest_end(line.points_mm, feature)] for feature in ends]
    off = np.array([np.linalg.norm(points - place, axis=1) for place in places])
    nearest = np.argmin(off, axis=0)
    for number, feature in enumerate(ends):
        half = np.zeros_like(mask)
        half[np.flatnonzero(mask)[nearest == number]] = True
        yield half, frozenset({feature.name})


def _has(feature: Feature, runner: str) -> bool:
    """Whether a feature's name has a runner, or has none and so all."""
    some = feature.name.partition(" from the ")[0].removeprefix("passages").strip()
    return not some or runner in some.split(", ")


def _nearest_end(points_mm: npt.NDArray[np.float64], feature: Feature) -> int:
    """Where a centreline comes nearest to the face its passage is cut from."""
    off = np.abs((points_mm - np.array(feature.at_mm)) @ np.array(feature.directions[0]))
    return int(np.argmin(off))


def _fixture_threads(face: Face, samples: Samples, mask: Mask) -> Iterator[tuple[Mask, frozenset[str]]]:
    """The mouths of those screw holes that get a larger thread for the fixture first."""
    pair = fixture_pair_of(face) if face.passing else None
    if pair is None:
        return
    deep = fixture_depth(face, pair)
    names = frozenset({f"{face.name} screw holes", f"{face.name} fixture threads"})
    for screw in face.passing[:FIXTURE_SCREWS]:
        at = np.array(screw.seat_mm) + np.array(screw.direction) * screw.grip_mm - np.array(face.out) * deep / 2.0
        yield mask & on_rod(samples, vec3(at), face.out, pair.mouth_mm, deep / 2.0), names


def _boss_holes(
    design: Design, piece: Piece, features: tuple[Feature, ...], samples: Samples
) -> Iterator[tuple[Mask, frozenset[str]]]:
    """Holes of bosses and their steps."""
    drilled = [f for f in features if f.work == "boss" and f.starts_mm]
    for boss in design.bosses:
        if carrier(boss, design) != piece.name:
            continue
        top = np.array(boss.at_mm) + boss.height_mm * np.array(boss.axis)
        name = next((f.name for f in drilled if _starts(f, vec3(top))), None)
        if name is None:
            continue
        middle = vec3(top - np.array(boss.axis) * boss.hole_depth_mm / 2.0)
        wall = np.abs(samples.normals @ np.array(boss.axis)) < 0.9
        yield (
            wall & on_rod(samples, middle, boss.axis, boss.hole_mm, boss.hole_depth_mm / 2.0 + _PAST_MM),
            frozenset({name}),
        )


def _starts(feature: Feature, top: Vec3) -> bool:
    return any(float(np.linalg.norm(np.array(place) - np.array(top))) < _PAST_MM for place in feature.starts_mm)
