"""An insulating spacer as an exact solid: its plate, openings along the ports' own axes, holes square through it."""

import numpy as np

from tractwright.design.records import Design
from tractwright.design.spacer import Spacer
from tractwright.design.spacer_space import joint_of, through
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, vec3
from tractwright.kernel.checked import Checked, checked, cut
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.mesh import is_watertight, tessellate
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.primitives import extrude, slanted
from tractwright.kernel.solid import Solid, solid_to_bytes
from tractwright.shape.finish import ANGLE_RAD, CHORD_MM
from tractwright.shape.parts.finishes import BEYOND_MM
from tractwright.shape.records import BuiltSpacer


def spacer_solid(spacer: Spacer, design: Design) -> Checked:
    """The spacer in the job frame. Raises KernelError naming what could not be cut."""
    frame, found, thick = joint_of(spacer, design).frame, through(spacer, design), spacer.thickness_mm
    plate = checked(extrude(spacer.contour, frame, -thick))
    low = frame.moved((0.0, 0.0, -thick - BEYOND_MM))
    holes = [checked(extrude(hole, low, thick + 2.0 * BEYOND_MM)) for hole in found.holes]
    pairs = zip(found.openings, found.on_head, strict=True)
    openings = [checked(_opening(outer, inner, frame, thick)) for outer, inner in pairs]
    return cut(cut(plate, openings, "the spacer's openings"), holes, "the spacer's holes")


def built_spacer(spacer: Spacer, design: Design) -> BuiltSpacer:
    """The spacer with everything checked of it. Raises KernelError where it does not come out as one closed solid."""
    body = spacer_solid(spacer, design)
    mesh, size = tessellate(body.solid, CHORD_MM, ANGLE_RAD), volume(body.solid)
    if not (is_valid(body.solid) and is_watertight(*mesh)):
        raise KernelError(f"the spacer {spacer.name}", "it is no valid closed solid")
    return BuiltSpacer(name=spacer.name, solid=PackedSolid(solid_to_bytes(body.solid)), mesh=mesh, volume_mm3=size)


def _opening(outer: Contour, inner: Contour, frame: Frame, thick: float) -> Solid:
    """From before the outer face to behind the head's, leaning as the opening does."""
    lean = np.array([inner[0][0] - outer[0][0], inner[0][1] - outer[0][1], -thick]) / thick
    start = frame.moved(vec3(-BEYOND_MM * lean))
    return slanted(outer, start, vec3(frame.turn(lean * (thick + 2.0 * BEYOND_MM))))
