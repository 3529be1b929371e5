"""A piece's holds in order: the least sequence, large pieces let go before their faces are finished, and nothing of the block
left where the jaws held it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array
from tractwright.job.shop_tables import Shop
from tractwright.make.feature import Feature
from tractwright.make.features import let_go_before_finishing
from tractwright.make.outside import OUTSIDE, Outside, outside_in_parts
from tractwright.make.over import after_what_lies_over
from tractwright.make.records import Stock
from tractwright.make.setups import Hold, Sequence, least_sequence
from tractwright.make.solid_reach import SolidReach

Mask = npt.NDArray[np.bool_]
_LARGE_MM = 150.0
_MOST_ROUNDS = 6
_SHOWN = 0.5
"""What the jaws held is cut where a later hold shows so much of it. Judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """A piece to be put in order. mine (n,) : samples of its outside; over : by feature what has to be bare first; features :
    all but the outside; volume_mm3 : to take off its block.
    """

    shop: Shop
    stock: Stock
    reach: SolidReach
    mine: Mask
    holds: tuple[Hold, ...]
    over: Mapping[str, Mask]
    features: tuple[Feature, ...]
    volume_mm3: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class InOrder:
    """Its outside in parts, all features, the holds in order, notes."""

    outside: Outside
    features: tuple[Feature, ...]
    sequence: Sequence
    notes: tuple[str, ...]


def in_order(asked: Asked) -> InOrder:
    """The least sequence. Where it leaves what the jaws of one of its holds held, that is asked for as a part of its own."""
    found = _once(asked)
    for _ in range(_MOST_ROUNDS):
        left = _left_in_jaws(asked.reach.samples.points_mm, found)
        fresh = {name: mask for name, mask in left.items() if name not in asked.over}
        if not fresh:
            break
        asked = replace(asked, over={**asked.over, **fresh})
        found = _once(asked)
    return found


def _once(asked: Asked) -> InOrder:
    outside = outside_in_parts(asked.shop, asked.reach, asked.mine, asked.holds, asked.over)
    plain = after_what_lies_over(asked.features, outside.over)
    features = (*plain, *_with_volumes(outside.features, plain, asked.volume_mm3))
    sequence, notes = _sequence(asked.stock, outside, features)
    return InOrder(outside=outside, features=features, sequence=sequence, notes=notes)


def _left_in_jaws(points_mm: Array, found: InOrder) -> dict[str, Mask]:
    """Samples (n,) of the outside that lay between the jaws of a hold of the sawn block, which no other hold shows: the block's
    foot still hangs on there. By the name of the part they make.
    """
    left: dict[str, Mask] = {}
    used = found.sequence.holds
    for hold in used:
        if not (hold.forbids and hold.jaws_way is not None):
            continue
        held = found.outside.mine & (points_mm @ np.array(hold.floor) < hold.level_mm)
        shown = held & ~found.outside.left(used)
        if held.any() and shown.sum() < _SHOWN * held.sum():
            left[f"{OUTSIDE} that the jaws held, {hold.name.removeprefix('block in vice, ')}"] = held
    return left


def _with_volumes(parts: tuple[Feature, ...], others: tuple[Feature, ...], volume_mm3: float) -> tuple[Feature, ...]:
    """What is left to take off the block, shared among the outside's parts by area."""
    left = volume_mm3 - sum(feature.volume_mm3 for feature in others)
    area = sum(part.area_mm2 for part in parts)
    return tuple(replace(p, volume_mm3=max(0.0, left) * p.area_mm2 / area) for p in parts) if area else parts


def _sequence(stock: Stock, outside: Outside, features: tuple[Feature, ...]) -> tuple[Sequence, tuple[str, ...]]:
    """Large pieces are let go before their joint faces are finished; where no sequence does that for all, as far as it goes."""
    if max(stock.size_mm) < _LARGE_MM:
        return least_sequence(outside.holds, features), ()
    strict = least_sequence(outside.holds, let_go_before_finishing(features))
    if not strict.missing:
        return strict, ()
    heavy = tuple(f for f in features if f.work != "outside")
    eased = least_sequence(outside.holds, (*let_go_before_finishing(heavy), *outside.features))
    if len(eased.missing) >= len(strict.missing):
        return strict, ()
    note = (
        f"{stock.piece}: a joint face is finished before the last of the outside is cut, for no hold shows it later: "
        "leave that cut light, and check the face for flatness afterwards."
    )
    return eased, (note,)
