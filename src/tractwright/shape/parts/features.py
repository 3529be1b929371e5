"""What is cut into any plate-like piece last: seal grooves, pockets, holes of screws and dowels."""

from tractwright.design.records import Design
from tractwright.kernel.checked import Checked, cut
from tractwright.shape.parts.grooves import flange_pockets, seal_grooves
from tractwright.shape.parts.holes import dowel_holes, screw_holes, throttle_holes


def with_features(body: Checked, piece: str, design: Design) -> Checked:
    """The body with every groove, pocket and hole of its piece. Raises KernelError naming what could not be cut."""
    body = cut(body, seal_grooves(piece, design), "seal grooves")
    body = cut(body, flange_pockets(piece, design), "pockets")
    holes = [*screw_holes(piece, design), *throttle_holes(piece, design), *dowel_holes(piece, design)]
    return cut(body, holes, "holes")
