"""[runner], [plenum], [throttle], [head], [joint]: what the pieces are to be."""

from typing import Literal

from pydantic import Field

from tractwright.job.fields import Length, Volume, assumed
from tractwright.job.tables import Part, Vec2, Vec3


class Runners(Part):
    """[runner] lengths, bores, walls. Silent ones are solved."""

    length_mm: Length | None = Field(
        default=None, gt=40, lt=1200, description="head face to plenum floor; silent: solved"
    )
    bore_mm: Length | None = Field(default=None, gt=12, lt=120, description="bore at the mouth; silent: solved")
    wall_mm: Length = assumed(4.0, "Wall thickness.", "what the shop's cutter leaves stable", 0.05, ge=1.0, le=20)
    root_blend_mm: Length = assumed(
        6.0, "Radius where a runner meets a flange.", "a ball cutter's radius", 0.02, ge=2.0, le=12
    )
    lip_radius_mm: Length | None = Field(default=None, ge=2, le=40, description="entry radius; silent: solved")
    neighbour_gap_mm: Length = assumed(
        6.0, "Least gap between neighbouring runners.", "room for a cutter between skins", 0.02, ge=0
    )


class PlenumFacts(Part):
    """[plenum]"""

    volume_l: Volume | None = Field(default=None, gt=0.2, lt=40, description="silent: solved")
    wall_mm: Length = assumed(5.0, "Wall thickness.", "stiff enough to mill", 0.03, ge=2, le=25)
    corner_radius_mm: Length = assumed(
        12.0, "Inside radius of the upright edges.", "a 20 mm cutter goes round it", 0.01, ge=3, le=80
    )
    at_mm: Vec3 | None = Field(default=None, description="middle of the mouths; silent: solved")
    direction: tuple[float, float, float] | None = Field(default=None, description="into the plenum; silent: solved")


class ThrottleFacts(Part):
    """[throttle]"""

    bore_mm: Length = assumed(70.0, "Bore of the throttle.", "a usual body", 0.08, gt=15, lt=150)
    place: Literal["end_1", "end_2", "top", "side_1", "side_2"] = Field(
        default="end_1",
        description="Side of the plenum: end_1 towards port 1, end_2 the other end, top the cover, side_1 and side_2 the long walls.",
    )
    neck_mm: Length = assumed(
        30.0, "From the plenum's wall to the throttle body's face.", "room for the body's screws", 0.02, ge=12, le=300
    )
    hole_pitch_mm: Vec2 | None = Field(default=None, description="tapped holes, square pattern: along, across")
    hole_thread: str = Field(default="M6", description="Thread of the body's screws.")


class Head(Part):
    """[head] what it bolts to."""

    material: Literal["cast aluminium", "cast iron"] = assumed("cast aluminium", "Material.", "usual", 0.02)
    gasket_mm: Length = assumed(0.8, "Thickness of the gasket, pressed.", "a sheet gasket", 0.01, ge=0, le=5)
    flange_mm: Length = assumed(12.0, "Thickness of the head flange.", "head flange thickness", 0.03, ge=6, le=40)


class JointFacts(Part):
    """[joint] screws and seals of the joints between the pieces."""

    thread: str = assumed("M6", "Thread of the screws between the pieces.", "usual at this size", 0.02)
    property_class: Literal["8.8", "10.9", "12.9"] = assumed("8.8", "Property class of all screws.", "usual", 0.02)
    cord_mm: Length = assumed(2.62, "Section of the seals' round cord.", "a common section", 0.01, gt=0.9, lt=7.1)
    seal_material: str | None = Field(default=None, description="asked, never guessed")
    nut_factor: float = assumed(0.20, "K in T = K d F.", "lightly oiled", 0.04, ge=0.08, le=0.4)
