"""A piece's outside in parts that differ in which holds reach them, so that a sequence can be asked to cover all of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.job.shop_tables import Mill, Shop
from tractwright.make.features import Feature
from tractwright.make.mills import mills_of, turns_to
from tractwright.make.setups import Hold
from tractwright.make.solid_reach import SolidReach
from tractwright.reach.cutters import holder_radius

Mask = npt.NDArray[np.bool_]
OUTSIDE = "outside"
"""Stands in a hold's needs and forbids for the whole outside, until its parts are known."""
_MOST_PARTS = 12
_LEAST_SHARE = 0.01
_ONE_WAY = 0.3
"""Mean normal of a part that looks one way: shorter, and it goes all round."""


def reached_in(shop: Shop, reach: SolidReach, mill: Mill, hold: Hold) -> Mask:
    """Which samples (n,) a hold's mill reaches with some cutter whose end and holder stay over plate or jaws."""
    found = np.zeros(len(reach.samples.points_mm), dtype=bool)
    above = reach.samples.points_mm @ np.array(hold.floor) - hold.level_mm
    for k, way in enumerate(reach.directions):
        if not turns_to(mill, hold.direction, vec3(way)):
            continue
        high = float(np.dot(way, hold.floor))
        level = np.sqrt(max(0.0, 1.0 - high**2))
        for m, cutter in enumerate(reach.cutters):
            need = reach.stickout_mm[k, m]
            low_end = np.where(np.isfinite(need), need, 0.0) * high
            room = above + low_end >= holder_radius(shop, cutter) * level
            found |= np.isfinite(need) & room & (above >= cutter.diameter_mm / 2 * level)
    return found


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Outside:
    """The outside in parts. holds : now with the parts each makes, needs and forbids; features : the parts themselves;
    seen (h, n) : which samples each hold reaches; mine (n,) : which are of the outside.
    """

    holds: tuple[Hold, ...]
    features: tuple[Feature, ...]
    seen: Mask
    mine: Mask

    def left(self, used: Sequence[Hold]) -> Mask:
        """The outside's samples (n,) that none of these holds reaches."""
        names = {hold.name + hold.mill for hold in used}
        rows = [k for k, hold in enumerate(self.holds) if hold.name + hold.mill in names]
        return self.mine & ~self.seen[rows].any(axis=0)


def outside_in_parts(shop: Shop, reach: SolidReach, mine: Mask, holds: tuple[Hold, ...]) -> Outside:
    """Samples reached by the same holds make one part; parts too small to count go with the one most like them."""
    mills = {mill.name: mill for mill in mills_of(shop)}
    none = np.zeros((0, len(mine)), dtype=bool)
    seen = np.array([reached_in(shop, reach, mills[hold.mill], hold) & mine for hold in holds]) if holds else none
    able = np.array([hold.makes_outside for hold in holds], dtype=bool)
    seen = seen & able[:, None]
    wanted = mine & seen.any(axis=0)
    patterns, number, count = np.unique(seen[:, wanted].T, axis=0, return_inverse=True, return_counts=True)
    order = np.argsort(-count, kind="stable")[:_MOST_PARTS]
    kept = [k for k in order if count[k] >= _LEAST_SHARE * max(1, int(wanted.sum()))]
    kept = [k for k in kept if not any(_within(patterns[other], patterns[k]) for other in kept if other != k)]
    normals, points = reach.samples.normals[wanted], reach.samples.points_mm[wanted]
    area = _areas(patterns, count, kept) * reach.samples.area_mm2
    features: list[Feature] = []
    for place, k in enumerate(kept):
        here = number.ravel() == k
        names = [feature.name for feature in features]
        features.append(
            Feature(
                name=_name(normals[here].mean(axis=0), names),
                work="outside",
                directions=(),
                at_mm=vec3(points[here].mean(axis=0)),
                area_mm2=float(area[place]),
            )
        )
    parts = frozenset(feature.name for feature in features)
    made = tuple(
        _with_parts(hold, parts, frozenset(f.name for f, k in zip(features, kept, strict=True) if patterns[k][h]))
        for h, hold in enumerate(holds)
    )
    return Outside(holds=made, features=tuple(features), seen=seen, mine=mine)


def _areas(patterns: Mask, count: npt.NDArray[np.int64], kept: Sequence[int]) -> Array:
    """How many samples each kept part (m,) stands for: those of other patterns go with the one most like them."""
    found = np.zeros(len(kept))
    for row, many in zip(patterns, count, strict=True):
        alike = [(patterns[k] & row).sum() / max(1, (patterns[k] | row).sum()) for k in kept]
        found[int(np.argmax(alike))] += many
    return found


def _within(small: Mask, large: Mask) -> bool:
    """Whether every hold that reaches the first also reaches the second: covering the first then covers the second."""
    return bool(np.all(large | ~small) and not np.array_equal(small, large))


def _with_parts(hold: Hold, parts: frozenset[str], made: frozenset[str]) -> Hold:
    return replace(
        hold,
        makes=hold.makes | made,
        needs=(hold.needs - {OUTSIDE}) | (parts if OUTSIDE in hold.needs else frozenset()),
        forbids=(hold.forbids - {OUTSIDE}) | (parts if OUTSIDE in hold.forbids else frozenset()),
    )


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
