"""The making of one piece: block, features with their amounts, reach, set-ups with operations, and what is left over."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.design.records import Design, Piece
from tractwright.geometry.frames import Vec3, vec3
from tractwright.job.shop_tables import Cutter, CutterKind, Mill, Shop
from tractwright.make.alike import told_together
from tractwright.make.channels import channel_features
from tractwright.make.feature import Feature, faces_of
from tractwright.make.features import features_of
from tractwright.make.holding import borne_n, held_times, holding_words, locating_words, with_time_lost
from tractwright.make.holds import holds_for
from tractwright.make.in_order import Asked, in_order
from tractwright.make.operations import Bench, operation
from tractwright.make.outside import Outside, directions_for, outside_at_once, ways_in
from tractwright.make.over import over_features
from tractwright.make.owners import OUTSIDE, is_inside, owners_of
from tractwright.make.patches import Left, patches, whose_of
from tractwright.make.records import Setup, Stock, Unreached
from tractwright.make.samples import Samples, surface_samples
from tractwright.make.setups import RELEASE_MIN, Hold, Sequence
from tractwright.make.solid_reach import SolidReach, solid_reach
from tractwright.make.stock import stock_of
from tractwright.make.work import Work
from tractwright.reach.cutters import REACHING, shop_cutters
from tractwright.reach.mills import mills_of, takes, turns_to
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece

_SAMPLES, _STEP_MM = 1500, 1.0
_OF_A_KIND = 4
_SETTING = (0.7, 1.4)
_LEAST_LEFT = 0.01
_ALL_BUT_FEW = 98.0
_IN_ORDER = (
    "rough face", "inside", "passages", "bore", "holes", "fixture threads", "threads", "outside", "pocket", "boss", "seats",
    "finish face", "groove", "dowel holes",
)  # fmt: skip
"""Within a set-up: passages and holes while there is metal all round, what has to be true last. Common practice."""


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
    features = (*features_of(design, record), *channel_features(design, record))
    over, plain = over_features(_with_areas(features, owners, samples, shop), samples, owners)
    work = Work(
        piece=record, stock=stock, faces=faces_of(design, record), features=plain, points_mm=samples.points_mm,
        flanges=tuple(flange for flange in design.flanges if flange.piece == record.name),
    )  # fmt: skip
    volume = float(np.prod(stock.size_mm)) - built.volume_mm3
    holds = with_time_lost(shop, holds_for(shop, work), volume)
    reach = _reach(
        shop, built, samples, (owners == OUTSIDE) | np.array([is_inside(str(name)) for name in owners]), holds
    )
    asked = Asked(
        shop=shop, stock=stock, reach=reach, mine=owners == OUTSIDE, holds=holds, over=over, features=plain, volume_mm3=volume
    )  # fmt: skip
    found = in_order(asked)
    known = _Known(
        shop=shop, piece=record, stock=stock, samples=samples, owners=owners, reach=reach, outside=found.outside,
        passages=tuple(p for p in reached if p.piece == built.name),
    )  # fmt: skip
    return PiecePlan(
        stock=stock,
        setups=_setups(known, found.features, found.sequence),
        missing=_missing(known, found.sequence, holds),
        unreached=_unreached(known, design, found.sequence),
        notes=found.notes,
    )


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


def _setups(known: _Known, features: tuple[Feature, ...], sequence: Sequence) -> tuple[Setup, ...]:
    mills = {mill.name: mill for mill in mills_of(known.shop)}
    done: tuple[Feature, ...] = ()
    found: list[Setup] = []
    for number, (hold, made, again) in enumerate(
        zip(sequence.holds, sequence.made, sequence.again, strict=True), start=1
    ):
        cut = tuple(feature for feature in features if feature.name in made)
        found.append(_setup(known, mills[hold.mill], hold, cut, (number, again, done)))
        done += cut
    return tuple(found)


def _setup(
    known: _Known, mill: Mill, hold: Hold, cut: tuple[Feature, ...], place: tuple[int, bool, tuple[Feature, ...]]
) -> Setup:
    number, again, done = place
    row = known.outside.holds.index(hold)
    bench = Bench(
        shop=known.shop, mill=mill, passage_cutters=_used_passages(known),
        outside_cutters=_used_outside(known, mill, hold, row),
        borne_n=borne_n(known.shop, mill, hold),
    )  # fmt: skip
    ordered = sorted(cut, key=lambda f: (_IN_ORDER.index(f.work), f.name))
    operations = told_together(operation(bench, feature) for feature in outside_at_once(ordered))
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
        makes=tuple(dict.fromkeys(feature.name for feature in ordered)),
        reaches_fraction=float(known.outside.seen[row][mine].mean()) if mine.any() else 1.0,
        tools=tuple(dict.fromkeys(tool for one in operations for tool in one.tools)),
        minutes=(minutes[0], minutes[1]),
        locates=locating_words(known.shop, hold, done),
        holding=holding_words(known.shop, mill, hold, cut),
        operations=operations,
        floor=hold.floor,
        level_mm=hold.level_mm,
        again=again,
        held_times=held_times(known.shop, mill, hold, cut),
        jaw_flats_mm=hold.jaw_flats_mm,
        jaws_way=hold.jaws_way,
        ways=ways_in(known.shop, known.reach, mill, hold, known.outside.seen[row] & mine),
        zero_mm=hold.zero_mm,
    )


def _used_passages(known: _Known) -> dict[str, float]:
    """Cutters the passages take, with the farthest each stands out [mm]."""
    found: dict[str, float] = {}
    for passage in known.passages:
        if passage.cutter:
            found[passage.cutter] = max(found.get(passage.cutter, 0.0), passage.stickout_mm)
    return found


def _used_outside(known: _Known, mill: Mill, hold: Hold, row: int) -> dict[str, float]:
    """Cutters the outside takes in a hold: the largest that reaches most of it, then what reaches the rest; at most three.
    With how far each stands out for all but the last few samples [mm].
    """
    wanted = known.outside.seen[row] & known.outside.mine
    whole = int(wanted.sum())
    found: dict[str, float] = {}
    ways = [turns_to(mill, hold.direction, vec3(way)) for way in known.reach.directions]
    need = known.reach.stickout_mm[ways].min(axis=0, initial=np.inf)
    for cutter, out in zip(known.reach.cutters, need, strict=True):
        more = wanted & np.isfinite(out)
        if more.sum() > 0.03 * max(1, whole) and len(found) < 3:
            found[cutter.name] = float(np.percentile(out[more], _ALL_BUT_FEW))
            wanted = wanted & ~more
    return found


def _missing(known: _Known, sequence: Sequence, holds: tuple[Hold, ...]) -> tuple[tuple[str, str, str], ...]:
    name = known.piece.name
    if not holds:
        size = " x ".join(f"{side:.0f}" for side in known.stock.size_mm)
        fits = any(takes(mill, known.stock.size_mm) for mill in mills_of(known.shop))
        why = f"no vice of the shop holds its block of {size} mm safely"
        why = why if fits else f"its block of {size} mm is larger than every mill's travels or table"
        return tuple((name, feature, why) for feature in sorted(sequence.missing))
    reasons = {text.split(": ", 1)[0]: text.split(": ", 1)[1] for text in sequence.reasons}
    return tuple((name, feature, reasons[feature]) for feature in sorted(sequence.missing))


def _unreached(known: _Known, design: Design, sequence: Sequence) -> tuple[Unreached, ...]:
    """The outside these set-ups leave, and chambers no cutter gets into, by what they belong to."""
    inside = np.array([is_inside(str(name)) for name in known.owners]) & ~known.reach.reached().any(axis=0)
    left = known.outside.left(sequence.holds) | inside
    if not sequence.holds or left.sum() <= _LEAST_LEFT * len(left):
        return ()
    followers = [m for m, cutter in enumerate(known.reach.cutters) if cutter.kind in REACHING]
    fits = known.reach.fits[followers].any(axis=0)
    why = np.where(left & ~fits, _corner_words(known), np.where(left, _why_not(known, left & fits), ""))
    whose = whose_of(design, known.piece, known.samples, known.owners)
    return patches(Left(piece=known.piece.name, samples=known.samples, whose=whose, why=why))


def _why_not(known: _Known, left: npt.NDArray[np.bool_]) -> npt.NDArray[np.str_]:
    """Why each sample (n,) is left though an end fits: a hold that is not used shows it, or nothing does."""
    followers = [m for m, cutter in enumerate(known.reach.cutters) if cutter.kind in REACHING]
    sizes = np.array([known.reach.cutters[m].diameter_mm for m in followers])
    most = float(np.where(known.reach.fits[followers][:, left], sizes[:, None], 0.0).max(initial=0.0))
    why = np.full(
        len(left), f"what fits there, {most:g} mm or less, stands out too little or has no way in", dtype="<U160"
    )
    shown = known.outside.seen & left
    if shown.any():
        best = int(np.argmax(shown.sum(axis=1)))
        why[shown.any(axis=0)] = "another hold shows it, at the cost of a set-up more"
        why[shown[best]] = f"one set-up more shows it: {known.outside.holds[best].name}"
    return why


def _corner_words(known: _Known) -> str:
    least = min((cutter.diameter_mm for cutter in known.reach.cutters if cutter.kind in REACHING), default=0.0)
    return f"a corner tighter than the smallest ball cutter: a radius of {least / 2:g} mm is left there"
