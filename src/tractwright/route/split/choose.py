"""Whether the head piece is split, and where: as the cutters' reach on the fast model asks."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import KDTree

from tractwright.cache import kept
from tractwright.design.file import Held
from tractwright.design.outside import plate_points
from tractwright.design.passing import part_between
from tractwright.design.pattern import Room
from tractwright.design.records import Design, Runner
from tractwright.design.tube import centreline, tube
from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.job.sheet import JobSheet
from tractwright.reach.passage import QUICK, Bore, passage_reach
from tractwright.reach.records import PassageReach
from tractwright.route.layout.bosses import bosses
from tractwright.route.split.fits import BOSS, lacks
from tractwright.route.split.joint import HEAD, MIDDLE, names_of, split_at

_STEP_MM = 6.0
_LEAST_END_MM = 30.0
_MOST_TRIED = 7
_SKIN_EVERY = 3
_WALL_MM = 2.0
_NO_PLACE = ("a screw between runners and plenum, or the runners' lean",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Where to split, None where not; why, in a line, '' where one piece was never in question; what the cutters then leave
    of the worst passage [mm]; whether a better place was refused for want of room.
    """

    station_mm: float | None
    why: str
    left_mm: float = 0.0
    cramped: bool = False


def split_where_needed(design: Design, room: Room, sheet: JobSheet, held: Held) -> tuple[Design, Choice]:
    """The description with its head piece split where cutters ask for it, and how that was decided. Raises TableError."""
    if sheet.runner.pieces == "one":
        return design, Choice(station_mm=None, why="")
    names = [names_of(bank, design) for bank in design.banks]
    if (station := max(held.number(f"joint.{item.joint}.station_mm", 0.0) for item in names)) > 0.0:
        choice = Choice(station_mm=station, why=f"The runners are split at {station:.0f} mm from the port: held.")
    else:
        thickness = [held.number(f"flange.{flange}.thickness_mm", 0.0) for item in names for flange in item.flanges]
        on_bosses = sorted((path, str(value)) for path, value in held.values.items() if path.startswith("boss."))
        asked = (design, room, sheet.shop, sheet.joint, sheet.runner, sheet.room, sheet.boss, thickness, on_bosses)
        choice = kept("split", asked, lambda: _chosen(design, room, sheet, held))
    if choice.station_mm is None:
        return design, choice
    found = _split(design, choice.station_mm, sheet, held)
    if found is None:
        why = f"No flange finds room across the runners at {choice.station_mm:.0f} mm from the port: one piece."
        return design, replace(choice, station_mm=None, why=why)
    return found, choice


def _chosen(design: Design, room: Room, sheet: JobSheet, held: Held) -> Choice:
    """The station nearest to the middle of what is out of reach where both halves can be cut and a joint has room."""
    runners = _most_turned(design)
    whole = max((_reaches(design, runner, sheet, (HEAD,))[0] for runner in runners), key=lambda reach: reach.left_mm)
    runner = runners[0]
    if sheet.runner.pieces == "as needed" and whole.verdict != "must split":
        return Choice(station_mm=None, why="")
    reason = _reason(whole)
    middle = whole.split_at_mm if whole.split_at_mm is not None else runner.length_mm / 2.0
    tried: list[tuple[float, float]] = []
    narrow: set[str] = set()
    for station, found in _with_room(design, _stations(runner, middle), room, (sheet, held), narrow):
        left = max(reach.left_mm for item in runners for reach in _reaches(found, item, sheet, _parts(found, item)))
        tried.append((left, station))
        if left <= 0.0 or len(tried) >= _MOST_TRIED:
            break
    cramped = bool(narrow)
    if not tried:
        why = f"{reason}, but no joint across the runners has room: {', '.join(sorted(narrow))}."
        return Choice(station_mm=None, why=why, left_mm=whole.left_mm, cramped=cramped)
    left, station = min(tried, key=lambda item: item[0])
    if sheet.runner.pieces == "as needed" and left >= whole.left_mm:
        why = f"{reason}, and a joint across the runners leaves as much."
        return Choice(station_mm=None, why=why, left_mm=whole.left_mm, cramped=cramped)
    short = "" if left <= 0.0 else f"; {left:.0f} mm are still left there"
    why = f"{reason}: split at {station:.0f} mm from the port{short}."
    return Choice(station_mm=station, why=why, left_mm=left, cramped=cramped and left > 0.0)


def _with_room(
    design: Design, stations: list[float], room: Room, words: tuple[JobSheet, Held], narrow: set[str]
) -> Iterator[tuple[float, Design]]:
    """The stations where a joint finds room, with the description split there; where none does but for the bosses, those:
    that a boss is in the way is told, and it can be moved. narrow : told what has no room elsewhere.
    """
    sheet, held = words
    barred: list[tuple[float, Design]] = []
    free = False
    for station in stations:
        found = _split(design, station, sheet, held)
        if found is None:
            narrow.update(_NO_PLACE)
            continue
        lacking = lacks(_with_bosses(found, sheet, held), room, sheet.room.clearance_mm)
        if not lacking:
            free = True
            yield station, found
        elif set(lacking) == {BOSS}:
            barred.append((station, found))
        narrow.update(lacking)
    if not free:
        yield from barred


def _with_bosses(design: Design, sheet: JobSheet, held: Held) -> Design:
    """The description with the bosses that stand on its runners."""
    on_runners = [facts for facts in sheet.boss if facts.wall is None]
    return replace(design, bosses=bosses(design, sheet.model_copy(update={"boss": on_runners}), held))


def _split(design: Design, station_mm: float, sheet: JobSheet, held: Held) -> Design | None:
    stations = {
        bank.name: held.number(f"joint.{names_of(bank, design).joint}.station_mm", station_mm) for bank in design.banks
    }
    try:
        return split_at(design, stations, sheet, held)
    except KernelError:  # no outline closes round so awkward a set of shapes
        return None


def _stations(runner: Runner, middle_mm: float) -> list[float]:
    """Every few millimetres along a runner, the nearest to a place first."""
    first, last = runner.port_lead_mm + _LEAST_END_MM, runner.length_mm - runner.mouth_lead_mm - _LEAST_END_MM
    steps = np.arange(0.0, max(last - first, 0.0), _STEP_MM)
    places = {round(middle_mm + sign * float(step)) for step in steps for sign in (1.0, -1.0)}
    return sorted((float(s) for s in places if first <= s <= last), key=lambda s: (abs(s - middle_mm), s))


def _reaches(design: Design, runner: Runner, sheet: JobSheet, pieces: tuple[str, ...]) -> list[PassageReach]:
    """How far cutters reach into a runner's passage in each of those pieces."""
    line = centreline(runner, design)
    found: list[PassageReach] = []
    for piece in pieces:
        flanges = [flange for flange in design.flanges if flange.piece == piece]
        part = part_between(line, flanges)
        if part is not None:
            first, last = part.first.station_mm, part.last.station_mm
            plates = np.concatenate([plate_points(flange) for flange in flanges])
            around = np.concatenate([_beside_passages(plates, design), _skins(design, first, last)])
            bore = Bore(piece=piece, from_mm=first, to_mm=last, around=np.ascontiguousarray(around))
            found.append(passage_reach(sheet.shop, design, runner, bore, QUICK))
    return found


def _skins(design: Design, first_mm: float, last_mm: float) -> Array:
    """Points (n, 3) of every runner's outside between two stations."""
    found: list[Array] = []
    for runner in design.runners:
        model = tube(runner, design)
        part = (model.s_mm >= first_mm) & (model.s_mm <= last_mm)
        found.append(model.outer_mm[part][:, ::_SKIN_EVERY].reshape(-1, 3))
    return np.concatenate(found)


def _beside_passages(points: Array, design: Design) -> Array:
    """Those of points (n, 3) of plates that are metal: not where a runner goes through."""
    kept_mm = np.full(len(points), np.inf)
    for runner in design.runners:
        model = tube(runner, design)
        off, station = KDTree(model.centre_mm).query(points)
        kept_mm = np.minimum(kept_mm, off - model.half_mm[station])
    return points[kept_mm > _WALL_MM]


def _most_turned(design: Design) -> list[Runner]:
    """The runner of each bank that turns most."""
    rows = [[runner for runner in design.runners if runner.bank == bank.name] for bank in design.banks]
    return [max(row, key=lambda item: _turned(item, design)) for row in rows]


def _parts(design: Design, runner: Runner) -> tuple[str, str]:
    """The two pieces that a runner of a split design goes through."""
    bank = next(item for item in design.banks if item.name == runner.bank)
    return names_of(bank, design).piece, MIDDLE


def _turned(runner: Runner, design: Design) -> float:
    """How far a runner turns in all [rad]."""
    line = centreline(runner, design)
    return float(np.linalg.norm(np.diff(line.tangents, axis=0), axis=1).sum())


def _reason(whole: PassageReach) -> str:
    if whole.verdict != "must split":
        return "Two pieces are asked for"
    return (
        f"Cutters come {whole.reach_from_port_end_mm:.0f} mm into the runners from the port and "
        f"{whole.reach_from_mouth_end_mm:.0f} mm from the mouth, {whole.left_mm:.0f} mm short of meeting"
    )
