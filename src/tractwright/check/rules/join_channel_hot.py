"""A warm fluid in the flange, and in the spacer under it: warms the charge, and the material bears only so much."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.channel_space import flange_of
from tractwright.geometry.frames import vec3
from tractwright.job.channel_tables import USUAL_DEGC
from tractwright.standards.spacer_materials import spacer_material

ALUMINIUM_DEGC = 150.0
"""What an aged aluminium alloy may be for good before it softens. Source key: memory."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading a channel: its fluid against what flange and spacer bear for good."""
    said = {item.name.strip().replace(" ", "_"): item.warm_degc for item in case.sheet.channel}
    for channel in case.design.channels:
        spacers = [item for item in case.design.spacers if item.joint == channel.joint]
        borne = min([ALUMINIUM_DEGC, *(spacer_material(item.material).long_term_degc for item in spacers)])
        warm = said.get(channel.name)
        yield Reading(
            subject=f"channel.{channel.name}",
            measured=warm if warm is not None else USUAL_DEGC[channel.fluid],
            unit="C",
            at_most=borne,
            broken="look",
            at_mm=vec3(flange_of(channel, case.design).frame.to_world(channel.at_mm)),
            message=f"The {channel.fluid} is warmer than {_what(borne)} bears for "
            "good, and it warms the charge air: lead it past the manifold, or say how warm it is (channel.warm).",
        )


def _what(borne: float) -> str:
    return "the spacer" if borne < ALUMINIUM_DEGC else "aluminium"


RULE = Rule(
    id="join.channel_hot",
    question="Do flange and spacer bear what flows in every channel?",
    limit="150 C for aluminium (memory), what a spacer's material may be lastingly; the fluid at channel.warm, else 110 C, "
    "exhaust gas 300 C (judgement)",
    cure="lead it elsewhere, or cooler",
    bites_at="join",
    needs="description",
    source="memory",
    judge=judge,
)
