"""READ FIRST: the whole job, top to bottom. Facts and a space go in; a manifold looked ahead through every step comes out."""

from dataclasses import dataclass, replace
from pathlib import Path

from tractwright.air.records import Allowed, Wanted
from tractwright.air.stage import result, wanted, wanted_within
from tractwright.cache import kept, key_of
from tractwright.check.case import Case
from tractwright.check.solid import judged
from tractwright.check.solid_facts import mass_kg, solid_facts
from tractwright.check.stage import PutRight, contradictions, description_case, look_ahead, put_right, put_right_near
from tractwright.design.file import Held, read_held, write_design
from tractwright.design.pattern import Pattern, Room
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet, sheet_path
from tractwright.job.sheet import JobSheet, facts_of_aims, facts_of_place, places_ports, without_rates
from tractwright.job.shop_tables import Shop
from tractwright.make.stage import plan, priced, reaches
from tractwright.own.head_records import OwnHead
from tractwright.own.taken import head_of, own_file, pattern_on, room_before, sheet_told
from tractwright.packet.contents import Contents
from tractwright.packet.measured import MeasuredFile, MeasuredSolid
from tractwright.packet.stage import write_packet
from tractwright.route.allowed import allowed_by
from tractwright.route.records import JobFacts
from tractwright.scan.fingerprint import scan_sha256
from tractwright.scan.space import room_without_scan
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.stage import all_came_out, build, build_spacers
from tractwright.side_by_side import side_by_side
from tractwright.strength.on_solids import on_solids
from tractwright.watch import Watch


def run_job(job: Path, watch: Watch) -> Contents:
    """Do the whole job of a folder (or its job.toml) and leave its packet beside the sheet.

    Raises SheetError, ScanError, SolidError. A broken rule is a finding in the contents, never an error.
    """
    start = read_job(job, watch)
    settled, case = described(start, watch)
    facts, design = start.facts, case.design
    with watch("air and solids"):
        breathing, pieces = side_by_side(
            lambda: kept("air", (facts, design), lambda: result(facts, design)),
            lambda: kept("solids", (design,), lambda: build(design, start.folder), worth=all_came_out),
        )
        case = replace(case, spacers=kept("spacers", (design,), lambda: build_spacers(design)))
    if start.sheet.strength.on_solids:
        with watch("strength on the solids"):
            measured = kept("on_solids", (facts.air, design), lambda: on_solids(facts.air, design, pieces))
        case = replace(case, loads=replace(case.loads, on_solids=measured))
    with watch("reach"):
        reached = kept("reach", (facts.shop, design), lambda: reaches(facts, design, pieces))
    with watch("set-ups and price"):
        making = kept("making", (facts.shop, design), lambda: plan(facts, design, pieces, reached))
        case = case.later(breathing=breathing, pieces=pieces, plan=priced(making, start.sheet.shop))
    with watch("looking ahead"):
        contents = looked_ahead(start, settled, case)
    with watch("packet"):
        write_packet(contents)
        write_design(design, start.folder / "design.toml")
    watch.write(contents.folder / "timing.json")
    return contents


def check_job(job: Path, watch: Watch) -> Contents:
    """What the description alone can answer; nothing is written. Raises SheetError, ScanError, SolidError."""
    start = read_job(job, watch)
    settled, case = described(start, watch)
    with watch("looking ahead"):
        return looked_ahead(start, settled, case)


def air_job(job: Path, watch: Watch) -> Contents:
    """The description and how it breathes; nothing is written. Raises SheetError, ScanError, SolidError."""
    start = read_job(job, watch)
    settled, case = described(start, watch)
    with watch("air"):
        breathing = kept("air", (start.facts, case.design), lambda: result(start.facts, case.design))
    with watch("looking ahead"):
        return looked_ahead(start, settled, replace(case, breathing=breathing))


def measure_file(path: Path, alloy: str, watch: Watch) -> MeasuredFile:
    """Every solid in a STEP file of the user's measured and judged; nothing is written. Raises SolidError, TableError."""
    shop = Shop()
    with watch("reading the solid"):
        read = own_file(path)
    solids: list[MeasuredSolid] = []
    for solid in read.solids:
        facts = solid_facts(solid, alloy, shop, watch)
        mass = mass_kg(solid, alloy)
        solids.append(MeasuredSolid(facts=facts, alloy=alloy, mass_kg=mass, findings=judged(facts)))
    return MeasuredFile(read=read, solids=tuple(solids))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Start:
    """What is known before anything is designed. facts : the sheet without rates, for what money costs decides no shape;
    own : the head piece drawn already, None where the tool draws it.
    """

    sheet: JobSheet
    facts: JobSheet
    folder: Path
    scanned: str
    held: Held
    pattern: Pattern
    room: Room
    own: OwnHead | None = None

    def aims(self) -> Wanted:
        """What the air asks for, with the length and bore of passages drawn already."""
        sheet = facts_of_aims(self.facts if self.own is None else sheet_told(self.own, self.facts))
        return kept("wanted", (sheet, self.pattern), lambda: wanted(sheet, self.pattern))

    def asked(self, aim: Wanted) -> JobFacts:
        """What the description is made from."""
        return JobFacts(
            sheet=self.facts, pattern=self.pattern, room=self.room, wanted=aim, held=self.held, own=self.own
        )


def read_job(job: Path, watch: Watch) -> Start:
    """Read the sheet, the user's own numbers and the scan. Raises SheetError, ScanError, SolidError."""
    sheet, folder = read_sheet(job), sheet_path(job).parent
    facts = without_rates(sheet)
    scanned = scan_sha256(sheet, folder)
    held = read_held(folder / "design.toml", folder / "packet" / "design.toml")
    with watch("pattern and room"):
        pattern, room, own = _place(sheet, folder, scanned)
    return Start(
        sheet=sheet, facts=facts, folder=folder, scanned=scanned, held=held, pattern=pattern, room=room, own=own
    )


def _place(sheet: JobSheet, folder: Path, scanned: str) -> tuple[Pattern, Room, OwnHead | None]:
    """Pattern and room by all that tells of them, a head piece drawn already among it, and that piece."""
    if not places_ports(sheet) and (own := head_of(sheet, folder, None)) is not None:
        return pattern_on(own, sheet, None), room_before(own, room_without_scan(sheet.room)), own
    place = facts_of_place(sheet)
    pattern, room = kept("scan", (place, scanned), lambda: pattern_and_room(place, folder))
    own = head_of(sheet, folder, pattern)
    return (pattern_on(own, sheet, pattern) if own is not None else pattern), room, own


def described(start: Start, watch: Watch) -> tuple[PutRight, Case]:
    """The description with every fix applied, and the case it makes."""
    with watch("air wanted"):
        aim = start.aims()
    with watch("course and description"):
        inputs = (start.facts, start.scanned, start.own, aim, start.held)
        settled = kept("description", inputs, lambda: put_right(start.asked(aim)))
    allowed = allowed_by(start.asked(aim), settled.described)
    if allowed is not None:
        aim, settled = _within(start, allowed, (aim, settled), watch)
    return settled, description_case(start.sheet, start.pattern, start.room, aim, settled.described)


def _within(start: Start, allowed: Allowed, first: tuple[Wanted, PutRight], watch: Watch) -> tuple[Wanted, PutRight]:
    """Other sizes for the length and volume there is room for, and the description with them. What is wanted stays what it
    was: with all the room there could be.
    """
    aim, settled = first
    with watch("air wanted"):
        sheet = facts_of_aims(start.facts)
        within = kept("wanted", (sheet, start.pattern, allowed), lambda: wanted_within(sheet, start.pattern, allowed))
    with watch("course and description"):
        inputs = (start.facts, start.scanned, start.own, aim, within, start.held)
        again = kept("description", inputs, lambda: put_right_near(start.asked(aim), settled, start.asked(within)))
    if not again.described.feasible:
        return first
    told = replace(within, length_mm=aim.length_mm, plenum_volume_l=aim.plenum_volume_l, length_price=aim.length_price)
    return told, replace(again, described=again.described.wanting(aim.length_mm))


def looked_ahead(start: Start, settled: PutRight, case: Case) -> Contents:
    """Every finding of what is known so far, and all that a packet is written from."""
    return Contents(
        folder=start.folder / "packet",
        inputs_sha256=key_of(start.sheet, start.scanned, start.own, start.held),
        case=case,
        assumed=assumed_values(start.sheet),
        findings=look_ahead(case),
        changes=settled.changes,
        contradictions=contradictions(case),
    )
