"""READ FIRST: the whole job, top to bottom. Facts and a space go in; a manifold looked ahead through every step comes out."""

from pathlib import Path

from tractwright.air.stage import result, wanted
from tractwright.cache import kept, key_of
from tractwright.check.stage import contradictions, description_case, look_ahead, put_right
from tractwright.design.file import read_held, write_design
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet, sheet_path
from tractwright.job.sheet import without_rates
from tractwright.make.stage import plan, reaches
from tractwright.packet.contents import Contents
from tractwright.packet.stage import write_packet
from tractwright.scan.fingerprint import scan_sha256
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.stage import build
from tractwright.watch import Watch


def run_job(job: Path, watch: Watch) -> Contents:
    """Do the whole job of a folder (or its job.toml) and leave its packet beside the sheet.

    Raises SheetError, ScanError. A broken rule is a finding in the contents, never an error.
    """
    sheet, folder = read_sheet(job), sheet_path(job).parent
    facts = without_rates(sheet)  # what money costs decides no shape
    scanned = scan_sha256(sheet, folder)
    held = read_held(folder / "design.toml", folder / "packet" / "design.toml")

    with watch("pattern and room"):
        pattern, room = kept("scan", (facts, scanned), lambda: pattern_and_room(facts, folder))
    with watch("air wanted"):
        aim = kept("wanted", (facts, pattern), lambda: wanted(facts, pattern))
    with watch("course and description"):
        inputs = (facts, scanned, aim, held)
        settled = kept("description", inputs, lambda: put_right(facts, pattern, room, aim, held))
    design = settled.described.design
    with watch("air"):
        breathing = kept("air", (facts, design), lambda: result(facts, design))
    with watch("solids"):
        pieces = kept("solids", (design,), lambda: build(design))
    with watch("reach"):
        reached = kept("reach", (facts.shop, design), lambda: reaches(facts, design, pieces))
    with watch("set-ups and price"):
        making = plan(sheet, design, pieces, reached)
    with watch("looking ahead"):
        case = description_case(sheet, pattern, room, aim, settled.described)
        case = case.later(breathing=breathing, pieces=pieces, plan=making)
        findings = look_ahead(case)
    contents = Contents(
        folder=folder / "packet",
        inputs_sha256=key_of(sheet, scanned, held),
        case=case,
        assumed=assumed_values(sheet),
        findings=findings,
        changes=settled.changes,
        contradictions=contradictions(case),
    )
    with watch("packet"):
        write_packet(contents)
        write_design(design, folder / "design.toml")
    return contents
