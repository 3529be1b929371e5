"""A fitting is screwed in with a spanner and its hose goes on: that takes a free way over it."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.bodies import crowd
from tractwright.check.case import Case
from tractwright.check.channel_facts import thicker_flange
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import words
from tractwright.check.screw_distances import free_along
from tractwright.check.told import without_hoses
from tractwright.design.channel import Channel
from tractwright.design.channel_space import across, fitting, flange_of
from tractwright.design.room import HEAD_FACE, clearance, nearest, pack
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import envelope_of

_START_MM = 1.0
_STEP_MM = 2.0
_AROUND = 24
_HEAD = "a screw's head"


def judge(case: Case) -> Iterator[Reading]:
    """One reading a channel: how far out its fitting's cylinder is free of metal, screw heads and the room's things."""
    for channel in case.design.channels:
        origin, out = (np.array(item) for item in fitting(channel, case.design))
        own = f"flange.{flange_of(channel, case.design).name}"
        around = crowd(tuple(body for body in case.bodies if body.subject not in (own, f"channel.{channel.name}")))
        metal = free_along(around, origin, out, (_START_MM, channel.reach_mm, channel.swing_mm / 2.0))
        what, free = _room(case, channel, origin, out)
        ends = {metal.subject: metal.mm + _START_MM, _HEAD: _heads(case, channel, origin, out)}
        ends[what] = min(free, ends.get(what, free))
        first = min(ends, key=lambda name: ends[name])
        yield Reading(
            subject=f"channel.{channel.name}",
            measured=min(ends[first], channel.reach_mm),
            unit="mm",
            at_least=channel.reach_mm,
            at_mm=fitting(channel, case.design)[0],
            message=f"The way for its fitting and spanner ends at {first if first == _HEAD else words(first)}: "
            f"{_cure(channel, first)}, or a smaller swing or reach if the fitting needs less.",
            fix=thicker_flange(case, channel, channel.swing_mm + 0.5) if _beside_head(channel, first) else None,
        )


def _cure(channel: Channel, met: str) -> str:
    if _beside_head(channel, met):
        return "a thicker flange, or a fitting that stands out"
    return "another place or way out"


def _beside_head(channel: Channel, met: str) -> bool:
    """Whether a fitting in the edge has no room beside the head's own face."""
    return met == HEAD_FACE and channel.place == "edge"


def _heads(case: Case, channel: Channel, origin: Array, out: Array) -> float:
    """How far out the way meets the head of a screw of its joint [mm]."""
    found = channel.reach_mm
    for screw in case.design.screws:
        if screw.joint != channel.joint:
            continue
        space = envelope_of(screw.head, screw.thread, screw.washer)
        off = np.array(screw.seat_mm) - np.array(screw.direction) * space.head_height_mm - origin
        along = float(off @ out)
        beside = float(np.linalg.norm(off - along * out)) - space.head_radius_mm - channel.swing_mm / 2.0
        if beside < 0.0 and along > 0.0:
            found = min(found, max(along - space.head_height_mm - space.head_radius_mm, 0.0))
    return found


def _room(case: Case, channel: Channel, origin: Array, out: Array) -> tuple[str, float]:
    """What is kept out that the way meets first, and how far out that is [mm]."""
    limits = pack(without_hoses(case))
    steps = np.arange(_START_MM, channel.reach_mm + _STEP_MM, _STEP_MM).clip(max=channel.reach_mm)
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    first, second = across((float(out[0]), float(out[1]), float(out[2])))
    ring = (np.cos(turn)[:, None] * first + np.sin(turn)[:, None] * second) * channel.swing_mm / 2.0
    points = (origin + steps[:, None, None] * out + ring).reshape(-1, 3)
    distance, _ = clearance(limits, points)
    blocked = distance.reshape(len(steps), -1).min(axis=1) < 0.0
    if not blocked.any():
        return "", channel.reach_mm
    met = points[int(np.argmin(distance))]
    return nearest(limits, met[None, :])[0] or "the room", float(steps[blocked][0]) - _START_MM


RULE = Rule(
    id="fit.channel_way",
    question="Can the fitting of every channel be screwed in and its hose put on?",
    limit="a cylinder of channel.swing over it, channel.reach long, free of metal, screw heads and the room's things",
    cure="another place or way out",
    bites_at="fit",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
