"""Everything the search asks at one set of unknowns: the aim, and all rows of demands."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.route.course import demands_plenum as plenum
from tractwright.route.course import demands_runner as runner
from tractwright.route.course.aims import Aim, Wish, aim_of
from tractwright.route.course.packed import Packed
from tractwright.route.course.rows import KINDS, ROW_MM, Block, Rows, Strictness, joined, rows_of_runners
from tractwright.route.course.sight import Sight, seen
from tractwright.route.course.stations import Stations, stations_of, stations_on
from tractwright.route.course.unknowns import Bounds, bounds_of

_Maker = Callable[[Packed, Stations, Sight, Strictness], Block]
_MAKERS: dict[str, _Maker] = {
    "bend radius": runner.bends,
    "room": runner.room,
    "head face": runner.head,
    "key way": runner.keys,
    "own plenum": plenum.own_plenum,
    "own skin": runner.own_skin,
    "total turn": runner.turns,
    "equal length": runner.lengths,
}


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Question:
    """A problem made ready to be asked: stations, limits of the unknowns, how strictly, what is wished."""

    packed: Packed
    stations: Stations
    bounds: Bounds
    strict: Strictness
    wish: Wish


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Answer:
    """What the unknowns x give."""

    x: Array
    sight: Sight
    aim: Aim
    rows: Rows


def question(packed: Packed, count: int = 33) -> Question:
    """The question as the search asks it first."""
    wish = Wish(length_mm=packed.problem.length_wanted_mm)
    stations = stations_of(packed, count)
    return Question(packed=packed, stations=stations, bounds=bounds_of(packed), strict=Strictness(), wish=wish)


def settled_at(asked: Question, x: Array) -> Question:
    """The question with the sections as the courses of unknowns x have them; slopes take them as fixed."""
    sight = seen(asked.packed, asked.bounds, asked.stations, x)
    stations = stations_on(asked.packed, asked.stations, sight.curve, sight.tangent, sight.speed)
    return replace(asked, stations=stations)


def ask(asked: Question, x: Array) -> Answer:
    """One evaluation."""
    sight = seen(asked.packed, asked.bounds, asked.stations, x)
    aim = aim_of(asked.packed, asked.stations, sight, asked.wish)
    return Answer(x=x, sight=sight, aim=aim, rows=rows_of(asked, sight))


def rows_of(asked: Question, sight: Sight) -> Rows:
    """All rows at the courses seen."""
    packed, stations, strict = asked.packed, asked.stations, asked.strict
    wanted = {kind: make for kind, make in _MAKERS.items() if kind not in strict.without}
    parts = [rows_of_runners(packed, sight, make(packed, stations, sight, strict)) for make in wanted.values()]
    if "neighbour gap" not in strict.without and len(packed.pair):
        parts.append(runner.neighbours(packed, stations, sight, strict))
    for f in range(len(packed.faces)):
        if "plenum room" not in strict.without:
            parts.append(plenum.plenum_room(packed, sight, f))
        if len(packed.key_start) and "flange over keys" not in strict.without:
            parts.append(plenum.flange_over_keys(packed, sight, f))
        if len(packed.faces) > 1 and "other plenum" not in strict.without:
            parts.append(plenum.other_plenum(packed, stations, sight, strict, f))
    return _with_extra(joined(parts), strict)


def _with_extra(rows: Rows, strict: Strictness) -> Rows:
    if not strict.extra:
        return rows
    more = np.array([strict.extra.get(name, 0.0) for name in KINDS]) / ROW_MM
    return replace(rows, value=rows.value - more[rows.kind])
