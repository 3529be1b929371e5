"""Seal grooves and pockets: what is cut into the flat faces of a piece."""

from tractwright.design.records import Design
from tractwright.geometry.offsets import offset_contour
from tractwright.kernel.checked import Checked
from tractwright.shape.parts.bodies import prism

_BEYOND_MM = 1.0


def seal_grooves(piece: str, design: Design) -> list[Checked]:
    """The cutters of the cord grooves that lie in a piece, from outside its joint face to their depth."""
    joints = {joint.name: joint for joint in design.joints}
    tools: list[Checked] = []
    for seal in design.seals:
        if seal.piece != piece or seal.kind != "cord":
            continue
        joint = joints[seal.joint]
        way = 1.0 if joint.pieces[1] == piece else -1.0
        outside = joint.frame.moved((0.0, 0.0, -way * _BEYOND_MM))
        outer, inner = (offset_contour(seal.path, side * seal.groove_width_mm / 2.0) for side in (1.0, -1.0))
        tools.append(prism(outer, outside, way * (seal.groove_depth_mm + _BEYOND_MM), holes=(inner,)))
    return tools


def flange_pockets(piece: str, design: Design) -> list[Checked]:
    """The cutters of the pockets in a piece's flanges, from outside the flange's outer face to their depth."""
    flanges = {flange.name: flange for flange in design.flanges if flange.piece == piece}
    tools: list[Checked] = []
    for pocket in design.pockets:
        if (flange := flanges.get(pocket.flange)) is not None:
            floor = flange.frame.moved((0.0, 0.0, flange.thickness_mm - pocket.depth_mm))
            tools.append(prism(pocket.contour, floor, pocket.depth_mm + _BEYOND_MM))
    return tools
