"""[runner], [plenum], [throttle], [head], [spacer] and [joint]: what is wanted of the pieces.

Silent sizes are solved or assumed.
"""

from typing import Literal

from tractwright.job.fields import (
    Direction,
    Length,
    Name,
    Number,
    Part,
    Switch,
    Temperature,
    Vec2,
    Vec3,
    Volume,
    assumed,
    silent,
)

_BODY_BORES = 0.7
"""Length of a throttle body over its bore where the sheet is silent. Source key: shop_judgement."""
_SOLVED = "solved"
_SOLVED_OR_NEEDED = "solved; needed where there is no [engine]"


ThrottlePlace = Literal["end_1", "end_2", "top", "side_1", "side_2", "mouths"]


class Runners(Part):
    """Lengths, bores, walls."""

    length_mm: Length | None = silent(
        None,
        "along the middle of a runner, head face to the plenum floor's inner face, the same for all",
        _SOLVED_OR_NEEDED,
        example="300 mm",
        gt=40,
        lt=1200,
    )
    bore_mm: Length | None = silent(None, "diameter at the mouth", _SOLVED_OR_NEEDED, example="44 mm", gt=12, lt=120)
    wall_mm: Length = assumed(4.0, "metal round a runner", "what the shop's cutter leaves stable", 0.05, ge=1.0, le=20)
    root_blend_mm: Length = assumed(
        6.0, "radius where a runner's outside meets a flange", "a ball cutter's radius", 0.02, ge=2.0, le=12
    )
    lip_radius_mm: Length | None = silent(
        None, "radius of the rounded entry at a mouth", _SOLVED, example="8 mm", ge=2, le=40
    )
    neighbour_gap_mm: Length = assumed(
        6.0, "least air between two runners' outsides", "room for a cutter between skins", 0.02, ge=0, le=100
    )
    pieces: Literal["as needed", "one", "two"] = assumed(
        "one",
        "of how many pieces the runners are cut, head flange to mouth flange: as needed splits them across where the "
        "shop's cutters do not meet inside",
        "no joint to seal",
        0.05,
    )


class PlenumFacts(Part):
    """The chamber that all mouths open into, or one for each bank."""

    over: Literal["both", "own"] = silent(
        "both",
        "with two heads. both: one plenum for the runners of both; own: a manifold for each bank with a plenum of its own, on "
        "its own side of the middle plane, a throttle as told in [throttle] on each",
        "one plenum",
        example="own",
    )
    volume_l: Volume | None = silent(
        None, "air inside, in all plena together", _SOLVED, example="3.2 litre", gt=0.2, lt=40
    )
    wall_mm: Length = assumed(5.0, "thickness of its walls", "stiff enough to mill", 0.03, ge=2, le=25)
    corner_radius_mm: Length = assumed(
        12.0, "radius of its upright inner edges", "a 20 mm cutter goes round it", 0.01, ge=3, le=80
    )
    at_mm: Vec3 | None = silent(
        None,
        "the middle of the row of mouths, on the inner face of the plenum's floor, job axes",
        _SOLVED,
        example=[0, 120, 160],
    )
    direction: Direction | None = silent(
        None,
        "square to the plenum's floor, from the mouths into the plenum, job axes",
        _SOLVED,
        example=[0, 1, 0],
    )


class ThrottleFacts(Part):
    """Where the air comes in."""

    bore_mm: Length = assumed(
        70.0, "bore of the throttle body", "a usual body; solved where there is an [engine]", 0.08, gt=15, lt=150
    )
    place: ThrottlePlace = assumed(
        "end_1",
        "wall of the plenum that carries it: end_1 where x along the mouths is least, end_2 where it is greatest, top the "
        "cover opposite the mouths, side_1 and side_2 the long walls; mouths: no plenum, a body on the mouth of every runner",
        "at port 1's end",
        0.05,
    )
    second: Literal["end_1", "end_2", "top", "side_1", "side_2"] | None = silent(
        None,
        "another wall of the plenum, with a second throttle body there like the first: neck, bore and holes as told here "
        "hold for each",
        "one throttle",
        example="end_2",
    )
    neck_mm: Length = assumed(
        30.0, "from the plenum's outside to the face the throttle body bolts to", "room for the body's screws", 0.02,
        ge=12, le=300,
    )  # fmt: skip
    hole_pitch_mm: Vec2 | None = silent(
        None,
        "four tapped holes for the body on a rectangle: distances between their middles, first along the row of mouths "
        "(at an end: across it), then the other way; on mouths the same round each",
        "the scan's, else a square just outside the bore",
        example=[66, 66],
    )
    hole_thread: Name = assumed("M6", "thread of those holes", "usual at this size", 0.01)
    body_length_mm: Length | None = silent(
        None, "length of the throttle body along its bore", "0.7 x its bore", example="50 mm", gt=5, lt=400
    )
    actuator_reach_mm: Length | None = silent(
        None,
        "how far its motor, lever or plug stands out, from the middle of the bore",
        "nothing stands out beside the body",
        example="85 mm",
        gt=5,
        lt=400,
    )
    actuator_width_mm: Length = silent(
        60.0, "width of what stands out there, across", "60 mm", example="60 mm", gt=5, lt=400
    )
    actuator_towards: Direction | None = silent(
        None, "the way it stands out, job axes", "upwards, [0, 1, 0]", example=[0, 1, 0]
    )
    straight_run_mm: Length | None = silent(
        None, "straight way kept free before the throttle body", "one bore", example="70 mm", ge=0, lt=1000
    )
    pitch_mm: Length | None = silent(
        None,
        "of bodies on mouths that are bought as a bank: from one to the next along their spindles",
        "bodies bought singly: solved, with room between them",
        example="94 mm",
        gt=20,
        lt=400,
    )
    body_flange_mm: Length = silent(
        10.0,
        "thickness of the flange of a body on a mouth, under its screws' heads",
        "10 mm",
        example="10 mm",
        ge=4,
        le=40,
    )
    trumpet_mm: Length = silent(
        0.0, "straight length of the intake trumpet on each body on a mouth", "none", example="40 mm", ge=0, le=500
    )
    bell_mm: Length = silent(
        0.0, "radius that the trumpet's mouth is rounded by", "a plain end", example="14 mm", ge=0, le=60
    )
    at_mm: Vec3 | None = silent(
        None,
        "of bodies on mouths: the middle of their row, in the face they bolt to, job axes",
        _SOLVED,
        example=[0, 90, 150],
    )
    direction: Direction | None = silent(
        None, "of bodies on mouths: along their bores, from the runners outwards, job axes", _SOLVED, example=[0, 1, 0]
    )

    def body_long_mm(self, bore_mm: float) -> float:
        """Length of a throttle body along its bore [mm]: said, else by its bore."""
        return self.body_length_mm if self.body_length_mm is not None else _BODY_BORES * bore_mm

    @property
    def walls(self) -> tuple[ThrottlePlace, ...]:
        """The walls that carry a throttle, the first one's first."""
        return tuple(dict.fromkeys([self.place, *([self.second] if self.second else [])]))

    @property
    def on_mouths(self) -> bool:
        """Whether every runner ends in a body of its own."""
        return self.place == "mouths"


class Head(Part):
    """What it bolts to."""

    material: Literal["cast aluminium", "cast iron"] = assumed("cast aluminium", "metal of the head", "usual", 0.02)
    gasket_mm: Length = assumed(0.8, "gasket thickness, pressed", "a sheet gasket", 0.01, ge=0, le=5)
    flange_mm: Length = assumed(12.0, "thickness of the manifold's flange there", "usual", 0.03, ge=6, le=40)
    gasket_land_mm: Length = assumed(
        4.0, "least width of gasket between a port and a hole or an edge", "usual", 0.01, ge=1, le=30
    )
    slots: Literal["none", "growth", "outer"] = silent(
        "none",
        "slotted holes in the flange, away from the middle: growth only where the warm flange would carry a round hole off "
        "its screw; outer all but those nearest to the middle, for studs that stand a little off",
        "round holes",
        example="growth",
    )
    slot_mm: Length = silent(
        1.0, "how much longer than wide those of outer are at least", "1 mm", example="1.5 mm", gt=0, le=6
    )
    pockets: Switch = silent(
        False,
        "true: metal of the flange between screws, ports and edge that carries nothing is taken out",
        "no pockets",
    )
    pocket_floor_mm: Length = silent(5.0, "metal left under a pocket", "5 mm", example="4 mm", ge=2, le=30)
    pocket_corner_mm: Length = silent(
        4.0,
        "least radius of a pocket's corners: of the cutter that goes round it",
        "4 mm",
        example="5 mm",
        ge=1.5,
        le=20,
    )
    pocket_land_mm: Length = silent(
        4.0, "metal left beside a pocket, to screw heads, posts, pins and the edge", "4 mm", example="4 mm", ge=2, le=30
    )
    insert_mm: Length | None = silent(
        None,
        "nominal length of the wire inserts in its tapped holes: 1, 1.5 or 2 thread diameters",
        "no inserts",
        example="12 mm",
        gt=3,
        lt=40,
    )


class SpacerFacts(Part):
    """A plate between head and head flange that keeps the head's heat back, a gasket on each of its faces. Leave the whole
    table out for none.
    """

    material: Name = assumed(
        "glass epoxy", "what it is cut from: glass epoxy, cotton phenolic or PEEK", "bears screws best", 0.01
    )
    thickness_mm: Length = assumed(6.0, "how thick it is", "a common sheet", 0.02, ge=1.5, le=30)
    warm_head_degc: Temperature = assumed(
        110.0, "the head's face when all is warm", "somewhat over its coolant", 0.01, ge=40, le=250
    )


class JointFacts(Part):
    """Screws and seals of the joints between the pieces."""

    thread: Name = assumed("M6", "thread of the screws between pieces", "usual at this size", 0.02)
    property_class: Literal["8.8", "10.9", "12.9"] = assumed(
        "8.8", "property class of all screws; inch ones are grade 5, grade 8, A574 in its place", "usual", 0.02
    )
    cord_mm: Length = assumed(2.62, "section of the round seal cord", "a common section", 0.01, gt=0.9, lt=7.1)
    seal_material: Name | None = silent(
        None, "what the cord is made of; it must suit the fuel", "asked for, never guessed", example="FKM"
    )
    seal_confirmed: Switch = silent(
        False,
        "true where the seal's maker has confirmed that material for the fuel and what is sprayed in",
        "not asked",
    )
    dowel_play_mm: Length = assumed(
        0.02, "play of a dowel pin in its hole, on the diameter", "a reamed hole", 0.01, ge=0, le=0.5
    )
    brace: Switch = silent(False, "true where a brace ties the plenum to the engine", "none")
    nut_factor: Number = assumed(
        0.20, "torque over (preload x diameter) of a screw", "lightly oiled", 0.04, ge=0.08, le=0.4
    )
