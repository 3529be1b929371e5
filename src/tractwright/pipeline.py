"""READ FIRST: the whole job, top to bottom. Facts and a space go in; a manifold looked ahead through every step comes out."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from tractwright.air.stage import result, wanted
from tractwright.cache import kept, key_of
from tractwright.check.case import Case
from tractwright.check.solid import judged
from tractwright.check.solid_facts import mass_kg, solid_facts
from tractwright.check.stage import PutRight, contradictions, description_case, look_ahead, put_right
from tractwright.design.file import Held, read_held, write_design
from tractwright.design.pattern import Pattern, Room
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet, sheet_path
from tractwright.job.sheet import JobSheet, facts_of_place, without_rates
from tractwright.job.shop_tables import Shop
from tractwright.make.stage import plan, priced, reaches
from tractwright.own.stage import read_own
from tractwright.packet.contents import Contents
from tractwright.packet.measured import MeasuredFile, MeasuredSolid
from tractwright.packet.stage import write_packet
from tractwright.scan.fingerprint import scan_sha256
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.stage import all_came_out, build
from tractwright.watch import Watch


def run_job(job: Path, watch: Watch) -> Contents:
    """Do the whole job of a folder (or its job.toml) and leave its packet beside the sheet.

    Raises SheetError, ScanError. A broken rule is a finding in the contents, never an error.
    """
    start = read_job(job, watch)
    settled, case = described(start, watch)
    facts, design = start.facts, case.design
    with watch("air"):
        breathing = kept("air", (facts, design), lambda: result(facts, design))
    with watch("solids"):
        pieces = kept("solids", (design,), lambda: build(design), worth=all_came_out)
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
    """What the description alone can answer; nothing is written. Raises SheetError, ScanError."""
    start = read_job(job, watch)
    settled, case = described(start, watch)
    with watch("looking ahead"):
        return looked_ahead(start, settled, case)


def air_job(job: Path, watch: Watch) -> Contents:
    """The description and how it breathes; nothing is written. Raises SheetError, ScanError."""
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
        read = kept(
            "own", (hashlib.sha256(path.read_bytes()).digest() if path.is_file() else b"",), lambda: read_own(path)
        )
    solids: list[MeasuredSolid] = []
    for solid in read.solids:
        facts = solid_facts(solid, alloy, shop, watch)
        mass = mass_kg(solid, alloy)
        solids.append(MeasuredSolid(facts=facts, alloy=alloy, mass_kg=mass, findings=judged(facts)))
    return MeasuredFile(read=read, solids=tuple(solids))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Start:
    """What is known before anything is designed. facts : the sheet without rates, for what money costs decides no shape."""

    sheet: JobSheet
    facts: JobSheet
    folder: Path
    scanned: str
    held: Held
    pattern: Pattern
    room: Room


def read_job(job: Path, watch: Watch) -> Start:
    """Read the sheet, the user's own numbers and the scan. Raises SheetError, ScanError."""
    sheet, folder = read_sheet(job), sheet_path(job).parent
    facts = without_rates(sheet)
    scanned = scan_sha256(sheet, folder)
    held = read_held(folder / "design.toml", folder / "packet" / "design.toml")
    with watch("pattern and room"):
        place = facts_of_place(sheet)
        pattern, room = kept("scan", (place, scanned), lambda: pattern_and_room(place, folder))
    return Start(sheet=sheet, facts=facts, folder=folder, scanned=scanned, held=held, pattern=pattern, room=room)


def described(start: Start, watch: Watch) -> tuple[PutRight, Case]:
    """The description with every fix applied, and the case it makes."""
    facts, pattern, room, held = start.facts, start.pattern, start.room, start.held
    with watch("air wanted"):
        aim = kept("wanted", (facts, pattern), lambda: wanted(facts, pattern))
    with watch("course and description"):
        inputs = (facts, start.scanned, aim, held)
        settled = kept("description", inputs, lambda: put_right(facts, pattern, room, aim, held))
        return settled, description_case(start.sheet, pattern, room, aim, settled.described)


def looked_ahead(start: Start, settled: PutRight, case: Case) -> Contents:
    """Every finding of what is known so far, and all that a packet is written from."""
    return Contents(
        folder=start.folder / "packet",
        inputs_sha256=key_of(start.sheet, start.scanned, start.held),
        case=case,
        assumed=assumed_values(start.sheet),
        findings=look_ahead(case),
        changes=settled.changes,
        contradictions=contradictions(case),
    )
