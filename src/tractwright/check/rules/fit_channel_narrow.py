"""A channel's drillings against its opening: what was made narrower flows less."""

from collections.abc import Iterator
from math import pi

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.channel_space import flange_of
from tractwright.geometry.frames import vec3
from tractwright.geometry.outlines import outline_area

_LEAST = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a channel: the area of its bore as a share of its opening's."""
    for channel in case.design.channels:
        yield Reading(
            subject=f"channel.{channel.name}",
            measured=pi / 4.0 * channel.bore_mm**2 / outline_area(channel.outline),
            unit="of its opening",
            at_least=_LEAST,
            broken="look",
            at_mm=vec3(flange_of(channel, case.design).frame.to_world(channel.at_mm)),
            message=f"Its bore is much narrower than its opening, and the {channel.fluid} flows less than through the old "
            "part: a larger thread and bore, or see what flow it needs.",
        )


RULE = Rule(
    id="fit.channel_narrow",
    question="Is the bore of every channel nearly as wide as its opening?",
    limit="half of the opening's area; judgement",
    cure="a larger thread and bore",
    bites_at="fit",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
