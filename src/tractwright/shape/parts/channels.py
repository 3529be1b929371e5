"""Cutters of channels: openings sunk into the head's face, drillings, flats milled round their mouths in the edge."""

from tractwright.design.boss_hole import hole_profile
from tractwright.design.channel import Channel, Drilling
from tractwright.design.channel_space import drillings, end_mm, flange_of, flat_half_mm, half_mm, opening, way
from tractwright.design.records import Design, Flange
from tractwright.geometry.frames import vec3
from tractwright.kernel.checked import Checked
from tractwright.shape.parts.bodies import prism, turned
from tractwright.shape.parts.finishes import BEYOND_MM
from tractwright.shape.parts.holes import along


def channel_cutters(piece: str, design: Design) -> list[tuple[str, list[Checked]]]:
    """Steps and their cutters, in the order they are cut."""
    ours = [channel for channel in design.channels if flange_of(channel, design).piece == piece]
    recesses: list[Checked] = []
    for channel in ours:
        outside = flange_of(channel, design).frame.moved((0.0, 0.0, -BEYOND_MM))
        recesses.append(prism(opening(channel), outside, channel.recess_mm + BEYOND_MM))
    holes = [drilling for channel in ours for drilling in drillings(channel, design)]
    return [
        ("flats of channels", [_flat(item, flange_of(item, design)) for item in ours if item.edge_mm > 0.0]),
        ("openings of channels", recesses),
        ("drillings of channels", [_hole(drilling) for drilling in holes]),
    ]


def _hole(drilling: Drilling) -> Checked:
    return turned(hole_profile(drilling), along(drilling.start_mm, vec3([-value for value in drilling.out])))


def _flat(channel: Channel, flange: Flange) -> Checked:
    """From the mouth outwards, past the round end of the metal there, through the whole flange."""
    wide, far = flat_half_mm(channel), half_mm(channel.plug or channel.thread) + BEYOND_MM
    x0, y0 = end_mm(channel)
    c, s = way(channel)
    corners = ((0.0, -wide), (far, -wide), (far, wide), (0.0, wide))
    outline = tuple((float(x0 + a * c - b * s), float(y0 + a * s + b * c), 0.0) for a, b in corners)
    return prism(outline, flange.frame.moved((0.0, 0.0, -BEYOND_MM)), flange.thickness_mm + 2.0 * BEYOND_MM)
