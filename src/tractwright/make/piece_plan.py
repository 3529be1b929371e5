"""The making of one piece: block, features with their amounts, reach, set-ups with operations, and what is left over."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.design.records import Design, Piece
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.job.shop_tables import Cutter, CutterKind, Mill, Shop
from tractwright.make.features import Feature, faces_of, features_of, let_go_before_finishing
from tractwright.make.holding import borne_n, held_times, holding_words, locating_words
from tractwright.make.holds import Work, holds_for
from tractwright.make.mills import mills_of
from tractwright.make.operations import Bench, operation
from tractwright.make.outside import Outside, directions_for, outside_in_parts
from tractwright.make.owners import OUTSIDE, owners_of
from tractwright.make.records import Setup, Stock, Unreached
from tractwright.make.samples import Samples, surface_samples
from tractwright.make.setups import RELEASE_MIN, Hold, Sequence, least_sequence
from tractwright.make.solid_reach import SolidReach, solid_reach
from tractwright.make.stock import stock_of
from tractwright.reach.cutters import REACHING, shop_cutters
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece

_SAMPLES, _STEP_MM = 1500, 2.0
_OF_A_KIND = 4
_LARGE_MM = 150.0
_SETTING = (0.7, 1.4)
_LEAST_LEFT = 0.01


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PiecePlan:
    """One piece's block, set-ups in order, features no set-up makes with the reason, surface nothing reaches, notes."""

    stock: Stock
    setups: tuple[Setup, ...]
    missing: tuple[tuple[str, str, str], ...]
    unreached: tuple[Unreached, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Known:
    """What is worked out once for a piece."""

    shop: Shop
    piece: Piece
    stock: Stock
    samples: Samples
    owners: npt.NDArray[np.str_]
    reach: SolidReach
    outside: Outside
    passages: tuple[PassageReach, ...]


def piece_plan(shop: Shop, design: Design, built: BuiltPiece, reached: tuple[PassageReach, ...]) -> PiecePlan:
    """Everything about making a piece but its price."""
    record = next(item for item in design.pieces if item.name == built.name)
    stock = stock_of(shop, design, built)
    samples = surface_samples(built.mesh, _SAMPLES)
    owners = owners_of(design, record, samples)
    plain = _with_areas(features_of(design, record), owners, samples, shop)
    work = Work(
        piece=record, stock=stock, faces=faces_of(design, record), features=plain, points_mm=samples.points_mm,
        flanges=tuple(flange for flange in design.flanges if flange.piece == record.name),
    )  # fmt: skip
    holds = holds_for(shop, work)
    reach = _reach(shop, built, samples, (owners == OUTSIDE) | np.char.startswith(owners, "inside of "), holds)
    outside = outside_in_parts(shop, reach, owners == OUTSIDE, holds)
    known = _Known(
        shop=shop, piece=record, stock=stock, samples=samples, owners=owners, reach=reach, outside=outside,
        passages=tuple(p for p in reached if p.piece == built.name),
    )  # fmt: skip
    features = (*plain, *_with_volumes(outside.features, plain, stock, built))
    sequence, notes = _sequence(known, features)
    return PiecePlan(
        stock=stock,
        setups=_setups(known, features, sequence),
        missing=_missing(known, sequence, holds),
        unreached=_unreached(known, sequence),
        notes=notes,
    )


def _sequence(known: _Known, features: tuple[Feature, ...]) -> tuple[Sequence, tuple[str, ...]]:
    """Large pieces are let go before their joint faces are finished; where no sequence does that for all, as far as it goes."""
    if max(known.stock.size_mm) < _LARGE_MM:
        return least_sequence(known.outside.holds, features), ()
    strict = least_sequence(known.outside.holds, let_go_before_finishing(features))
    if not strict.missing:
        return strict, ()
    heavy = tuple(f for f in features if f.work != "outside")
    eased = least_sequence(known.outside.holds, (*let_go_before_finishing(heavy), *known.outside.features))
    if len(eased.missing) >= len(strict.missing):
        return strict, ()
    note = (
        f"{known.piece.name}: a joint face is finished before the last of the outside is cut, for no hold shows it later: "
        "leave that cut light, and check the face for flatness afterwards."
    )
    return eased, (note,)


def _reach(
    shop: Shop, built: BuiltPiece, samples: Samples, asked: npt.NDArray[np.bool_], holds: tuple[Hold, ...]
) -> SolidReach:
    """Reach of the samples asked for (n,); the others stand as not reached: holes, faces and passages are cut otherwise."""
    ups: list[Vec3] = []
    for hold in holds:
        if all(float(np.dot(hold.direction, up)) < 0.9999 for up in ups):
            ups.append(hold.direction)
    directions = directions_for(shop, ups) if ups else np.zeros((0, 3))
    some = replace(samples, points_mm=samples.points_mm[asked], normals=samples.normals[asked])
    found = solid_reach(shop, built.mesh, some, directions, _skin_cutters(shop), _STEP_MM)
    stickout = np.full((*found.stickout_mm.shape[:2], len(asked)), np.inf)
    stickout[:, :, asked] = found.stickout_mm
    fits = np.zeros((len(found.cutters), len(asked)), dtype=bool)
    fits[:, asked] = found.fits
    return replace(found, samples=samples, stickout_mm=stickout, fits=fits)


def _skin_cutters(shop: Shop) -> tuple[Cutter, ...]:
    """A few of each kind, largest to smallest: enough to tell what can be reached at all."""
    found: list[Cutter] = []
    plain: tuple[CutterKind, ...] = ("flat", "bull")
    for kinds, many in ((REACHING, _OF_A_KIND), (plain, _OF_A_KIND // 2)):
        for kind in kinds:
            same = sorted(
                (c for c in shop_cutters(shop, kinds) if c.kind == kind), key=lambda cutter: -cutter.diameter_mm
            )
            places = np.unique(np.linspace(0, len(same) - 1, min(many, len(same))).round().astype(int))
            found += [same[k] for k in places]
    return tuple(found)


def _with_areas(
    features: tuple[Feature, ...], owners: npt.NDArray[np.str_], samples: Samples, shop: Shop
) -> tuple[Feature, ...]:
    """Joint faces with their own area, and the allowance over it to take off."""

    def sized(feature: Feature) -> Feature:
        if feature.work not in ("rough face", "finish face"):
            return feature
        area = float(np.sum(owners == f"{feature.face} finished")) * samples.area_mm2
        depth = shop.saw_allowance_mm if feature.work == "rough face" else 0.0
        return replace(feature, area_mm2=area, volume_mm3=area * depth)

    return tuple(sized(feature) for feature in features)


def _with_volumes(
    parts: tuple[Feature, ...], others: tuple[Feature, ...], stock: Stock, built: BuiltPiece
) -> tuple[Feature, ...]:
    """What is left to take off the block, shared among the outside's parts by area."""
    left = float(np.prod(stock.size_mm)) - built.volume_mm3 - sum(f.volume_mm3 for f in others)
    area = sum(part.area_mm2 for part in parts)
    return tuple(replace(p, volume_mm3=max(0.0, left) * p.area_mm2 / area) for p in parts) if area else parts


def _setups(known: _Known, features: tuple[Feature, ...], sequence: Sequence) -> tuple[Setup, ...]:
    mills = {mill.name: mill for mill in mills_of(known.shop)}
    done: frozenset[str] = frozenset()
    found: list[Setup] = []
    for number, (hold, made, again) in enumerate(
        zip(sequence.holds, sequence.made, sequence.again, strict=True), start=1
    ):
        cut = tuple(feature for feature in features if feature.name in made)
        found.append(_setup(known, mills[hold.mill], hold, cut, (number, again, done)))
        done |= made
    return tuple(found)


def _setup(
    known: _Known, mill: Mill, hold: Hold, cut: tuple[Feature, ...], place: tuple[int, bool, frozenset[str]]
) -> Setup:
    number, again, done = place
    row = known.outside.holds.index(hold)
    bench = Bench(
        shop=known.shop, mill=mill, passage_cutters=tuple(dict.fromkeys(p.cutter for p in known.passages if p.cutter)),
        outside_cutters=_used_outside(known, mill, hold, row),
        borne_n=borne_n(known.shop, mill, hold),
    )  # fmt: skip
    order = {work: k for k, work in enumerate(("rough face", "inside", "outside", "passages", "bore", "pocket"))}
    last = {"finish face": 90, "groove": 91, "dowel holes": 92}
    ordered = sorted(cut, key=lambda f: (order.get(f.work, last.get(f.work, 50)), f.name))
    operations = tuple(operation(bench, feature) for feature in ordered)
    setting = RELEASE_MIN if again else hold.cost_min
    minutes = [setting * _SETTING[k] + sum(one.minutes[k] for one in operations) for k in (0, 1)]
    mine = known.outside.mine
    return Setup(
        name=f"{known.piece.name} {number}: {hold.name}{', let go and held again' if again else ''}",
        piece=known.piece.name,
        machine=hold.machine if hold.mill == hold.machine else f"{hold.mill} ({hold.machine})",
        direction=hold.direction,
        holds_by=hold.holds_by,
        needs=tuple(sorted(hold.needs)),
        makes=tuple(feature.name for feature in ordered),
        reaches_fraction=float(known.outside.seen[row][mine].mean()) if mine.any() else 1.0,
        tools=tuple(dict.fromkeys(tool for one in operations for tool in one.tools)),
        minutes=(minutes[0], minutes[1]),
        locates=locating_words(hold, done),
        holding=holding_words(known.shop, mill, hold, cut),
        operations=operations,
        floor=hold.floor,
        level_mm=hold.level_mm,
        again=again,
        held_times=held_times(known.shop, mill, hold, cut),
        jaw_flats_mm=hold.jaw_flats_mm,
    )


def _used_outside(known: _Known, mill: Mill, hold: Hold, row: int) -> tuple[str, ...]:
    """Cutters the outside takes in a hold: the largest that reaches most of it, then what reaches the rest; at most three."""
    wanted = known.outside.seen[row] & known.outside.mine
    whole, names = int(wanted.sum()), []
    from_any = np.asarray(np.isfinite(known.reach.stickout_mm).any(axis=0))
    for m, cutter in enumerate(known.reach.cutters):
        more = wanted & from_any[m]
        if more.sum() > 0.03 * max(1, whole) and len(names) < 3:
            names.append(cutter.name)
            wanted = wanted & ~more
    return tuple(names)


def _missing(known: _Known, sequence: Sequence, holds: tuple[Hold, ...]) -> tuple[tuple[str, str, str], ...]:
    name = known.piece.name
    if not holds:
        size = " x ".join(f"{side:.0f}" for side in known.stock.size_mm)
        why = f"the block of {size} mm is larger than every mill's travels or table, or than the vices hold safely"
        return tuple((name, feature, why) for feature in sorted(sequence.missing))
    reasons = {text.split(": ", 1)[0]: text.split(": ", 1)[1] for text in sequence.reasons}
    return tuple((name, feature, reasons[feature]) for feature in sorted(sequence.missing))


def _unreached(known: _Known, sequence: Sequence) -> tuple[Unreached, ...]:
    """The outside these set-ups leave, and chambers no cutter gets into, by what they belong to."""
    left = known.outside.left(sequence.holds)
    inside = np.char.startswith(known.owners, "inside of ") & ~known.reach.reached().any(axis=0)
    found: list[Unreached] = []
    followers = [m for m, cutter in enumerate(known.reach.cutters) if cutter.kind in REACHING]
    names = np.where(known.owners == OUTSIDE, "outside", known.owners)
    for name in np.unique(names[left | inside]):
        here = (left | inside) & (names == name)
        tight = here & ~known.reach.fits[followers].any(axis=0)
        for mask, why in ((tight, _corner_words(known)), (here & ~tight, "no cutter gets there within its stick-out")):
            if mask.sum() > _LEAST_LEFT * len(names):
                found.append(_patch(known, str(name), mask, why))
    return tuple(found)


def _corner_words(known: _Known) -> str:
    least = min((cutter.diameter_mm for cutter in known.reach.cutters if cutter.kind in REACHING), default=0.0)
    return f"a corner tighter than the smallest ball cutter: a radius of {least / 2:g} mm is left there"


def _patch(known: _Known, name: str, mask: npt.NDArray[np.bool_], why: str) -> Unreached:
    middle: Array = known.samples.points_mm[mask].mean(axis=0)
    area = float(mask.sum()) * known.samples.area_mm2
    return Unreached(piece=known.piece.name, what=name, area_mm2=area, at_mm=vec3(middle), why=why)
