"""The job sheet: every key of job.toml, its unit, its limits, what is assumed where it is silent.

A field `bore_mm` is written `bore = "86 mm"` in the sheet: the unit belongs to the value there, to the name here.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from tractwright.job.fields import Angle, Length, Pressure, Speed, Temperature, Volume, assumed

Vec2 = tuple[Length, Length]
Vec3 = tuple[Length, Length, Length]


def _key(name: str) -> str:
    """The sheet's key of a field: its name without the unit."""
    for unit in ("_mm", "_deg", "_bar", "_degc", "_rpm", "_l", "_nm", "_mm2"):
        if name.endswith(unit):
            return name.removesuffix(unit)
    return name


class Part(BaseModel):
    """A table of the sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", alias_generator=_key, populate_by_name=False)


class Job(Part):
    """[job] what it is."""

    name: str = Field(min_length=1, description="A short name; files carry it.")
    note: str = ""


class Engine(Part):
    """[engine] what breathes through it. Leave the whole table out when nothing is known."""

    layout: Literal["inline"] = "inline"
    cylinders: int = Field(ge=1, le=8)
    bore_mm: Length = Field(gt=20, lt=200)
    stroke_mm: Length = Field(gt=20, lt=200)
    wanted_peak_rpm: Speed = assumed(5500.0, "the revs where the torque peak is wanted", 0.20, gt=500, lt=16000)
    highest_rpm: Speed = assumed(lambda d: 1.3 * d["wanted_peak_rpm"], "1.3 x the wanted peak", 0.05, gt=500, lt=20000)
    rod_length_mm: Length = assumed(lambda d: 1.65 * d["stroke_mm"], "1.65 x stroke", 0.01, gt=30)
    compression_ratio: float = assumed(10.0, "a usual value", 0.04, gt=4, lt=22)
    firing_order: tuple[int, ...] = assumed(lambda d: usual_firing_order(d["cylinders"]), "the usual order", 0.01)
    intake_valves: int = assumed(2, "two a cylinder", 0.06, ge=1, le=3)
    intake_valve_mm: Length = assumed(
        lambda d: (0.37 if d["intake_valves"] > 1 else 0.46) * d["bore_mm"], "share of the bore", 0.10, gt=5
    )
    intake_lift_mm: Length = assumed(lambda d: 0.28 * d["intake_valve_mm"], "0.28 x valve diameter", 0.06, gt=1)
    intake_opens_btdc_deg: Angle = assumed(10.0, "a road cam", 0.05, ge=-40, le=80)
    intake_closes_abdc_deg: Angle = assumed(50.0, "a road cam", 0.12, ge=0, le=110)
    exhaust_valves: int = assumed(lambda d: d["intake_valves"], "as many as intake valves", 0.02, ge=1, le=3)
    exhaust_valve_mm: Length = assumed(lambda d: 0.85 * d["intake_valve_mm"], "0.85 x intake valve", 0.03, gt=5)
    exhaust_lift_mm: Length = assumed(lambda d: d["intake_lift_mm"], "as the intake", 0.02, gt=1)
    exhaust_opens_bbdc_deg: Angle = assumed(50.0, "a road cam", 0.03, ge=0, le=110)
    exhaust_closes_atdc_deg: Angle = assumed(12.0, "a road cam", 0.03, ge=-40, le=80)
    port_length_mm: Length = assumed(lambda d: 1.15 * d["bore_mm"], "port in the head, valve to face", 0.08, gt=10)


class AirSupply(Part):
    """[air] what it breathes."""

    boost_bar: Pressure = Field(default=0.0, ge=0, le=5, description="gauge pressure in the plenum; 0 for none")
    ambient_bar: Pressure = assumed(1.013, "sea level", 0.02, gt=0.4, lt=1.2)
    charge_degc: Temperature = assumed(
        lambda d: 25.0 if d["boost_bar"] == 0 else 50.0, "25 C, or 50 C after a cooler", 0.04, gt=-50, lt=200
    )
    wall_degc: Temperature = assumed(60.0, "metal of the runners, warm", 0.02, gt=-50, lt=200)
    backfire_bar: Pressure = assumed(3.0, "gauge pressure a backfire may make; judgement", 0.03, ge=0, le=20)
    fuel: Literal["petrol", "ethanol", "methanol"] = "petrol"


class Runners(Part):
    """[runner] lengths, bores, walls. Silent ones are solved."""

    length_mm: Length | None = Field(
        default=None, gt=40, lt=1200, description="head face to plenum floor; silent: solved"
    )
    bore_mm: Length | None = Field(default=None, gt=12, lt=120, description="bore at the mouth; silent: solved")
    wall_mm: Length = assumed(4.0, "what the shop's cutter leaves stable", 0.05, ge=1.0, le=20)
    root_blend_mm: Length = assumed(6.0, "a ball cutter's radius", 0.02, ge=2.0, le=12)
    lip_radius_mm: Length | None = Field(default=None, ge=2, le=40, description="entry radius; silent: solved")
    neighbour_gap_mm: Length = assumed(6.0, "room for a cutter between skins", 0.02, ge=0)


class PlenumFacts(Part):
    """[plenum]"""

    volume_l: Volume | None = Field(default=None, gt=0.2, lt=40, description="silent: solved")
    wall_mm: Length = assumed(5.0, "stiff enough to mill", 0.03, ge=2, le=25)
    corner_radius_mm: Length = assumed(12.0, "a 20 mm cutter goes round it", 0.01, ge=3, le=80)
    at_mm: Vec3 | None = Field(default=None, description="middle of the mouths; silent: solved")
    direction: tuple[float, float, float] | None = Field(default=None, description="into the plenum; silent: solved")


class ThrottleFacts(Part):
    """[throttle]"""

    bore_mm: Length = assumed(70.0, "a usual body", 0.08, gt=15, lt=150)
    place: Literal["end_1", "end_2", "top", "side_1", "side_2"] = "end_1"
    neck_mm: Length = assumed(30.0, "room for the body's screws", 0.02, ge=12, le=300)
    hole_pitch_mm: Vec2 | None = Field(default=None, description="tapped holes, square pattern: along, across")
    hole_thread: str = "M6"


class PortFacts(Part):
    """[[pattern.port]] one opening, when the row is not regular."""

    at_mm: Vec2
    cylinders: tuple[int, ...] = ()


class ScrewFacts(Part):
    """[[pattern.screw]] one screw of the head's pattern."""

    at_mm: Vec2
    stud: bool = False


class PatternFacts(Part):
    """[pattern] ports and screws of the head face, when no scan gives them; measured values win over the scan."""

    port_shape: Literal["circle", "oval", "rounded_rectangle", "d", "loop"] = "oval"
    port_width_mm: Length = Field(gt=8, lt=150)
    port_height_mm: Length = assumed(lambda d: d["port_width_mm"], "as wide as high", 0.05, gt=8, lt=150)
    port_corner_radius_mm: Length = assumed(6.0, "a usual corner", 0.01, ge=0)
    port_lower_corner_radius_mm: Length = assumed(6.0, "a usual corner", 0.01, ge=0)
    port_points_mm: tuple[Vec2, ...] = ()
    port_turn_deg: Angle = 0.0
    port_rise_deg: Angle = assumed(0.0, "the port's axis square to the face", 0.02, ge=-50, le=50)
    pitch_mm: Length | None = Field(default=None, gt=15, lt=250, description="port to port, for a regular row")
    port: tuple[PortFacts, ...] = ()
    screw_thread: str = "M8"
    screw_depth_mm: Length = assumed(22.0, "full thread in the head", 0.02, gt=3, le=80)
    screw_rise_mm: Length | None = Field(default=None, gt=5, lt=150, description="rows of screws above and below")
    screw: tuple[ScrewFacts, ...] = ()


class Scan(Part):
    """[scan] a scan of the old part."""

    file: str
    unit: Literal["mm", "cm", "m", "inch"] = "mm"
    port_1: Literal["left", "right"] = assumed(
        "left", "port 1 at the left, looking at the head face from the head with the longer screw span level", 0.01
    )
    upside_down: bool = False


class KeepOut(Part):
    """[[room.box]] a box the part stays out of, job frame."""

    name: str
    low_mm: Vec3
    high_mm: Vec3


class KeepOutSide(Part):
    """[[room.plane]] the part stays where normal . p >= offset."""

    name: str
    normal: tuple[float, float, float]
    offset_mm: Length


class RoomFacts(Part):
    """[room] where the part may be. Axes: x along the row from port 1, y up, z out of the head; origin mid row."""

    clearance_mm: Length = assumed(4.0, "air left to everything", 0.03, ge=0, le=50)
    around_old_part_mm: Length = assumed(15.0, "how far the new part may stand out of the old one's space", 0.10, ge=0)
    bridge_mm: Length = assumed(60.0, "hollows of the old part narrower than twice this count as its space", 0.05, ge=0)
    use_scan: bool = True
    box: tuple[KeepOut, ...] = ()
    plane: tuple[KeepOutSide, ...] = ()


class Head(Part):
    """[head] what it bolts to."""

    material: Literal["cast aluminium", "cast iron"] = assumed("cast aluminium", "usual", 0.02)
    gasket_mm: Length = assumed(0.8, "a sheet gasket", 0.01, ge=0, le=5)
    flange_mm: Length = assumed(12.0, "head flange thickness", 0.03, ge=6, le=40)


class JointFacts(Part):
    """[joint] screws and seals of the joints between the pieces."""

    thread: str = assumed("M6", "usual at this size", 0.02)
    property_class: Literal["8.8", "10.9", "12.9"] = assumed("8.8", "usual", 0.02)
    cord_mm: Length = assumed(2.62, "a common section", 0.01, gt=0.9, lt=7.1)
    seal_material: str | None = Field(default=None, description="asked, never guessed")
    nut_factor: float = assumed(0.20, "lightly oiled", 0.04, ge=0.08, le=0.4)


class Cutter(Part):
    """[[shop.cutter]] one cutter."""

    name: str
    kind: Literal["ball", "flat", "undercutting"]
    diameter_mm: Length = Field(gt=0)
    neck_mm: Length = Field(gt=0)
    stickout_mm: Length = Field(gt=0)


class Shop(Part):
    """[shop] machine, cutters, rates."""

    machine: Literal["3-axis", "rotary axis", "tilting table"] = assumed(
        "tilting table", "five directions in one hold", 0.1
    )
    travel_mm: Vec3 = assumed((800.0, 500.0, 500.0), "a middling mill", 0.01)
    longest_stickout: float = assumed(8.0, "x cutter diameter; judgement", 0.05, gt=2, le=20)
    cutter: tuple[Cutter, ...] = ()
    material: Literal["6061-T651", "7075-T651"] = assumed("6061-T651", "usual plate", 0.02)
    currency: str = assumed("EUR", "say your own", 0.0)
    rate_hour: float = assumed(75.0, "machine and hand, an hour", 0.3, ge=0)
    rate_programming_hour: float = assumed(60.0, "at the desk, an hour", 0.1, ge=0)
    stock_price_kg: float = assumed(9.0, "plate, a kg", 0.15, ge=0)
    saw_allowance_mm: Length = assumed(3.0, "a side", 0.02, ge=0)


class JobSheet(Part):
    """The whole sheet."""

    job: Job
    engine: Engine | None = None
    air: AirSupply = Field(default_factory=AirSupply)
    runner: Runners = Field(default_factory=Runners)
    plenum: PlenumFacts = Field(default_factory=PlenumFacts)
    throttle: ThrottleFacts = Field(default_factory=ThrottleFacts)
    pattern: PatternFacts | None = None
    scan: Scan | None = None
    room: RoomFacts = Field(default_factory=RoomFacts)
    head: Head = Field(default_factory=Head)
    joint: JointFacts = Field(default_factory=JointFacts)
    shop: Shop = Field(default_factory=Shop)


def usual_firing_order(cylinders: int) -> tuple[int, ...]:
    """The usual order of an inline engine (common practice, no source)."""
    usual: dict[int, tuple[int, ...]] = {
        1: (1,),
        2: (1, 2),
        3: (1, 3, 2),
        4: (1, 3, 4, 2),
        5: (1, 2, 4, 5, 3),
        6: (1, 5, 3, 6, 2, 4),
    }
    return usual.get(cylinders, tuple(range(1, cylinders + 1)))


def without_rates(sheet: JobSheet) -> JobSheet:
    """The same sheet with every rate at nothing: what money costs decides no shape."""
    free = {"currency": "", "rate_hour": 0.0, "rate_programming_hour": 0.0, "stock_price_kg": 0.0}
    return sheet.model_copy(update={"shop": sheet.shop.model_copy(update=free)})
