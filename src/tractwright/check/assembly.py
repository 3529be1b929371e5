"""In which order the joints can be screwed together, so that a key gets at every screw with the pieces on by then."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from tractwright.check.bodies import Body, bodies_of_groups, groups_of_pieces
from tractwright.check.screw_distances import envelope, key_way
from tractwright.design.records import Design, Joint, Screw

Groups = frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """An order of the joints. present : for each joint, by name, the groups of bodies that are there as it is tightened.

    listed : whether it is the order in which the description lists them; possible : whether a key gets at every screw.
    """

    order: tuple[str, ...]
    present: Mapping[str, Groups]
    listed: bool
    possible: bool


def assembly_of(bodies: tuple[Body, ...], design: Design) -> Assembly:
    """The listed order where it will do; else the first that will, pieces joined on the bench among them; else the listed."""
    return _assembly(bodies, design.joints, design.screws)


def bodies_before(bodies: tuple[Body, ...], design: Design, joint: Joint) -> tuple[Body, ...]:
    """What is there when a joint's screws are tightened, its own plates left out."""
    there = assembly_of(bodies, design).present[joint.name]
    return tuple(body for body in bodies if body.joint != joint.name and body.comes_with in there)


def bodies_after(bodies: tuple[Body, ...], design: Design, joint: Joint) -> tuple[Body, ...]:
    """What is put on after a joint's screws have been tightened."""
    there = assembly_of(bodies, design).present[joint.name]
    return tuple(body for body in bodies if body.comes_with not in there)


@lru_cache(maxsize=16)
def _assembly(bodies: tuple[Body, ...], joints: tuple[Joint, ...], screws: tuple[Screw, ...]) -> Assembly:
    groups = groups_of_pieces(joints)
    listed = _present(joints, groups)
    if all(_is_reached(bodies, joint, screws, listed[joint.name]) for joint in joints):
        return Assembly(order=_names(joints), present=listed, listed=True, possible=True)
    blocked = {joint.name: _blocked(bodies, joint, screws, frozenset(groups.values())) for joint in joints}
    found = _search(joints, joints, groups, blocked, set())
    if found is None:
        return Assembly(order=_names(joints), present=listed, listed=True, possible=False)
    return Assembly(order=_names(found), present=_present(found, groups), listed=False, possible=True)


def _names(joints: tuple[Joint, ...]) -> tuple[str, ...]:
    return tuple(joint.name for joint in joints)


def _is_reached(bodies: tuple[Body, ...], joint: Joint, screws: tuple[Screw, ...], there: Groups) -> bool:
    """Whether a key gets at every screw of a joint past the bodies of these groups."""
    around = bodies_of_groups(bodies, there, joint.name)
    own = (screw for screw in screws if screw.joint == joint.name)
    return all(key_way(around, screw).mm >= envelope(screw).bent_mm for screw in own)


def _blocked(bodies: tuple[Body, ...], joint: Joint, screws: tuple[Screw, ...], groups: Groups) -> Groups:
    """The groups any one of which keeps the key off a screw of this joint."""
    return frozenset(group for group in groups if not _is_reached(bodies, joint, screws, frozenset({group})))


def _present(order: tuple[Joint, ...], groups: Mapping[str, int]) -> dict[str, Groups]:
    """For each joint the groups that are one thing once it is closed, joints before it closed."""
    found: dict[str, Groups] = {}
    parts: dict[str, frozenset[str]] = {}
    for joint in order:
        merged = frozenset().union(*(parts.get(piece, frozenset({piece})) for piece in joint.pieces))
        parts |= dict.fromkeys(merged, merged)
        found[joint.name] = frozenset(groups[piece] for piece in merged)
    return found


def _search(
    joints: tuple[Joint, ...],
    left: tuple[Joint, ...],
    groups: Mapping[str, int],
    blocked: Mapping[str, Groups],
    dead: set[tuple[str, ...]],
) -> tuple[Joint, ...] | None:
    """The first order in which nothing that keeps a key off a joint is there yet; None where there is none."""
    if not left:
        return ()
    done = tuple(joint for joint in joints if joint not in left)
    for joint in left if _names(left) not in dead else ():
        if blocked[joint.name] & _present((*done, joint), groups)[joint.name]:
            continue
        rest = _search(joints, tuple(item for item in left if item != joint), groups, blocked, dead)
        if rest is not None:
            return (joint, *rest)
    dead.add(_names(left))
    return None
