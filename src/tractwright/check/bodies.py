"""Everything that can stand in the way of a screw's head or key, as points in small groups that are quick to pass over."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from tractwright.design.body_row import BodyRow
from tractwright.design.boss_space import carrier, outside_points
from tractwright.design.channel_space import flange_of, post_points
from tractwright.design.housing import cover_screws_of, housing_of
from tractwright.design.outside import blended_skin, box_points, heights_between, plate_points, upright
from tractwright.design.records import Bank, Design, Flange, Joint, Plenum, Runner, Screw, Throttle
from tractwright.design.throttled import neck_of
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.route.layout.under_bodies import BODY_WALL_MM

_STEP_MM = 3.0
_LEVEL_MM = 4.0
GROUP = 48


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """A body of metal as points of its outside.

    subject : its path in the description; joint : the joint whose plate it is, '' for none. comes_with : the group it comes
    with: place in the description of the joint that names its piece first, counted from 0.
    groups (g, GROUP, 3), middle (g, 3), reach (g,) : points in groups, each inside a ball.
    """

    subject: str
    joint: str
    comes_with: int
    groups: Array
    middle: Array
    reach: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Crowd:
    """Several bodies as one, so that a screw asks all of them at once. owner (g,) : index into subjects."""

    subjects: tuple[str, ...]
    owner: npt.NDArray[np.intp]
    groups: Array
    middle: Array
    reach: Array

    def near(
        self, origin: Array, direction: Array, radius_mm: float, start_mm: float
    ) -> tuple[Array, npt.NDArray[np.intp]]:
        """Points (k, 3) of the groups that may come within a radius of an axis, from `start_mm` along it onwards, and
        whose they are (k,).
        """
        offset = self.middle - origin
        along = offset @ direction
        off_squared = np.einsum("gk,gk->g", offset, offset) - along * along
        hit = (off_squared < (self.reach + radius_mm) ** 2) & (along + self.reach > start_mm)
        return self.groups[hit].reshape(-1, 3), np.repeat(self.owner[hit], self.groups.shape[1])


@lru_cache(maxsize=64)
def crowd(bodies: tuple[Body, ...]) -> Crowd:
    """Bodies taken together; the last ones asked for are kept."""
    counts = [len(body.reach) for body in bodies]
    return Crowd(
        subjects=tuple(body.subject for body in bodies),
        owner=np.repeat(np.arange(len(bodies)), counts),
        groups=np.concatenate([np.empty((0, GROUP, 3)), *(body.groups for body in bodies)]),
        middle=np.concatenate([np.empty((0, 3)), *(body.middle for body in bodies)]),
        reach=np.concatenate([np.empty(0), *(body.reach for body in bodies)]),
    )


def bodies_of(design: Design, tubes: Mapping[str, Tube]) -> tuple[Body, ...]:
    """Runners with their full root blends, plena with their columns, flanges, throttle necks, bodies on mouths, bosses."""
    order = groups_of_pieces(design.joints)
    found = [_runner_body(runner, design, tubes[runner.name], order) for runner in design.runners]
    found += [_plenum_body(plenum, design, order) for plenum in design.plena]
    found += [
        _body(f"flange.{flange.name}", plate_points(flange), order.get(flange.piece, 0), flange.joint)
        for flange in design.flanges
    ]
    found += [body for throttle in design.throttles if (body := _neck_body(throttle, design, order)) is not None]
    found += [
        _on_mouth(throttle, row, order)
        for row in design.body_rows
        for throttle in design.throttles
        if throttle.plenum == row.name
    ]
    found += [
        _body(f"channel.{channel.name}", post, order.get(flange_of(channel, design).piece, 0), "")
        for channel in design.channels
        if len(post := post_points(channel, flange_of(channel, design), _STEP_MM))
    ]
    found += [
        _body(f"boss.{boss.name}", outside_points(boss), order.get(carrier(boss, design), 0), "")
        for boss in design.bosses
    ]
    return tuple(found)


def bodies_of_groups(bodies: tuple[Body, ...], groups: frozenset[int], without_joint: str) -> Crowd:
    """The bodies of these groups together, the plates of a joint left out."""
    return crowd(tuple(body for body in bodies if body.comes_with in groups and body.joint != without_joint))


def groups_of_pieces(joints: tuple[Joint, ...]) -> dict[str, int]:
    """The group of bodies each piece belongs to: the place of the joint that names it first."""
    found: dict[str, int] = {}
    for place, joint in enumerate(joints):
        for piece in joint.pieces:
            found.setdefault(piece, place)
    return found


def _runner_body(runner: Runner, design: Design, model: Tube, order: dict[str, int]) -> Body:
    flange = _head_flange(runner, design)
    place = order.get(flange.piece, 0) if flange is not None else 0
    skin = blended_skin(runner, design, model)
    if skin.shape[1] != GROUP:
        return _body(f"runner.{runner.name}", skin.reshape(-1, 3), place, "")
    return _grouped(f"runner.{runner.name}", skin, place, "")


def _plenum_body(plenum: Plenum, design: Design, order: dict[str, int]) -> Body:
    """The box without its cover, and the columns that cover screws stand in."""
    points = [box_points(plenum, 0.0, _STEP_MM, _LEVEL_MM).reshape(-1, 3)]
    points += [_column_points(screw, plenum) for screw in cover_screws_of(plenum, design)]
    return _body(f"plenum.{plenum.name}", np.concatenate(points), order.get(housing_of(plenum, design), 0), "")


def _column_points(screw: Screw, plenum: Plenum) -> Array:
    x, y, _ = plenum.frame.to_local(np.array(screw.seat_mm))
    levels = heights_between(plenum.floor_mm, plenum.floor_mm + plenum.depth_mm, _LEVEL_MM)
    round_it = outline_contour(circle(screw.post_mm))
    return upright(round_it, (float(x), float(y)), plenum.frame, levels, _STEP_MM).reshape(-1, 3)


def _neck_body(throttle: Throttle, design: Design, order: dict[str, int]) -> Body | None:
    """The tube between a neck's two flanges."""
    plenum = next((item for item in design.plena if item.name == throttle.plenum), None)
    if plenum is None or throttle.neck_mm <= 0.0:
        return None
    outside = outline_contour(circle(throttle.bore_mm + 2 * plenum.wall_mm))
    levels = heights_between(-throttle.neck_mm, 0.0, _LEVEL_MM)
    points = upright(outside, (0.0, 0.0), throttle.frame, levels, _STEP_MM)
    return _body(f"throttle.{throttle.name}", points.reshape(-1, 3), order.get(neck_of(throttle, design), 0), "")


def _on_mouth(throttle: Throttle, row: BodyRow, order: dict[str, int]) -> Body:
    """A throttle body on a mouth, beyond its flange, and its trumpet with its bell."""
    barrel = throttle.bore_mm / 2 + BODY_WALL_MM
    straight = heights_between(row.flange_mm, row.reach_mm - row.bell_mm, _LEVEL_MM)
    turn = np.linspace(0.0, np.pi / 2, 1 + int(np.ceil(row.bell_mm * np.pi / 2 / _STEP_MM)))
    out, up = row.bell_mm * (1.0 - np.cos(turn)), row.bell_mm * np.sin(turn)
    rings = [(barrel, float(z)) for z in straight]
    rings += [(barrel + float(x), row.reach_mm - row.bell_mm + float(z)) for x, z in zip(out, up, strict=True)]
    points = [
        upright(outline_contour(circle(2 * radius)), (0.0, 0.0), throttle.frame, np.array([z]), _STEP_MM).reshape(-1, 3)
        for radius, z in rings
    ]
    return _body(f"throttle.{throttle.name}", np.concatenate(points), order.get("throttle_body", 0), "")


def _body(subject: str, points: Array, comes_with: int, joint: str) -> Body:
    """Points put into groups of neighbours by sorting them into small cubes."""
    cell = np.floor(points / 15.0).astype(np.int64)
    order = np.lexsort((cell[:, 2], cell[:, 1], cell[:, 0]))
    short = -len(points) % GROUP
    filled = np.concatenate([order, np.full(short, order[-1])])
    return _grouped(subject, points[filled].reshape(-1, GROUP, 3), comes_with, joint)


def _grouped(subject: str, groups: Array, comes_with: int, joint: str) -> Body:
    middle = groups.mean(axis=1)
    reach = np.linalg.norm(groups - middle[:, None, :], axis=2).max(axis=1)
    return Body(subject=subject, joint=joint, comes_with=comes_with, groups=groups, middle=middle, reach=reach)


def _head_flange(runner: Runner, design: Design) -> Flange | None:
    """The flange a runner's skin leaves: on the head joint of its bank."""
    bank = next(item for item in design.banks if item.name == runner.bank)
    flanges = [
        flange
        for flange in design.flanges
        for joint in design.joints
        if joint.name == flange.joint and joint.kind == "head"
    ]
    return min(flanges, key=lambda flange: _off_bank(flange, bank), default=None)


def _off_bank(flange: Flange, bank: Bank) -> float:
    return float(np.linalg.norm(bank.frame.to_local(np.array(flange.frame.origin_mm))))
