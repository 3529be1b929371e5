"""Channels on the page: opening, drillings, fitting, plug, and the heat they bring."""

from tractwright.design.channel import Channel
from tractwright.design.channel_space import drillings
from tractwright.design.records import Design
from tractwright.geometry.outlines import Outline
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import Rows


def channel_rows(design: Design) -> Rows:
    """A row for each channel: what flows, its opening, its drillings, where the fitting stands."""
    return [_row(channel, design) for channel in design.channels]


def _row(channel: Channel, design: Design) -> list[str]:
    x, y = channel.at_mm
    return [
        channel.name.replace("_", " "),
        channel.fluid,
        f"{_outline(channel.outline)} at x {x:.2f}, y {y:.2f}"
        + (f", turned {channel.turn_deg:.4g} deg" if channel.turn_deg else ""),
        f"{channel.recess_mm:.1f}",
        _fitting(channel),
        "; ".join(
            f"ø{hole.hole_mm:.4g} x {hole.hole_depth_mm:.1f}, {hole.thread} {hole.thread_mm:.1f} full"
            for hole in drillings(channel, design)
        ),
        f"{channel.plug}" if channel.plug else "",
    ]


def _outline(outline: Outline) -> str:
    if outline.kind == "circle":
        return f"ø{outline.width_mm:.4g}"
    corners = f", corners R{outline.corner_radius_mm:.4g}" if outline.kind == "rounded_rectangle" else ""
    return f"{outline.kind.replace('_', ' ')} {outline.width_mm:.4g} x {outline.height_mm:.4g}{corners}"


def _fitting(channel: Channel) -> str:
    if channel.place == "edge":
        off = f"milled flat {channel.edge_mm:.1f} from the opening at {channel.way_deg:.4g} deg"
        return f"edge, {off}, {channel.level_mm:.1f} high"
    x, y = channel.port_mm
    post = f"post ø{channel.post_mm:.4g} x {channel.height_mm:.1f}" if channel.height_mm > 0.0 else "flush"
    along = f"drilling to it {channel.level_mm:.1f} high, from the edge, milled flat {channel.edge_mm:.1f} off"
    across = f"; {along}" if channel.plug else ""
    return f"outer face, x {x:.2f}, y {y:.2f}, {post}{across}"


def channel_parts(design: Design) -> Rows:
    """The plugs; fittings are the customer's."""
    return [
        ["1", f"taper plug {item.plug}, sealed, channel {item.name}", item.joint]
        for item in design.channels
        if item.plug
    ]


def channel_notes(contents: Contents) -> list[str]:
    """What to know of fluids beside the air; nothing where there are no channels."""
    fluids = sorted({channel.fluid for channel in contents.case.design.channels})
    if not fluids:
        return []
    text = (
        f"{', '.join(fluids).capitalize()} beside the charge air warms the flange and the charge. Deburr and wash drillings "
        "before the plug goes in; prove each channel by itself with water, and never with the air's test alone: a leak into a "
        "port is a hydraulic lock or a burnt valve. Hot coolant is under pressure and scalds."
    )
    return [text]
