"""The courses looked at densely with hard minima, apart from how they were searched: what is met, what is missed."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.room import clearance
from tractwright.geometry.frames import Array, vec3
from tractwright.route.course.demands import Question, rows_of, settled_at
from tractwright.route.course.kernels import neighbour_rows
from tractwright.route.course.packed import Ints, Packed, apart, bodies_of
from tractwright.route.course.records import RunnerCourse
from tractwright.route.course.rows import KINDS, Rows, Strictness, outer_towards, section_skins
from tractwright.route.course.sight import Sight, seen
from tractwright.route.course.stations import LEAD, Stations, stations_of

DENSE = 129
ALONE_MM = 1e6
"""Given as gap where a runner has no neighbour."""
_HARD = Strictness(sharpness=60.0, between=0.0)
_ALLOWED = 0.005
"""Rows may be missed by this (0.05 mm, half a per cent of a bend radius): what the search's own accuracy leaves."""
_FINE_MM = (6.0, 45.0)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Verdict:
    """rows : all dense rows; missed : kind -> by how much, in the rows' unit; length_error : largest share by which a
    length misses the one wanted; sight : the courses at the dense stations; packed : the problem with all pairs.
    """

    rows: Rows
    missed: dict[str, float]
    length_error: float
    sight: Sight
    packed: Packed
    stations: Stations

    @property
    def sound(self) -> bool:
        """Every demand but the length wanted is met."""
        return not self.missed

    @property
    def feasible(self) -> bool:
        """Every demand is met, the wanted lengths too."""
        return self.sound and self.length_error <= self.packed.problem.length_tolerance


def verdict_of(asked: Question, x: Array) -> Verdict:
    """The dense look at scaled unknowns x; demands left out of the question are left out here."""
    packed = all_pairs(asked.packed)
    packed = replace(packed, bodies=bodies_of(packed.problem, *_FINE_MM))
    strict = replace(_HARD, without=asked.strict.without)
    dense = settled_at(replace(asked, packed=packed, stations=stations_of(packed, DENSE), strict=strict), x)
    sight = seen(packed, asked.bounds, dense.stations, x)
    rows = rows_of(dense, sight)
    missed = {
        name: -float(rows.value[rows.kind == kind].min())
        for kind, name in enumerate(KINDS)
        if (rows.kind == kind).any() and rows.value[rows.kind == kind].min() < -_ALLOWED
    }
    wanted = packed.share * packed.problem.length_wanted_mm
    error = float(np.abs(sight.length / wanted - 1.0).max())
    return Verdict(rows=rows, missed=missed, length_error=error, sight=sight, packed=packed, stations=dense.stations)


def all_pairs(packed: Packed) -> Packed:
    """The problem with every pair of runners to be kept apart."""
    first, second = np.triu_indices(len(packed.start), 1)
    pair: Ints = np.stack([first, second], axis=1).astype(np.int64)
    return replace(packed, pair=pair, port_apart=apart(packed.start, pair))


def courses_of(verdict: Verdict) -> tuple[RunnerCourse, ...]:
    """The courses with what was measured on them."""
    packed, sight, stations = verdict.packed, verdict.sight, verdict.stations
    room = _room_gaps(packed, stations, sight)
    gaps = _neighbour_gaps(packed, stations, sight)
    made: list[RunnerCourse] = []
    for r, runner in enumerate(packed.problem.runners):
        poles = sight.place.poles[r, 1:9]
        made.append(
            RunnerCourse(
                name=runner.name,
                poles_mm=tuple(vec3(pole) for pole in poles),
                mouth_at_mm=(
                    float(packed.place[r] * sight.place.pitch[packed.face_of[r]]),
                    float(packed.across[r]),
                ),
                length_mm=float(sight.length[r]),
                turn_rad=float(sight.turn[r]),
                least_bend_radius_mm=float(1.0 / max(float(sight.curvature[r].max()), 1e-9)),
                room_clearance_mm=float(room[r]),
                neighbour_gap_mm=float(gaps[r]),
            )
        )
    return tuple(made)


def _room_gaps(packed: Packed, stations: Stations, sight: Sight) -> Array:
    """Least skin to room of each runner's curve; what the runner stands on, the head face, is left out."""
    distance, slope = clearance(packed.free_room, sight.curve.reshape(-1, 3))
    outer = outer_towards(packed, stations, slope.reshape(sight.curve.shape))
    gap = np.minimum(distance, ALONE_MM).reshape(sight.curve.shape[:2]) - outer
    return gap.min(axis=1)


def _neighbour_gaps(packed: Packed, stations: Stations, sight: Sight) -> Array:
    """Least skin to skin of each runner, from the curve of one to all of the other."""
    gaps = np.full(len(packed.start), ALONE_MM)
    skin, need = section_skins(packed, stations, sight), np.zeros((len(packed.pair), DENSE))
    least = neighbour_rows(*skin, stations.value, packed.pair, need, _HARD.sharpness, LEAD)[0].min(axis=1)
    np.minimum.at(gaps, packed.pair[:, 0], least)
    np.minimum.at(gaps, packed.pair[:, 1], least)
    return gaps
