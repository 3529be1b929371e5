"""A piece's outside in parts that differ in which holds reach them, so that a sequence can be asked to cover all of it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.job.shop_tables import Mill, Shop
from tractwright.make.feature import Feature
from tractwright.make.setups import Hold
from tractwright.make.solid_reach import SolidReach
from tractwright.reach.cutters import holder_radius
from tractwright.reach.mills import cuts_along, mills_of

Mask = npt.NDArray[np.bool_]
OUTSIDE = "outside"
"""Stands in a hold's forbids for the whole outside, in its needs for what it grips of it, until the parts are known."""
_GRIPPED = 0.05
"""A part with so much of what lies between the jaws is gripped. Judgement."""
NOTHING_OVER: Mapping[str, Mask] = MappingProxyType({})
_MOST_PARTS = 12
_AS_WELL = 0.8
"""A hold bares a place that shows so much of what the best hold shows of it. Judgement."""
_LEAST_SHARE = 0.01
_ONE_WAY = 0.3
"""Mean normal of a part that looks one way: shorter, and it goes all round."""


def reached_in(shop: Shop, reach: SolidReach, mill: Mill, hold: Hold) -> Mask:
    """Which samples (n,) a hold's mill reaches with some cutter whose end and holder stay over plate or jaws; none where a
    right-angle head stands in the spindle.
    """
    found = np.zeros(len(reach.samples.points_mm), dtype=bool)
    for _, here in _reached_along(shop, reach, mill, hold):
        found |= here
    return found


def ways_in(shop: Shop, reach: SolidReach, mill: Mill, hold: Hold, wanted: Mask) -> tuple[Vec3, ...]:
    """From where tools come to the samples wanted (n,) in a hold: few ways that show nearly all of them, the best first."""
    seen = dict(_reached_along(shop, reach, mill, hold))
    left, found = wanted.copy(), list[Vec3]()
    while seen:
        best = max(seen, key=lambda way: (int((seen[way] & left).sum()), float(np.dot(way, hold.direction))))
        more = seen.pop(best) & left
        if more.sum() < _LEAST_SHARE * max(1, int(wanted.sum())) or not more.any():
            break
        found.append(best)
        left &= ~more
    return tuple(found)


def _reached_along(shop: Shop, reach: SolidReach, mill: Mill, hold: Hold) -> Iterator[tuple[Vec3, Mask]]:
    """Each way a hold's mill turns to, with the samples (n,) it reaches along it."""
    if hold.level_way is not None:
        return
    above = reach.samples.points_mm @ np.array(hold.floor) - hold.level_mm
    corners = np.array(hold.corners_mm)
    for k, way in enumerate(reach.directions):
        if not cuts_along(mill, corners, hold.direction, vec3(way)):
            continue
        high = float(np.dot(way, hold.floor))
        level = np.sqrt(max(0.0, 1.0 - high**2))
        found = np.zeros(len(above), dtype=bool)
        for m, cutter in enumerate(reach.cutters):
            need = reach.stickout_mm[k, m]
            low_end = np.where(np.isfinite(need), need, 0.0) * high
            room = above + low_end >= holder_radius(shop, cutter) * level
            found |= np.isfinite(need) & room & (above >= cutter.diameter_mm / 2 * level)
        yield vec3(way), found


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Outside:
    """The outside in parts. holds : now with the parts each makes, needs and forbids; features : the parts themselves;
    seen (h, n) : which samples each hold reaches; mine (n,) : which are of the outside; over : by the name of a feature that
    is cut in the outside, the part that has to be cut before it.
    """

    holds: tuple[Hold, ...]
    features: tuple[Feature, ...]
    seen: Mask
    mine: Mask
    over: Mapping[str, str]

    def left(self, used: Sequence[Hold]) -> Mask:
        """The outside's samples (n,) that none of these holds reaches."""
        names = {hold.name + hold.mill for hold in used}
        rows = [k for k, hold in enumerate(self.holds) if hold.name + hold.mill in names]
        return self.mine & ~self.seen[rows].any(axis=0)


def outside_in_parts(
    shop: Shop, reach: SolidReach, mine: Mask, holds: tuple[Hold, ...], over: Mapping[str, Mask] = NOTHING_OVER
) -> Outside:
    """Samples reached by the same holds make one part; parts too small to count go with the one most like them. over : what
    has to be bare before a feature is cut, by that feature's name: a part of its own, made by the holds that bare it best; or
    by a part's own name, no more than a part.
    """
    mills = {mill.name: mill for mill in mills_of(shop)}
    none = np.zeros((0, len(mine)), dtype=bool)
    seen = np.array([reached_in(shop, reach, mills[hold.mill], hold) & mine for hold in holds]) if holds else none
    bared = [_bared(reach, seen, name, mask & mine) for name, mask in over.items() if (seen & mask).any()]
    taken = np.any([over[name] for name, _, _ in bared], axis=0) if bared else np.zeros(len(mine), dtype=bool)
    wanted = mine & seen.any(axis=0) & ~taken
    patterns, number, count = np.unique(seen[:, wanted].T, axis=0, return_inverse=True, return_counts=True)
    order = np.argsort(-count, kind="stable")[:_MOST_PARTS]
    kept = [k for k in order if count[k] >= _LEAST_SHARE * max(1, int(wanted.sum()))]
    kept = [k for k in kept if not any(_within(patterns[other], patterns[k]) for other in kept if other != k)]
    alike = _most_alike(patterns, kept)[number.ravel()]
    found = _features(reach, wanted, alike, len(kept))
    makers = [(f.name, patterns[k]) for f, k in zip(found, kept, strict=True)] + [(f.name, by) for _, f, by in bared]
    names = _names(wanted, [f.name for f in found], alike, {f.name: over[name] & mine for name, f, _ in bared})
    made = tuple(
        _with_parts(hold, names, reach.samples.points_mm, frozenset(name for name, by in makers if by[h]))
        for h, hold in enumerate(holds)
    )
    return Outside(
        holds=made,
        features=(*found, *(feature for _, feature, _ in bared)),
        seen=seen,
        mine=mine,
        over={name: feature.name for name, feature, _ in bared},
    )


def _bared(reach: SolidReach, seen: Mask, name: str, mask: Mask) -> tuple[str, Feature, Mask]:
    """What lies over a feature as a part of the outside, and which holds (h,) bare it: all but as well as the best."""
    share = seen[:, mask].mean(axis=1)
    part = Feature(
        name=name if name.startswith(OUTSIDE) else f"{OUTSIDE} over the {name}",
        work="outside",
        directions=(),
        at_mm=vec3(reach.samples.points_mm[mask].mean(axis=0)),
        area_mm2=float(mask.sum()) * reach.samples.area_mm2,
    )
    return name, part, share >= _AS_WELL * share.max()


def _features(reach: SolidReach, wanted: Mask, alike: npt.NDArray[np.int64], many: int) -> tuple[Feature, ...]:
    """One feature a part: the samples wanted (n,), of which alike tells the part."""
    normals, points = reach.samples.normals[wanted], reach.samples.points_mm[wanted]
    found: list[Feature] = []
    for place in range(many):
        here = alike == place
        found.append(
            Feature(
                name=_name(normals[here].mean(axis=0), [feature.name for feature in found]),
                work="outside",
                directions=(),
                at_mm=vec3(points[here].mean(axis=0)),
                area_mm2=float(here.sum()) * reach.samples.area_mm2,
            )
        )
    return tuple(found)


def _most_alike(patterns: Mask, kept: Sequence[int]) -> npt.NDArray[np.int64]:
    """Which kept part each pattern (m,) goes with: its own, else the one it shares most holds with."""
    if not kept:
        return np.zeros(len(patterns), dtype=np.int64)
    shared = np.array(
        [[(patterns[k] & row).sum() / max(1, (patterns[k] | row).sum()) for k in kept] for row in patterns]
    )
    return np.argmax(shared, axis=1)


def _within(small: Mask, large: Mask) -> bool:
    """Whether every hold that reaches the first also reaches the second: covering the first then covers the second."""
    return bool(np.all(large | ~small) and not np.array_equal(small, large))


def _names(
    wanted: Mask, found: list[str], alike: npt.NDArray[np.int64], bared: Mapping[str, Mask]
) -> npt.NDArray[np.str_]:
    """The part each sample (n,) belongs to, '' for none."""
    names = np.full(len(wanted), "", dtype="<U80")
    if found:
        names[wanted] = np.array(found, dtype="<U80")[alike]
    for name, mask in bared.items():
        names[mask] = name
    return names


def _with_parts(hold: Hold, names: npt.NDArray[np.str_], points_mm: Array, made: frozenset[str]) -> Hold:
    """A hold with the parts it makes; those it grips, all of them where the sawn block is held, stand for OUTSIDE."""
    parts = frozenset(str(name) for name in np.unique(names) if name)
    low = names[points_mm @ np.array(hold.floor) < hold.level_mm]
    gripped = frozenset(part for part in parts if (low == part).sum() > _GRIPPED * max(1, (low != "").sum())) or parts
    return replace(
        hold,
        makes=(hold.makes | made) - (gripped if OUTSIDE in hold.needs else frozenset()),
        needs=(hold.needs - {OUTSIDE}) | (gripped if OUTSIDE in hold.needs else frozenset()),
        forbids=(hold.forbids - {OUTSIDE}) | (parts if OUTSIDE in hold.forbids else frozenset()),
    )


def outside_at_once(features: Sequence[Feature]) -> list[Feature]:
    """The same, the outside's parts cut as one where the first of them stood: same cutters, one after the other."""
    parts = [feature for feature in features if feature.work == "outside"]
    if len(parts) < 2:
        return list(features)
    words = ", ".join(part.name.removeprefix("outside").lstrip(", ") for part in parts)
    area, volume = sum(part.area_mm2 for part in parts), sum(part.volume_mm3 for part in parts)
    whole = replace(parts[0], name=f"outside: {words}", area_mm2=area, volume_mm3=volume)
    return [whole if feature is parts[0] else feature for feature in features if feature not in parts[1:]]


def _name(look: Array, taken: list[str]) -> str:
    """'outside, upper side' and so on, numbered where one word serves several."""
    words = (("far end", "port 1's end"), ("upper side", "lower side"), ("outer side", "head side"))
    index = int(np.argmax(np.abs(look)))
    plain = float(np.linalg.norm(look)) > _ONE_WAY
    word = f"outside, {words[index][0 if look[index] > 0 else 1]}" if plain else "outside, all round"
    count = sum(name.split(" no. ")[0] == word for name in taken)
    return word if count == 0 else f"{word} no. {count + 1}"


def directions_for(shop: Shop, ups: Sequence[Vec3]) -> Array:
    """Tool directions (k, 3) worth asking: each hold's up, and what its mills turn to between, 45 deg apart."""
    mills = mills_of(shop)
    if all(mill.machine == "3-axis" for mill in mills):
        return np.array([unit(up) for up in ups])
    lattice = [
        (x, y, z)
        for x in (-1.0, 0.0, 1.0)
        for y in (-1.0, 0.0, 1.0)
        for z in (-1.0, 0.0, 1.0)
        if (x, y, z) != (0, 0, 0)
    ]
    found = [unit(up) for up in ups]
    found += [unit(way) for way in lattice if all(float(np.dot(unit(way), up)) < 0.99 for up in found)]
    return np.array(found)
