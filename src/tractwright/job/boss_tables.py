"""[[boss]]: what stands on runners, plenum walls or cover, with a hole into the air inside."""

from typing import Literal

from tractwright.job.fields import Angle, Direction, Length, Name, Number, Part, Switch, Vec2, Vec3, needed, silent


class BossFacts(Part):
    """A boss, one on each runner it names or one on a wall of the plenum: metal that stands on the skin, its root rounded,
    and a hole through it into the passage.
    """

    name: Name = needed("what it is: findings say it; on runners the runner's name is added", "nozzle")
    use: Literal["plain", "nozzle", "injector", "sensor", "vacuum", "breather", "post", "pad"] = silent(
        "plain", "what it is for", "a plain boss", example="nozzle"
    )
    runners: tuple[Name, ...] = silent((), "the runners it stands on, one each", "every runner", example=["r1", "r2"])
    wall: Literal["end_1", "end_2", "top", "side_1", "side_2"] | None = silent(
        None, "the wall of the plenum it stands on, named as for the throttle; top is the cover", "it stands on runners",
        example="side_2",
    )  # fmt: skip
    wall_at_mm: Vec2 | None = silent(
        None,
        "its place from the middle of that wall: along the row of mouths (on an end wall: across it), then away from the "
        "floor (on the cover: across the row)",
        "the place nearest to the middle of the wall where its foot finds room",
        example=[60, 0],
    )
    station_mm: Length | None = silent(
        None, "its place on a runner: from the head face along the runner's middle", "by its share", example="90 mm",
        gt=0, lt=1200,
    )  # fmt: skip
    share: Number = silent(
        0.5,
        "its place as a share of the runner's length, where no station is said",
        "half way",
        example=0.4,
        gt=0,
        lt=1,
    )
    clock_deg: Angle = silent(
        90.0,
        "which side of the runner: 0 along the row (+x), 90 up where the runner leaves the head, carried along it without "
        "a twist",
        "90 deg",
        example="120 deg",
        ge=-360,
        le=360,
    )
    top_at_mm: Vec3 | None = silent(
        None,
        "the middle of its top in job axes, in place of station and clock angle: it stands on the named runner, else on the "
        "nearest, or on the wall",
        "by station and clock angle, or by its place on the wall",
        example=[-60, 92, 110],
    )
    towards: Direction | None = silent(
        None,
        "with top_at on a runner: the way its axis points, outwards, job axes",
        "square to the skin",
        example=[0, 1, 0],
    )
    carries: Name | None = silent(
        None,
        "what of the old part it carries on: a name of [[room.carried]]",
        "nothing of it",
        example="fuel-rail post 1",
    )
    blind: Switch = silent(
        False, "true: its thread ends in metal and no hole goes on into the passage", "it goes through"
    )
    aim: Literal["skin", "port"] = silent(
        "skin", "its axis: square to the skin, leaned by lean; or through the port's middle on the head face", "skin",
        example="port",
    )  # fmt: skip
    lean_deg: Angle = silent(
        0.0, "how far it leans off square along the runner: above 0 the hole points towards the port", "square",
        example="30 deg", ge=-75, le=75,
    )  # fmt: skip
    thread: Name | None = silent(None, "metric, inch or taper pipe thread, cut from its top", "none", example="1/8 NPT")
    bore_mm: Length | None = silent(
        None,
        "hole into the passage",
        "the thread's drill; 6 mm where there is no thread",
        example="4 mm",
        gt=0.4,
        lt=60,
    )
    pocket_mm: tuple[Vec2, ...] = silent(
        (),
        "seat of an injector or plug: steps of [diameter, depth from the top], from the top down, each narrower and deeper",
        "no steps",
        example=[[14.2, 12], [11, 16]],
    )
    top_mm: Length | None = silent(
        None, "diameter of its flat top", "its hole and enough round it", example="20 mm", gt=3, lt=120
    )
    height_mm: Length | None = silent(
        None, "of its top over the skin, along its axis", "as high as thread, steps and root ask for", example="12 mm", gt=1,
        lt=150,
    )  # fmt: skip
    draft_deg: Angle = silent(3.0, "slope of its side, for a tapered cutter", "3 deg", example="3 deg", ge=0, le=20)
    root_mm: Length = silent(3.0, "radius where it meets the skin", "3 mm", example="3 mm", ge=0.8, le=12)
    swing_mm: Length | None = silent(
        None, "diameter of the free way over it for what is screwed or plugged in and its spanner", "from its thread or top",
        example="26 mm", gt=0, lt=300,
    )  # fmt: skip
    reach_mm: Length | None = silent(
        None, "length of that free way", "40 mm; 60 mm for an injector", example="55 mm", gt=0, lt=600
    )
