"""Metal round a channel of another fluid: none of it may find its way into the air, out, or along a screw."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.channel_facts import FACE, Metal, least_metal, thicker_flange, to_air
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import STABLE_WALL_MM
from tractwright.design.channel import Channel
from tractwright.design.channel_space import flange_of

TO_AIR_MM = 3.0
"""Between another fluid and the charge air: a leak there is not seen. Source key: shop_judgement."""


def judge(case: Case) -> Iterator[Reading]:
    """Two readings a channel: the runner nearest to it, and whatever else is nearest."""
    for channel in case.design.channels:
        air, rest = to_air(case, channel), least_metal(case, channel)
        if air.to:
            yield Reading(
                subject=f"channel.{channel.name}+{air.to}",
                measured=air.mm,
                unit="mm",
                at_least=TO_AIR_MM,
                at_mm=air.at_mm,
                message=f"So little metal keeps the {channel.fluid} out of the charge air: move it, or make its bore less.",
            )
        yield Reading(
            subject="+".join(sorted(name for name in (rest.to, f"channel.{channel.name}") if name)),
            measured=rest.mm,
            unit="mm",
            at_least=STABLE_WALL_MM,
            at_mm=rest.at_mm,
            message=f"So little metal is left to {rest.what}: move it, a smaller bore or thread, a wider post, or a thicker "
            "flange (head.flange).",
            fix=_thicker(case, channel, rest),
        )


def _thicker(case: Case, channel: Channel, rest: Metal) -> Fix | None:
    """A flange with metal enough over and under a drilling in it."""
    if rest.what != FACE:
        return None
    thick = flange_of(channel, case.design).thickness_mm
    return thicker_flange(case, channel, thick + 2.0 * (STABLE_WALL_MM - rest.mm))


RULE = Rule(
    id="wall.channel",
    question="Is there metal enough round every channel of another fluid?",
    limit="3 mm to the air's passages; 2.5 mm to screws' holes, other channels, faces and edges, threads at their outside",
    cure="another place, a smaller bore or thread, a thicker flange",
    bites_at="wall",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
