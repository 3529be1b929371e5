"""The ways a shop can hold a piece: the sawn block in a vice; a joint face on the fixture plate by its holes or threads, flat
or stood up; the finished outside in soft jaws. Common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Screw
from tractwright.geometry.frames import Vec3, unit, vec3
from tractwright.job.shop_tables import Mill, Shop
from tractwright.make.angle_head import with_angle_head
from tractwright.make.face_features import FIXTURE_SCREWS
from tractwright.make.feature import Face, Feature
from tractwright.make.flats import FLATS_MM, flanges_below, flats_in_jaws
from tractwright.make.outside import OUTSIDE
from tractwright.make.records import Stock
from tractwright.make.setups import Hold
from tractwright.make.vices import TALLEST, gripped_at
from tractwright.make.work import Work
from tractwright.reach.mills import cuts_along, mills_of, takes, travels_take, turns_level

_ANGLED_MIN, _JAWS_MIN, _TURNED_MIN = 15.0, 20.0, 8.0
_LEAST_SCREWS = 3
PINS = 2
"""Screw holes that take pins to locate by, where enough are left for screws."""
_SAME = 0.9999
_STOOD_OVER = -0.6
"""How far past upright a plate may lean over, as a cosine. Judgement."""
_TALL_MIN = 30.0
"""A block that stands higher than it is wide takes lighter cuts: so many minutes for each width more. Judgement."""
_USUAL_STICKOUT_MM = 120.0
_SOFT_GRIPS, _SOFT_SHARE = 2.0, 0.6
"""Soft jaws hold so many times as much as a vice holds of a block, no more than that share of the height. Judgement."""


def holds_for(shop: Shop, work: Work) -> tuple[Hold, ...]:
    """Every way to hold a piece on every mill that takes its block; with a right-angle head for what none of them shows."""
    mills = [mill for mill in mills_of(shop) if takes(mill, work.stock.size_mm)]
    holds = tuple(hold for mill in mills for hold in _on_mill(shop, mill, work))
    if not shop.angle_head:
        return holds
    made = frozenset[str]().union(*(hold.makes for hold in holds))
    left = [feature for feature in work.features if feature.name not in made]
    return (*holds, *(hold for mill in mills for hold in with_angle_head(mill, left, holds)))


def _on_mill(shop: Shop, mill: Mill, work: Work) -> Iterator[Hold]:
    ways = _distinct([d for feature in work.features for d in feature.directions])
    yield from _in_vice(shop, mill, work, ways)
    for face in work.faces if shop.fixture_plate else ():
        up = vec3(-np.array(face.out))
        for by in _ways_down(face):
            yield _on_face(shop, mill, work, face, by, up)
            for way in ways if turns_level(mill) else _distinct([*ways, *_sides(work.stock)]):
                if _STOOD_OVER < float(np.dot(way, up)) < _SAME:
                    yield _on_face(shop, mill, work, face, by, way)
    if work.piece.kind in ("cover", "neck") or not shop.fixture_plate:
        for way in ways if shop.fixture_plate else _distinct([*ways, *_sides(work.stock)]):
            yield from _in_jaws(shop, mill, work, way)


def _sides(stock: Stock) -> list[Vec3]:
    """Out of the six sides of a block."""
    return [vec3(sign * np.array(axis)) for axis in stock.axes for sign in (1.0, -1.0)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """How a face is screwed down: what that needs, in words, how many screws of which thread, half of how wide they
    stand the narrow way, holes left for pins.
    """

    needs: frozenset[str]
    words: str
    screws: int
    screw: str
    arm_mm: float
    free_holes: int = 0


def _ways_down(face: Face) -> Iterator[_Way]:
    rough = f"{face.name} roughed"
    if len(face.tapped) >= _LEAST_SCREWS:
        yield _Way(
            needs=frozenset({rough, f"{face.name} threads"}),
            words=f"screws from below into its {face.tapped[0].thread} threads",
            screws=len(face.tapped),
            screw=face.tapped[0].thread,
            arm_mm=_arm_mm(face, face.tapped),
            free_holes=len(face.passing),
        )
    if len(face.passing) >= _LEAST_SCREWS:
        screw, many = face.passing[0].thread, len(face.passing)
        pins = PINS if many - PINS >= _LEAST_SCREWS else 0
        yield _Way(
            needs=frozenset({rough, f"{face.name} screw holes", f"{face.name} screw seats"}),
            words=f"{screw} screws through its screw holes, heads on their seats",
            screws=many - pins,
            screw=screw,
            arm_mm=_arm_mm(face, face.passing),
            free_holes=pins,
        )
        yield _Way(
            needs=frozenset({rough, f"{face.name} fixture threads"}),
            words="screws from below into fixture threads cut in some of its screw holes",
            screws=min(FIXTURE_SCREWS, many),
            screw=screw,
            arm_mm=_arm_mm(face, face.passing),
            free_holes=max(0, many - FIXTURE_SCREWS),
        )


def _arm_mm(face: Face, screws: tuple[Screw, ...]) -> float:
    """Half of how wide screws stand in a face, the narrow way [mm]: what they bear against its tipping."""
    flat = face.joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    turns = np.radians(np.arange(0.0, 180.0, 5.0))
    return float(np.ptp(flat @ np.array([np.cos(turns), np.sin(turns)]), axis=0).min()) / 2.0


def _in_vice(shop: Shop, mill: Mill, work: Work, ways: list[Vec3]) -> Iterator[Hold]:
    """The sawn block in a vice, square or set at an angle; nothing of the outside may be cut yet, for its sides are held."""
    axes, corners = _sides(work.stock), work.stock.corners_mm()
    for up in _distinct(axes if turns_level(mill) else [*ways, *axes]):
        gripped = gripped_at(shop, work.stock, up, work.points_mm)
        if gripped is None or not travels_take(mill, np.array(corners), up, up):
            continue
        leans = f", set at {gripped.leans_deg:.0f} deg" if gripped.leans_deg > 0.0 else ""
        tall = _TALL_MIN * max(0.0, gripped.high_mm / gripped.across_mm - 1.0)
        yield Hold(
            name=f"block in vice, {_named(work, up)} up{leans}",
            direction=up,
            floor=up,
            holds_by=f"{'vice' if gripped.vices == 1 else f'vices, {gripped.vices} in line,'} on the sawn sides, "
            f"{gripped.across_mm:.0f} mm across the jaws, {gripped.deep_mm:.0f} mm held",
            needs=frozenset(),
            forbids=frozenset({OUTSIDE}),
            makes=_cut(shop, mill, work, up, up, gripped.level_mm),
            cost_min=shop.setting_minutes + (_ANGLED_MIN if leans else 0.0) + _turning(mill) + tall,
            level_mm=gripped.level_mm,
            mill=mill.name,
            machine=mill.machine,
            vices=gripped.vices,
            high_mm=gripped.high_mm - gripped.deep_mm,
            arm_mm=min(gripped.across_mm, gripped.along_mm),
            jaw_flats_mm=gripped.along_mm,
            corners_mm=corners,
            jaws_way=gripped.jaws_way,
            zero_mm=work.top_of_block_mm(up),
        )


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
        makes=_cut(shop, mill, work, up, floor, level) - by.needs - own,
        cost_min=shop.setting_minutes + (0.0 if flat else _ANGLED_MIN) + _turning(mill),
        level_mm=level,
        mill=mill.name,
        machine=mill.machine,
        face=face.name,
        zero_mm=face.at_mm,
        screws=by.screws,
        screw=by.screw,
        free_holes=by.free_holes,
        high_mm=float((work.points_mm @ np.array(floor)).max()) - level - shop.riser_mm,
        arm_mm=by.arm_mm,
        corners_mm=work.stock.corners_mm(),
    )


def _in_jaws(shop: Shop, mill: Mill, work: Work, up: Vec3) -> Iterator[Hold]:
    """The finished outside in soft jaws cut to it: what looks up is cut, and what stands out of the jaws. A piece with runners
    is not held by their tubes, a plate not stood on its edge.
    """
    straight = frozenset(f.name for f in work.features if _faces(f, up))
    level = work.points_mm @ np.array(up)
    low, high = float(level.min()), float(level.max())
    grip = min(_SOFT_GRIPS * shop.vice_grip_mm, _SOFT_SHARE * (high - low))
    flat_mm = flats_in_jaws(flanges_below(work.flanges, up, low + grip), up)
    by_tubes = work.piece.kind in ("head", "middle") and flat_mm < FLATS_MM
    if by_tubes or high - low > TALLEST * min(work.wide_mm(up)):
        return
    yield Hold(
        name=f"in soft jaws, {_named(work, up)} up",
        direction=up,
        floor=up,
        holds_by=f"soft jaws cut to the finished outline ({flat_mm:.0f} mm of it flat and parallel, {grip:.0f} mm held), the "
        "lower face on a step",
        level_mm=low + grip,
        high_mm=high - low - grip,
        arm_mm=min(work.wide_mm(up)),
        needs=frozenset({OUTSIDE}),
        forbids=frozenset(),
        makes=straight,
        cost_min=shop.setting_minutes + _JAWS_MIN,
        mill=mill.name,
        machine=mill.machine,
        vices=1,
        jaw_flats_mm=flat_mm,
        corners_mm=work.stock.corners_mm(),
        jaws_way=work.narrow_way(up),
        zero_mm=work.foot_mm(up),
    )


def _faces(feature: Feature, up: Vec3) -> bool:
    return any(float(np.dot(way, up)) > _SAME for way in feature.directions)


def _turning(mill: Mill) -> float:
    return 0.0 if mill.machine == "3-axis" else _TURNED_MIN


def _cut(shop: Shop, mill: Mill, work: Work, up: Vec3, floor: Vec3, level_mm: float) -> frozenset[str]:
    """Every feature a hold turns to the spindle with room for a holder over plate or jaws, at a usual stick-out."""
    found: set[str] = set()
    corners = np.array(work.stock.corners_mm())
    for feature in work.features:
        for way in feature.directions:
            above = float(np.dot(feature.at_mm, floor)) - level_mm
            low_end = above + min(0.0, _USUAL_STICKOUT_MM * float(np.dot(way, floor)))
            if cuts_along(mill, corners, up, way) and low_end >= 0.5 * shop.holder_mm * _level(floor, way):
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
