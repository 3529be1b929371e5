"""A screw's head and washer need room beside skins, with the full root blend a cutter leaves."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import plenum_points
from tractwright.check.screw_distances import Envelope, envelope, least_off, skin_with_blend
from tractwright.design.records import Screw
from tractwright.geometry.frames import Array, vec3

_ROOM_MM = 0.5
_OVER_SEAT_MM = 0.05
_HIGHEST_STANDOFF_MM = 40


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: the nearest skin or plenum wall to its head and washer."""
    skins = {f"runner.{runner.name}": skin_with_blend(case, runner) for runner in case.design.runners}
    bodies = {f"plenum.{plenum.name}": plenum_points(case, plenum) for plenum in case.design.plena}
    kinds = {joint.name: joint.kind for joint in case.design.joints}
    for screw in case.design.screws:
        if kinds[screw.joint] in ("head", "runner"):
            yield _reading(screw, skins | bodies, raisable=kinds[screw.joint] == "head")


def _reading(screw: Screw, around: dict[str, Array], raisable: bool) -> Reading:
    space = envelope(screw)
    gaps = {name: _gap(points, screw, space, 0.0) for name, points in around.items()}
    nearest = min(gaps, key=lambda name: gaps[name][0])
    gap, place = gaps[nearest]
    fix = _raised(screw, space, around[nearest]) if raisable and gap < _ROOM_MM else None
    return Reading(
        subject="+".join(sorted((nearest, f"screw.{screw.name}"))),
        measured=min(gap, 100.0),
        unit="mm",
        at_least=_ROOM_MM,
        at_mm=vec3(place),
        message="Head or washer fouls the skin beside it: raise its seat on a standoff, or move it.",
        fix=fix,
    )


def _gap(points: Array, screw: Screw, space: Envelope, lift_mm: float) -> tuple[float, Array]:
    start = lift_mm + _OVER_SEAT_MM
    return least_off(points, screw, start, lift_mm + space.head_height_mm, space.head_radius_mm)


def _raised(screw: Screw, space: Envelope, points: Array) -> Fix | None:
    """The lowest standoff, to the next half millimetre, that clears the skin."""
    for half in range(1, 2 * _HIGHEST_STANDOFF_MM):
        if _gap(points, screw, space, half / 2)[0] >= _ROOM_MM:
            height = round(screw.standoff_mm + half / 2, 1)
            return Fix(path=f"screw.{screw.name}.standoff_mm", value=height, what=f"standoff {height:.1f} mm")
    return None


RULE = Rule(
    id="join.head_room",
    question="Has every screw's head and washer room beside skins and walls, with the full root blend?",
    limit="0.5 mm; common practice",
    cure="a standoff under the head",
    bites_at="join",
    needs="description",
    source="iso_4762",
    judge=judge,
)
