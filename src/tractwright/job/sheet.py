"""The job sheet: every key of job.toml, its unit, its limits, what is assumed where it is silent.

A field `bore_mm` is written `bore = "86 mm"` in the sheet: the unit belongs to the value there, to the name here.
"""

from typing import Any

from pydantic import Field

from tractwright.job.bank_tables import BankFacts
from tractwright.job.boss_tables import BossFacts
from tractwright.job.channel_tables import ChannelFacts
from tractwright.job.engine_tables import AirSupply, Engine
from tractwright.job.fields import Name, Part, key_of_field, needed, silent
from tractwright.job.own_tables import OwnPiece
from tractwright.job.piece_tables import Head, JointFacts, PlenumFacts, Runners, SpacerFacts, ThrottleFacts
from tractwright.job.shop_tables import ONLY_PRICED, Shop
from tractwright.job.source_tables import Gasket, Reading
from tractwright.job.space_tables import PatternFacts, RoomFacts, Scan
from tractwright.job.strength_tables import StrengthFacts


class Job(Part):
    """What it is."""

    name: Name = needed("a short name; titles carry it", "my-manifold")
    note: str = silent("", "anything worth saying about it", "nothing", example="for the blue car", max_length=2000)


class JobSheet(Part):
    """The whole sheet. A table that is not there is as one that is empty; [engine], [pattern], [scan] and [spacer] may be
    missing.
    """

    job: Job
    engine: Engine | None = None
    air: AirSupply = Field(default_factory=AirSupply)
    runner: Runners = Field(default_factory=Runners)
    plenum: PlenumFacts = Field(default_factory=PlenumFacts)
    throttle: ThrottleFacts = Field(default_factory=ThrottleFacts)
    bank: tuple[BankFacts, ...] = silent((), "the two heads of a vee or a flat engine", "one head")
    pattern: PatternFacts | None = None
    scan: Scan | None = None
    gasket: tuple[Gasket, ...] = silent((), "gaskets, drawn or in a picture", "none")
    reading: tuple[Reading, ...] = silent((), "readings of the callipers", "none")
    room: RoomFacts = Field(default_factory=RoomFacts)
    head: Head = Field(default_factory=Head)
    spacer: SpacerFacts | None = None
    joint: JointFacts = Field(default_factory=JointFacts)
    boss: tuple[BossFacts, ...] = silent((), "bosses on runners and plenum", "none")
    channel: tuple[ChannelFacts, ...] = silent((), "ways for other fluids through the head flange", "none")
    piece: tuple[OwnPiece, ...] = silent((), "pieces drawn already", "none")
    strength: StrengthFacts = Field(default_factory=StrengthFacts)
    shop: Shop = Field(default_factory=Shop)

    @property
    def mouth_bore_mm(self) -> float | None:
        """Bore of the mouths as far as it is said: the runners', or that of throttle bodies on them."""
        if self.throttle.on_mouths and "bore_mm" in self.throttle.model_fields_set:
            return self.throttle.bore_mm
        return self.runner.bore_mm


def without_rates(sheet: JobSheet) -> JobSheet:
    """The same sheet with every rate at nothing: neither what money costs nor what is written beside decides a shape."""
    free: dict[str, Any] = {"currency": "", "solids_for_cutting": False, **dict.fromkeys(ONLY_PRICED, 0.0)}
    return sheet.model_copy(update={"shop": sheet.shop.model_copy(update=free)})


def cylinders_of_row(sheet: JobSheet) -> int | None:
    """How many cylinders a row of ports feeds: a bank's where there are banks, else the engine's; None if nothing says."""
    if sheet.bank:
        return max(len(bank.cylinders) for bank in sheet.bank)
    return sheet.engine.cylinders if sheet.engine is not None else None


def places_ports(sheet: JobSheet) -> bool:
    """Whether [pattern], [scan] or [[gasket]] says where the ports are."""
    pattern = sheet.pattern
    in_pattern = pattern is not None and (
        bool(pattern.port) or (pattern.pitch_mm is not None and cylinders_of_row(sheet) is not None)
    )
    return in_pattern or sheet.scan is not None or bool(sheet.gasket)


_NOT_BREATHED = (
    "job",
    "pattern",
    "scan",
    "gasket",
    "reading",
    "room",
    "head",
    "spacer",
    "joint",
    "boss",
    "channel",
    "piece",
    "strength",
    "shop",
)
_OF_METAL = ("wall_mm", "root_blend_mm", "neighbour_gap_mm", "pieces")
_OF_LATER_STAGES = ("job", "air", "runner", "plenum", "throttle", "joint", "boss", "channel", "strength", "shop")
_OF_THE_PLACE = {"layout", "cylinders"}


def facts_of_place(sheet: JobSheet) -> JobSheet:
    """The sheet with nothing in it but what tells where ports, screws and room are: later facts move no port.

    The rest is None, not silent: whoever asks for it where it does not count falls over at once.
    """
    gone: dict[str, Any] = dict.fromkeys(_OF_LATER_STAGES)
    if sheet.engine is not None:
        others = set(type(sheet.engine).model_fields) - _OF_THE_PLACE
        gone["engine"] = sheet.engine.model_copy(update=dict.fromkeys(others))
    if sheet.spacer is not None:
        others = set(type(sheet.spacer).model_fields) - {"thickness_mm"}
        gone["spacer"] = sheet.spacer.model_copy(update=dict.fromkeys(others))
    return sheet.model_copy(update=gone)


def facts_of_aims(sheet: JobSheet) -> JobSheet:
    """The sheet with nothing in it but what decides the sizes to aim at, beside the ports: metal round the air changes none.

    The rest is None, as above.
    """
    runner = sheet.runner.model_copy(update=dict.fromkeys(_OF_METAL))
    return sheet.model_copy(update={**dict.fromkeys(_NOT_BREATHED), "runner": runner})


def without_key(sheet: JobSheet, key: str) -> JobSheet:
    """The sheet as if it were silent on a key ('runner.length'), or without a thing of the room ('room.plane.bonnet').

    Raises KeyError for a key that is not there or has no silence.
    """
    table, _, rest = key.partition(".")
    part = getattr(sheet, table)
    kind, _, name = rest.partition(".")
    if name:
        left = tuple(item for item in getattr(part, kind) if item.name != name)
        return sheet.model_copy(update={table: part.model_copy(update={kind: left})})
    field = {key_of_field(field): field for field in type(part).model_fields}[rest]
    info, values = type(part).model_fields[field], dict(part)
    if info.is_required():
        raise KeyError(key)
    silence = info.get_default(call_default_factory=True, validated_data=values)
    said = part.model_fields_set - {field}
    silent_part = type(part).model_construct(_fields_set=said, **{**values, field: silence})
    return sheet.model_copy(update={table: silent_part})


def is_said(sheet: JobSheet, key: str) -> bool:
    """Whether the sheet says a key of one of its tables."""
    table, _, name = key.partition(".")
    part = getattr(sheet, table)
    return part is not None and any(key_of_field(field) == name for field in part.model_fields_set)
