"""What the job would take otherwise: runner walls of 3 or 4 mm, the head piece as one or as two, flanges with pockets or
without. Computed from the fast model of the runners, the built piece's own points and the flanges' outlines.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from scipy.spatial import ConvexHull, KDTree

from tractwright.design.records import Design, Flange
from tractwright.design.tube import Tube, tube
from tractwright.geometry.contours import spread_points
from tractwright.geometry.frames import Array, unit
from tractwright.job.shop_tables import Shop
from tractwright.make.cutting import ball_rate, roughing
from tractwright.make.feature import faces_of
from tractwright.make.operations import largest
from tractwright.make.records import Alternative, Effort, MakingPlan
from tractwright.make.stock import least_block
from tractwright.reach.mills import mills_of
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material

_WALLS_MM = (3.0, 4.0)
_FLOOR_MM, _RIB_MM, _RIM_MM = 6.0, 4.0, 14.0
_SHARES = (0.6, 0.25)
_BLEND_MM = 4.0
"""Of a flange's root, that goes with the flange. Judgement."""
Tubes = Mapping[str, Tube]


def alternatives_of(
    shop: Shop, design: Design, built: tuple[BuiltPiece, ...], making: MakingPlan
) -> tuple[Alternative, ...]:
    """Every alternative that differs from the job as it stands; none where its head piece could not be built, or is the
    user's own: they all change that piece.
    """
    head = next((piece for piece in built if piece.kind == "head"), None)
    drawn = any(piece.own for piece in design.pieces if piece.kind == "head")
    if head is None or drawn or not making.setups:
        return ()
    low, high = (sum(setup.minutes[k] for setup in making.setups) / 60.0 for k in (0, 1))
    kilograms = sum(stock.mass_kg for stock in making.stocks)
    now = Effort(stock_kg=kilograms, pieces=len(making.stocks), mill_h=(low, high), sheets=making.sheets)
    middle = next((piece for piece in built if piece.kind == "middle"), None)
    tubes = {runner.name: tube(runner, design) for runner in design.runners}
    parted = (
        _as_one(shop, design, (head, middle, tubes), making, now)
        if middle
        else _in_two(shop, design, (head, tubes), making, now)
    )
    over_one_head = parted if len(design.banks) == 1 else ()  # no one plane parts the runners of two banks
    return (*_walls(shop, design, (head, tubes), now), *over_one_head, *_pockets(shop, design, tubes, now))


def _changed(now: Effort, kilograms: float, pieces: int, minutes: tuple[float, float]) -> Effort:
    return replace(
        now,
        stock_kg=now.stock_kg + kilograms,
        pieces=now.pieces + pieces,
        mill_h=(now.mill_h[0] + minutes[0] / 60.0, now.mill_h[1] + minutes[1] / 60.0),
    )


def _roughing_minutes(shop: Shop, volume_mm3: float) -> tuple[float, float]:
    """Minutes more (or fewer) for so much more (or less) to take off."""
    cutter = largest(shop, ("flat", "bull"), 200.0, 0.0)
    if cutter is None:
        return 0.0, 0.0
    inner = volume_mm3 / roughing(shop, mills_of(shop)[0], cutter).removal_mm3_min
    return inner / _SHARES[0], inner / _SHARES[1]


def _finishing_minutes(shop: Shop, area_mm2: float) -> tuple[float, float]:
    ball = largest(shop, ("ball",), 12.0, 0.0)
    if ball is None:
        return 0.0, 0.0
    inner = area_mm2 / ball_rate(shop, mills_of(shop)[0], ball)
    return inner / 0.85, inner / 0.5


def _walls(shop: Shop, design: Design, what: tuple[BuiltPiece, Tubes], now: Effort) -> Iterator[Alternative]:
    """Walls of 3 and of 4 mm where the runners have others: metal by the skins' own sections, block by the moved points."""
    head, tubes = what[0], list(what[1].values())
    wall = float(np.mean([one.wall_mm.mean() for one in tubes]))
    density = _density(design, head.name)
    for other in _WALLS_MM:
        if abs(other - wall) < 0.3:
            continue
        more = sum(_skin_mm3(one, other) for one in tubes)
        block = _block_mm3(shop, design, head, _moved(head, tubes, other)) - _block_mm3(
            shop, design, head, head.mesh[0]
        )
        ends = _roughing_minutes(shop, block - more)
        yield Alternative(
            what=f"runner walls of {other:g} mm instead of {wall:.1f}",
            effort=_changed(now, block * density, 0, ends),
            how=f"{more * density:+.2f} kg of metal, {block * density:+.1f} kg of block; strength and heat are judged anew",
        )


def _skin_mm3(one: Tube, wall_mm: float) -> float:
    """Metal a skin gains with another wall [mm3]: its perimeter carried along the runner."""
    step = np.linalg.norm(np.roll(one.outer_mm, -1, axis=1) - one.outer_mm, axis=2).sum(axis=1)
    more = wall_mm - one.wall_mm
    return float(np.trapezoid(more * (step + np.pi * more), one.s_mm))


def _moved(head: BuiltPiece, tubes: list[Tube], wall_mm: float) -> Array:
    """The piece's outermost points, those on a skin carried out with it."""
    corners = head.mesh[0][ConvexHull(head.mesh[0]).vertices]
    outer = np.concatenate([one.outer_mm.reshape(-1, 3) for one in tubes])
    middle = np.concatenate([np.repeat(one.centre_mm, one.outer_mm.shape[1], axis=0) for one in tubes])
    more = wall_mm - np.concatenate([np.repeat(one.wall_mm, one.outer_mm.shape[1]) for one in tubes])
    off, nearest = KDTree(outer).query(corners)
    way = unit(outer[nearest] - middle[nearest])
    return corners + np.where(off < 2.5, more[nearest], 0.0)[:, None] * way


def _block_mm3(shop: Shop, design: Design, piece: BuiltPiece, points_mm: Array) -> float:
    return float(np.prod(least_block(shop, design, piece.name, points_mm).size_mm))


def _density(design: Design, name: str) -> float:
    return material(next(item for item in design.pieces if item.name == name).material).density_kg_mm3


def _in_two(
    shop: Shop, design: Design, what: tuple[BuiltPiece, Tubes], making: MakingPlan, now: Effort
) -> Iterator[Alternative]:
    """The head piece as two, parted across the middle of its runners: two smaller blocks, twice the set-ups, a joint more."""
    head, tubes = what[0], list(what[1].values())
    half = [len(one.s_mm) // 2 for one in tubes]
    centre = np.mean([one.centre_mm[k] for one, k in zip(tubes, half, strict=True)], axis=0)
    normal = unit(np.mean([one.tangent[k] for one, k in zip(tubes, half, strict=True)], axis=0))
    side = (head.mesh[0] - centre) @ normal
    flange = next((f.thickness_mm for f in design.flanges if f.piece == head.name), 12.0)
    if min((side > 0).sum(), (side < 0).sum(), (np.abs(side) < 15.0).sum()) < 10:
        return
    near = head.mesh[0][np.abs(side) < 15.0]
    rim = near + _RIM_MM * unit(near - near.mean(axis=0))
    halves = [np.concatenate([head.mesh[0][keep * side > 0], rim]) for keep in (1.0, -1.0)]
    block = sum(_block_mm3(shop, design, head, points) for points in halves)
    one = next(stock for stock in making.stocks if stock.piece == head.name)
    saved = one.mass_kg / _density(design, head.name) - block
    area = float(ConvexHull((rim - centre) @ _across(normal).T).volume)
    less = _roughing_minutes(shop, -saved - 2.0 * area * flange)
    again = [setup for setup in making.setups if setup.piece == head.name]
    setting = [len(again) * (shop.setting_minutes + 10.0) * share for share in (0.7, 1.4)]
    holes = 20.0
    yield Alternative(
        what=f"{head.name} in two pieces, parted across the middle of the runners",
        effort=_changed(
            now,
            -saved * _density(design, head.name),
            1,
            (less[0] + setting[0] + holes, less[1] + setting[1] + 3 * holes),
        ),
        how=f"{saved * _density(design, head.name):.1f} kg less block, {len(again)} set-ups more, a joint with its screws, "
        "dowels and seal more",
    )


def _as_one(
    shop: Shop, design: Design, what: tuple[BuiltPiece, BuiltPiece, Tubes], making: MakingPlan, now: Effort
) -> Iterator[Alternative]:
    """Head and middle piece from one block, without the flanges between them: one block, the middle's set-ups and what is cut
    at the joint gone; only a shop whose cutters reach can.
    """
    head, middle, tubes = what
    between = [flange for flange in design.flanges if flange.joint in _splits(design)]
    points = np.concatenate([head.mesh[0], middle.mesh[0]])
    away = [flange.frame.to_local(points)[:, 2] - flange.thickness_mm / 2.0 for flange in between]
    kept = np.all(
        [np.abs(off) > f.thickness_mm / 2.0 + _BLEND_MM for off, f in zip(away, between, strict=True)], axis=0
    )
    points = np.concatenate([points[kept], *(one.outer_mm.reshape(-1, 3) for one in tubes.values())])
    block = _block_mm3(shop, design, head, points) * _density(design, head.name)
    apart = sum(stock.mass_kg for stock in making.stocks if stock.piece in (head.name, middle.name))
    gone = [setup for setup in making.setups if setup.piece == middle.name]
    spared = [
        share * len(gone) * (shop.setting_minutes + 10.0) + at_joint
        for share, at_joint in zip((0.7, 1.4), _at_splits(design, making), strict=True)
    ]
    metal = sum(_area(spread_points(flange.contour, 200)) * flange.thickness_mm for flange in between)
    more = _roughing_minutes(shop, (block - apart) / _density(design, head.name) + metal)
    yield Alternative(
        what=f"{head.name} and {middle.name} from one block",
        effort=_changed(now, block - apart, -1, (more[0] - spared[0], more[1] - spared[1])),
        how=f"{block - apart:+.1f} kg of block, {len(gone)} set-ups fewer; only with cutters that reach the runners' middle",
    )


def _splits(design: Design) -> frozenset[str]:
    """The joints across runners, by name."""
    return frozenset(joint.name for joint in design.joints if joint.kind == "split")


def _at_splits(design: Design, making: MakingPlan) -> tuple[float, float]:
    """Minutes of what is cut at the joints across runners, on both sides; passages are cut through all the same."""
    faces = {
        (piece.name, face.name)
        for piece in design.pieces
        for face in faces_of(design, piece)
        if face.joint.name in _splits(design)
    }
    cuts = [
        one.minutes
        for setup in making.setups
        for one in setup.operations
        if any(setup.piece == piece and one.what.startswith(name) for piece, name in faces)
    ]
    return sum(minutes[0] for minutes in cuts), sum(minutes[1] for minutes in cuts)


def _across(normal: Array) -> Array:
    first = unit(np.cross(normal, [1.0, 0.0, 0.0] if abs(normal[0]) < 0.9 else [0.0, 1.0, 0.0]))
    return np.stack([first, np.cross(normal, first)])


def _pockets(shop: Shop, design: Design, tubes: Tubes, now: Effort) -> Iterator[Alternative]:
    """Flanges with pockets between what has to stand, or the pockets there are left out."""
    if design.pockets:
        volume = sum(_area(spread_points(pocket.contour, 200)) * pocket.depth_mm for pocket in design.pockets)
        minutes = _roughing_minutes(shop, -volume)
        yield Alternative(
            what="without the pockets in the flanges",
            effort=_changed(
                now, 0.0, 0, (minutes[0] - len(design.pockets) * 2.0, minutes[1] - len(design.pockets) * 6.0)
            ),
            how=f"{volume * 2.7e-6:+.2f} kg of metal stays",
        )
        return
    bearing = {piece.name for piece in design.pieces if piece.kind in ("head", "middle")}
    thick = [f for f in design.flanges if f.piece in bearing and f.thickness_mm > _FLOOR_MM]
    free = [(flange, _free(design, tubes, flange)) for flange in thick]
    volume = sum(area.area * (flange.thickness_mm - _FLOOR_MM) for flange, area in free)
    rim = sum(area.length * (flange.thickness_mm - _FLOOR_MM) for flange, area in free)
    floors = sum(area.area for _, area in free)
    if volume < 2000.0:
        return
    rough, fine = _roughing_minutes(shop, volume), _finishing_minutes(shop, rim + floors)
    yield Alternative(
        what="pockets in the flanges between what has to stand",
        effort=_changed(now, 0.0, 0, (rough[0] + fine[0], rough[1] + fine[1])),
        how=f"{volume * 2.7e-6:.2f} kg lighter, {_FLOOR_MM:g} mm of floor left; the block stays the same",
    )


def _area(points: Array) -> float:
    return float(shapely.Polygon(points).area)


def _free(design: Design, tubes: Tubes, flange: Flange) -> Any:
    """The part of a flange's outline away from its rim, its screws and the runners on it, opened by a 6 mm cutter."""
    outline = shapely.Polygon(spread_points(flange.contour, 400)).buffer(-_RIB_MM)
    taken: list[shapely.Geometry] = []
    for screw in design.screws:
        if screw.joint == flange.joint:
            at = flange.frame.to_local(screw.seat_mm)[:2]
            taken.append(shapely.Point(at).buffer(max(screw.post_mm, 2.0 * screw.clearance_mm) / 2 + _RIB_MM))
    for runner in design.runners:
        one = tubes[runner.name]
        for end in (0, -1):
            ring = flange.frame.to_local(one.outer_mm[end])
            if np.abs(ring[:, 2]).max() < 2.0 * flange.thickness_mm:
                blend = max(runner.port_blend_mm, runner.mouth_blend_mm)
                taken.append(shapely.MultiPoint(ring[:, :2]).convex_hull.buffer(blend + 1.0))
    return shapely.difference(outline, shapely.union_all(taken)).buffer(-3.0).buffer(3.0)
