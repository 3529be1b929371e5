"""The ways a shop can hold a piece: the sawn block in a vice; a joint face on the fixture plate by its holes or threads, flat
or stood up; the finished outside in soft jaws. Common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Flange, Piece
from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.job.shop_tables import Mill, Shop
from tractwright.make.features import FIXTURE_SCREWS, Face, Feature
from tractwright.make.flats import flats_in_jaws
from tractwright.make.mills import mills_of, takes, turns_to
from tractwright.make.outside import OUTSIDE
from tractwright.make.records import Stock
from tractwright.make.setups import Hold

_ANGLED_MIN, _JAWS_MIN, _TURNED_MIN = 15.0, 20.0, 8.0
_LEAST_SCREWS = 3
_SAME = 0.9999
_STOOD_OVER = -0.6
"""How far past upright a plate may lean over, as a cosine. Judgement."""
_TALLEST, _TALLEST_ALONG = 1.75, 3.0
"""A block may stand so many times as high as it is wide across the jaws, and as it is long along them. Judgement."""
_TALL_MIN = 30.0
"""A block that stands higher than it is wide takes lighter cuts: so many minutes for each width more. Judgement."""
_USUAL_STICKOUT_MM = 120.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Work:
    """A piece with its block, its joint faces, flanges, features but the outside, and points (n, 3) of its surface."""

    piece: Piece
    stock: Stock
    faces: tuple[Face, ...]
    flanges: tuple[Flange, ...]
    features: tuple[Feature, ...]
    points_mm: Array


def holds_for(shop: Shop, work: Work) -> tuple[Hold, ...]:
    """Every way to hold a piece on every mill that takes its block."""
    mills = [mill for mill in mills_of(shop) if takes(mill, work.stock.size_mm)]
    return tuple(hold for mill in mills for hold in _on_mill(shop, mill, work))


def _on_mill(shop: Shop, mill: Mill, work: Work) -> Iterator[Hold]:
    ways = _distinct([d for feature in work.features for d in feature.directions])
    yield from _in_vice(shop, mill, work, ways)
    for face in work.faces:
        up = vec3(-np.array(face.out))
        for by in _ways_down(face):
            yield _on_face(shop, mill, work, face, by, up)
            for way in ways if mill.machine == "tilting table" else _distinct([*ways, *_sides(work.stock)]):
                if _STOOD_OVER < float(np.dot(way, up)) < _SAME:
                    yield _on_face(shop, mill, work, face, by, way)
    if work.piece.kind in ("cover", "neck"):
        for way in ways:
            yield _in_jaws(shop, mill, work, way)


def _sides(stock: Stock) -> list[Vec3]:
    """Out of the six sides of a block."""
    return [vec3(sign * np.array(axis)) for axis in stock.axes for sign in (1.0, -1.0)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """How a face is screwed down: what that needs, what the screws cover up, in words."""

    needs: frozenset[str]
    covers: frozenset[str]
    words: str
    screws: int
    screw: str


def _ways_down(face: Face) -> Iterator[_Way]:
    rough = f"{face.name} roughed"
    if len(face.tapped) >= _LEAST_SCREWS:
        yield _Way(
            needs=frozenset({rough, f"{face.name} threads"}),
            covers=frozenset(),
            words=f"screws from below into its {face.tapped[0].thread} threads",
            screws=len(face.tapped),
            screw=face.tapped[0].thread,
        )
    if len(face.passing) >= _LEAST_SCREWS:
        screw = face.passing[0].thread
        yield _Way(
            needs=frozenset({rough, f"{face.name} screw holes"}),
            covers=frozenset({f"{face.name} screw seats"}),
            words=f"{screw} screws through its screw holes",
            screws=len(face.passing),
            screw=screw,
        )
        yield _Way(
            needs=frozenset({rough, f"{face.name} fixture threads"}),
            covers=frozenset(),
            words="screws from below into fixture threads cut in some of its screw holes",
            screws=min(FIXTURE_SCREWS, len(face.passing)),
            screw=screw,
        )


def _in_vice(shop: Shop, mill: Mill, work: Work, ways: list[Vec3]) -> Iterator[Hold]:
    """The sawn block in a vice, square or set at an angle; nothing of the outside may be cut yet, for its sides are held."""
    axes = _sides(work.stock)
    for up in _distinct(axes if mill.machine == "tilting table" else [*ways, *axes]):
        index = int(np.argmax([abs(float(np.dot(up, axis))) for axis in work.stock.axes]))
        across = across_jaws_mm(shop, work.stock.size_mm, index)
        if across == 0.0:
            continue
        tall = _TALL_MIN * max(0.0, work.stock.size_mm[index] / across - 1.0)
        square = abs(float(np.dot(up, work.stock.axes[index]))) > _SAME
        low = float((work.points_mm @ np.array(up)).min()) - shop.saw_allowance_mm
        level = low + shop.vice_grip_mm
        yield Hold(
            name=f"block in vice, {_named(work, up)} up{'' if square else ', set at an angle'}",
            direction=up,
            floor=up,
            holds_by=f"vice on the sawn sides, {across:.0f} mm across the jaws, {shop.vice_grip_mm:.0f} mm held",
            needs=frozenset(),
            forbids=frozenset({OUTSIDE}),
            makes=_cut(shop, mill, work, up, up, level),
            cost_min=shop.setting_minutes + (0.0 if square else _ANGLED_MIN) + _turning(mill) + tall,
            level_mm=level,
            mill=mill.name,
            machine=mill.machine,
            jaw_flats_mm=_along_jaws_mm(work.stock.size_mm, index, across),
        )


def across_jaws_mm(shop: Shop, size_mm: Vec3, up: int) -> float:
    """Which side of a block the vice closes on [mm]: the widest it takes that stands safely; 0 where none does. up : which of
    the block's sizes stands upright.
    """
    height = size_mm[up]
    sides = [side for k, side in enumerate(size_mm) if k != up]
    pairs = ((sides[0], sides[1]), (sides[1], sides[0]))
    safe = [
        a for a, along in pairs if a <= shop.vice_opening_mm and height <= min(_TALLEST * a, _TALLEST_ALONG * along)
    ]
    return max(safe, default=0.0)


def _along_jaws_mm(size_mm: Vec3, up: int, across_mm: float) -> float:
    """How long the sides of a block are that the vice closes on [mm]."""
    sides = [side for k, side in enumerate(size_mm) if k != up]
    return sides[1] if sides[0] == across_mm else sides[0]


def _on_face(shop: Shop, mill: Mill, work: Work, face: Face, by: _Way, up: Vec3) -> Hold:
    """A joint face on plate or angle plate, lifted by the riser; what lies in that face is out of reach."""
    floor = vec3(-np.array(face.out))
    flat = float(np.dot(up, floor)) > _SAME
    angle = float(np.degrees(np.arccos(np.clip(np.dot(up, floor), -1.0, 1.0))))
    stands = "" if flat else f", stood up {angle:.0f} deg with the {_named(work, up)} up"
    level = float(np.dot(face.at_mm, floor)) - shop.riser_mm
    own = {f.name for f in work.features if f.face == face.name and f.work not in ("seats", "holes")}
    return Hold(
        name=f"on the {face.name}{stands}",
        direction=up,
        floor=floor,
        holds_by=f"{'fixture' if flat else 'angle'} plate with a {shop.riser_mm:.0f} mm riser, {by.words}",
        needs=by.needs,
        forbids=frozenset(),
        makes=_cut(shop, mill, work, up, floor, level) - by.covers - own,
        cost_min=shop.setting_minutes + (0.0 if flat else _ANGLED_MIN) + _turning(mill),
        level_mm=level,
        mill=mill.name,
        machine=mill.machine,
        face=face.name,
        screws=by.screws,
        screw=by.screw,
    )


def _in_jaws(shop: Shop, mill: Mill, work: Work, up: Vec3) -> Hold:
    """The finished outside in soft jaws cut to it: only what looks up is cut, the jaws hold the rest."""
    straight = frozenset(f.name for f in work.features if _faces(f, up))
    flat_mm = flats_in_jaws(work.flanges, up)
    return Hold(
        name=f"in soft jaws, {_named(work, up)} up",
        direction=up,
        floor=up,
        holds_by=f"soft jaws cut to the finished outline ({flat_mm:.0f} mm of it flat and parallel), the lower face on a step",
        needs=frozenset({OUTSIDE}),
        forbids=frozenset(),
        makes=straight,
        makes_outside=False,
        cost_min=shop.setting_minutes + _JAWS_MIN,
        mill=mill.name,
        machine=mill.machine,
        jaw_flats_mm=flat_mm,
    )


def _faces(feature: Feature, up: Vec3) -> bool:
    return any(float(np.dot(way, up)) > _SAME for way in feature.directions)


def _turning(mill: Mill) -> float:
    return 0.0 if mill.machine == "3-axis" else _TURNED_MIN


def _cut(shop: Shop, mill: Mill, work: Work, up: Vec3, floor: Vec3, level_mm: float) -> frozenset[str]:
    """Every feature a hold turns to the spindle with room for a holder over plate or jaws, at a usual stick-out."""
    found: set[str] = set()
    for feature in work.features:
        for way in feature.directions:
            above = float(np.dot(feature.at_mm, floor)) - level_mm
            low_end = above + min(0.0, _USUAL_STICKOUT_MM * float(np.dot(way, floor)))
            if turns_to(mill, up, way) and low_end >= 0.5 * shop.holder_mm * _level(floor, way):
                found.add(feature.name)
    return frozenset(found)


def _level(up: Vec3, way: Vec3) -> float:
    """How level a tool lies: 0 upright, 1 level."""
    return float(np.sqrt(max(0.0, 1.0 - np.dot(up, way) ** 2)))


def _named(work: Work, up: Vec3) -> str:
    """A direction in the trade's words: the face that looks that way, else the side of the job."""
    for face in work.faces:
        if float(np.dot(face.out, up)) > 0.996:
            return face.name
        if float(np.dot(face.out, up)) < -0.996:
            return f"side away from the {face.name}"
    names = (("far end", "port 1's end"), ("upper side", "lower side"), ("outer side", "head side"))
    index = int(np.argmax(np.abs(up)))
    return names[index][0 if up[index] > 0 else 1]


def _distinct(ways: list[Vec3]) -> list[Vec3]:
    kept: list[Vec3] = []
    for way in ways:
        straight = vec3(unit(way))
        if all(float(np.dot(straight, other)) < _SAME for other in kept):
            kept.append(straight)
    return kept
