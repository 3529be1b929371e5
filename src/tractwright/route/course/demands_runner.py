"""Demands on the runners themselves: bends, room, head face, key ways, own skin, turn, length, neighbours."""

import numpy as np

from tractwright.design.room import clearance
from tractwright.geometry.frames import Array
from tractwright.route.course.kernels import capsule_distance, neighbour_rows, self_rows
from tractwright.route.course.packed import Packed
from tractwright.route.course.rows import (
    FAR,
    KINDS,
    ROW_MM,
    Block,
    Rows,
    Strictness,
    belt,
    between,
    on_curve,
    outer_towards,
    section_skins,
)
from tractwright.route.course.sight import Sight
from tractwright.route.course.stations import EXTENDED, LEAD, Stations
from tractwright.route.course.unknowns import LOCAL, length_at, local_columns, size_of

MOST_TURN = 3.7
"""Largest total turning [rad]: more is a corkscrew (judgement)."""
_HEAD_SHARE = 0.75
_EARLY = 0.4
TURN_ROW, LENGTH_ROW_MM = 0.5, 5.0
_PART = 0.3


def bends(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """Bend radius at least `bend_factor` times (half size in the bend's plane + wall)."""
    factor = packed.problem.bend_factor * (1.0 + 0.03 * strict.between)
    on_poles = np.zeros((*sight.tightness.shape, EXTENDED, 3))
    on_poles[:, :, 1:9] = -factor * sight.tightness_on_poles
    return Block(
        kind="bend radius",
        value=1.0 - factor * sight.tightness,
        on_poles=on_poles,
        place=sight.curve,
    )


def room(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """Skins, and a joint's flange across them, stand a clearance off everything kept out but the head faces."""
    distance, slope = clearance(packed.free_room, sight.curve)
    shape = sight.curve.shape[:2]
    want = outer_towards(packed, stations, slope.reshape(sight.curve.shape))
    want += packed.problem.clearance_mm + between(packed, stations, strict) + belt(packed, stations)
    distance = np.minimum(distance, FAR).reshape(shape)
    return _kept_away(packed, stations, sight, "room", (distance, slope, packed.exit.room, want))


def keys(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """Skins leave screw heads and their keys free."""
    points = np.ascontiguousarray(sight.curve.reshape(-1, 3))
    capsules = (packed.key_start, packed.key_direction, packed.key_length, packed.key_radius)
    distance, slope, direct = capsule_distance(points, *capsules, strict.sharpness)
    want = outer_towards(packed, stations, direct.reshape(sight.curve.shape)) + between(packed, stations, strict)
    distance = distance.reshape(want.shape)
    return _kept_away(packed, stations, sight, "key way", (distance, slope, packed.exit.keys, want))


def _kept_away(
    packed: Packed, stations: Stations, sight: Sight, kind: str, facts: tuple[Array, Array, Array, Array]
) -> Block:
    """Distance from a thing kept out, lenient on the way out of the port. facts: distance, slope, exit table, want."""
    distance, slope, table, want = facts
    early = stations.u < _EARLY
    along = np.einsum("nmd,nd->nm", sight.curve - packed.start[:, None, :], packed.axis)
    need, on_along = packed.exit.need(table, np.where(early, along, FAR), want)
    slope = slope.reshape(sight.curve.shape) - np.where(early, on_along, 0.0)[..., None] * packed.axis[:, None, :]
    return Block(
        kind=kind,
        value=(distance - need) / ROW_MM,
        on_poles=on_curve(stations, slope / ROW_MM),
        place=sight.curve,
    )


def head(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """Skins stand clear of the head faces once they have left them: asked at most in proportion to the way out."""
    shape = sight.curve.shape[:2]
    value, slope = np.full(shape, FAR), np.zeros((*shape, 3))
    margin = packed.problem.clearance_mm + between(packed, stations, strict)
    early = stations.u < _EARLY
    along = np.einsum("nmd,nd->nm", sight.curve - packed.start[:, None, :], packed.axis)
    for normal, offset in zip(packed.head_normal, packed.head_offset, strict=True):
        want = outer_towards(packed, stations, np.broadcast_to(normal, (*shape, 3))) + margin
        rate = _HEAD_SHARE * (packed.axis @ normal)[:, None]
        lenient = early & (rate * along < want)
        gap = sight.curve @ normal - offset - np.where(lenient, rate * along, want)
        nearer = gap < value
        value = np.where(nearer, gap, value)
        own = normal - np.where(lenient, rate, 0.0)[..., None] * packed.axis[:, None, :]
        slope = np.where(nearer[..., None], own, slope)
    on_poles = on_curve(stations, slope / ROW_MM)
    return Block(kind="head face", value=value / ROW_MM, on_poles=on_poles, place=sight.curve)


def own_skin(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """A runner keeps clear of itself: every second station against those 1.6 skins and a gap further on."""
    gap = packed.problem.gap_mm
    window = 1.6 * (2.0 * float(stations.outer.max()) + gap)
    facts = (stations.outer, stations.value, window, gap, strict.sharpness, 2)
    value, slope = self_rows(np.ascontiguousarray(sight.points), *facts)
    return Block(kind="own skin", value=value / ROW_MM, on_poles=slope / ROW_MM, place=sight.points[:, ::2])


def turns(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """No corkscrews."""
    on_poles = np.zeros((len(packed.start), 1, EXTENDED, 3))
    on_poles[:, 0, 1:9] = -sight.turn_on_poles / TURN_ROW
    value = (MOST_TURN - sight.turn[:, None]) / TURN_ROW
    return Block(kind="total turn", value=value, on_poles=on_poles, place=sight.curve[:, _middle(stations)])


def lengths(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Block:
    """Every length is its share of the common length, within the tolerance; one row a side."""
    tolerance = length_slack(packed)
    over = sight.length - packed.share * sight.place.length
    on_poles = np.zeros((len(packed.start), 2, EXTENDED, 3))
    on_poles[:, 0, 1:9], on_poles[:, 1, 1:9] = -sight.length_on_poles, sight.length_on_poles
    on_common = packed.share * sight.scale[length_at(packed)]
    return Block(
        kind="equal length",
        value=np.stack([tolerance - over, tolerance + over], axis=1) / LENGTH_ROW_MM,
        on_poles=on_poles / LENGTH_ROW_MM,
        on_length=np.stack([on_common, -on_common], axis=1) / LENGTH_ROW_MM,
        place=np.repeat(sight.curve[:, _middle(stations)], 2, axis=1),
    )


def length_slack(packed: Packed) -> Array:
    """How far each length may be off its share of the common length [mm] (n,): part of the tolerance."""
    return packed.problem.length_tolerance * packed.problem.length_wanted_mm * packed.share * _PART


def neighbours(packed: Packed, stations: Stations, sight: Sight, strict: Strictness) -> Rows:
    """Skins stand a gap apart; in their first half no further than ports set apart as they are let them."""
    first, second = packed.pair[:, 0], packed.pair[:, 1]
    skins = stations.beside[first] + stations.beside[second]
    side_by_side = packed.port_apart[:, None] - skins - 0.1 - 0.3 * strict.between
    need = packed.problem.gap_mm + 0.5 * between(packed, stations, strict)[first]
    late = np.clip((stations.u - _EARLY) / 0.2, 0.0, 1.0)
    need = need - np.maximum(0.0, need - side_by_side) * (1.0 - late)
    skin = (*section_skins(packed, stations, sight), stations.value, packed.pair, need)
    value, on_first, on_second = neighbour_rows(*skin, strict.sharpness, LEAD)
    pairs, count = value.shape
    slope = np.zeros((pairs, count, size_of(packed)))
    tables = sight.place.slope.reshape(-1, EXTENDED * 3, LOCAL)
    for q, (i, j) in enumerate(packed.pair):
        first = (stations.value[LEAD:-LEAD, :, None] * on_first[q, :, None, :]).reshape(count, -1)
        slope[q][:, local_columns(packed, int(i))] += first @ tables[i]
        slope[q][:, local_columns(packed, int(j))] += on_second[q].reshape(count, -1) @ tables[j]
    return Rows(
        value=value.ravel() / ROW_MM,
        slope=slope.reshape(pairs * count, -1) / ROW_MM,
        kind=np.full(pairs * count, KINDS.index("neighbour gap")),
        subject=np.repeat(packed.pair[:, 0], count),
        place=sight.curve[packed.pair[:, 0]].reshape(-1, 3),
    )


def _middle(stations: Stations) -> slice:
    at = len(stations.u) // 2
    return slice(at, at + 1)
