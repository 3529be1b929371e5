"""A key must get at every screw: straight in, or at least with its short arm."""

from collections.abc import Iterator

from tractwright.check.assembly import bodies_after, bodies_before
from tractwright.check.bodies import Crowd, crowd
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import words
from tractwright.check.screw_distances import Gap, beside, envelope, key_way
from tractwright.design.records import Joint, Screw
from tractwright.geometry.frames import vec3

_OVER_SEAT_MM, _HEAD_ROOM_MM = 0.05, 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw with the pieces on that come before it; one a joint with everything on."""
    for joint in case.design.joints:
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        before = crowd(bodies_before(case.bodies, case.design, joint))
        after = bodies_after(case.bodies, case.design, joint)
        for screw in screws:
            free = key_way(before, screw)
            if free.mm >= envelope(screw).bent_mm or not _head_fouls(before, screw, free.subject):
                yield _reading(screw, free)
        if screws and after:
            yield _covered(joint, screws, crowd(after))


def _head_fouls(before: Crowd, screw: Screw, subject: str) -> bool:
    """Whether the very thing that stops the key stands in the head's room, too: join.head_room says so."""
    space = envelope(screw)
    beside_head = beside(before, screw, _OVER_SEAT_MM, space.head_height_mm, space.head_radius_mm)
    return beside_head.mm < _HEAD_ROOM_MM and beside_head.subject == subject


def _reading(screw: Screw, free: Gap) -> Reading:
    return Reading(
        subject="+".join(sorted(name for name in (free.subject, f"screw.{screw.name}") if name)),
        measured=free.mm,
        unit="mm",
        at_least=envelope(screw).bent_mm,
        at_mm=vec3(free.place),
        message=f"No key gets at this screw, {_words(free)} stands over it: move the screw, or turn the plenum or throttle.",
    )


def _words(gap: Gap) -> str:
    return words(gap.subject) if gap.subject else "nothing"


def _covered(joint: Joint, screws: list[Screw], after: Crowd) -> Reading:
    """The screw that pieces put on later cover most."""
    free = {screw.name: key_way(after, screw) for screw in screws}
    least = {screw.name: envelope(screw).bent_mm for screw in screws}
    worst = min(free, key=lambda name: free[name].mm - least[name])
    covered = sum(free[name].mm < least[name] for name in free)
    return Reading(
        subject=f"joint.{joint.name}",
        measured=free[worst].mm,
        unit="mm",
        at_least=least[worst],
        broken="look",
        at_mm=vec3(free[worst].place),
        message=f"{covered} of its screws, {worst} most, end up under {_words(free[worst])}: tighten them before that goes on; "
        "to tighten them again it has to come off.",
    )


RULE = Rule(
    id="join.key_room",
    question="Does a key get at every screw and turn it, with the pieces on that come before it?",
    limit="the short arm of the key, less the socket's depth, free over the head, 0.5 mm round it; under pieces "
    "that come later a look",
    cure="move the screw, a standoff, or another order of assembly",
    bites_at="join",
    needs="description",
    source="jis_b_4648",
    judge=judge,
)
