"""An insulating spacer in its joint's x-y: its openings on both faces and the holes its screws pass."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.channel_space import opening
from tractwright.design.records import Bank, Design, Joint, Port
from tractwright.design.seated import port_moved
from tractwright.design.slots import slot_outline
from tractwright.design.spacer import Spacer
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.geometry.placing import carried

_LEANS_MM = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """What goes through a spacer, joint frame x-y. openings : on its outer face; on_head : the same ones on the head's face,
    in their order; holes : of its screws. A leaning port's opening is cut along the port's axis.
    """

    openings: tuple[Contour, ...]
    on_head: tuple[Contour, ...]
    holes: tuple[Contour, ...]

    @property
    def leans(self) -> bool:
        """Whether an opening lies elsewhere on the head's face than on the outer one."""
        pairs = zip(self.openings, self.on_head, strict=True)
        return any(np.hypot(a[0][0] - b[0][0], a[0][1] - b[0][1]) > _LEANS_MM for a, b in pairs)


def through(spacer: Spacer, design: Design) -> Through:
    """Openings and holes of a spacer."""
    joint, bank = joint_of(spacer, design), bank_under(spacer, design)
    ports = [port for port in design.ports if port.bank == bank.name]
    behind = [port_moved(port, bank, -spacer.thickness_mm) for port in ports]
    straight = tuple(opening(channel) for channel in design.channels if channel.joint == spacer.joint)
    return Through(
        openings=(*(carried(port_contour(port), bank.frame, joint.frame) for port in ports), *straight),
        on_head=(*(carried(port_contour(port), bank.frame, joint.frame) for port in behind), *straight),
        holes=_holes(joint, design),
    )


def metal_mm2(spacer: Spacer, design: Design) -> float:
    """Area of a spacer's face, its openings and holes left out [mm2]."""
    found = through(spacer, design)
    away = sum(abs(contour_area(contour)) for contour in (*found.openings, *found.holes))
    return abs(contour_area(spacer.contour)) - away


def joint_of(spacer: Spacer, design: Design) -> Joint:
    """The joint that a spacer lies in."""
    return next(joint for joint in design.joints if joint.name == spacer.joint)


def bank_under(spacer: Spacer, design: Design) -> Bank:
    """The head that a spacer lies on."""
    place = np.array(joint_of(spacer, design).frame.origin_mm)
    return min(design.banks, key=lambda bank: float(np.linalg.norm(np.array(bank.frame.origin_mm) - place)))


def spacer_name(name: str) -> str:
    """What a spacer is called beside pieces and joints: 'spacer', or with its bank's name where there are several."""
    return f"spacer{name.removeprefix('head')}"


def port_contour(port: Port) -> Contour:
    """A port's outline in its bank's x-y."""
    c, s = float(np.cos(np.radians(port.turn_deg))), float(np.sin(np.radians(port.turn_deg)))
    x0, y0 = port.at_mm
    return tuple((x0 + x * c - y * s, y0 + x * s + y * c, bulge) for x, y, bulge in outline_contour(port.outline))


def _holes(joint: Joint, design: Design) -> tuple[Contour, ...]:
    found: list[Contour] = []
    for screw in design.screws:
        if screw.joint != joint.name:
            continue
        x, y, _ = joint.frame.to_local(screw.seat_mm)
        ring = outline_contour(circle(screw.clearance_mm))
        round_hole: Contour = tuple((float(x) + u, float(y) + v, bulge) for u, v, bulge in ring)
        found.append(slot_outline(screw, design) if screw.slot_mm > 0.0 else round_hole)
    return tuple(found)
