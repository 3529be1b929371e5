"""The commands, in plain words.

Exit codes: 0 whole, 1 a stop, 2 a bad sheet, scan or solid, 3 a contradiction, 4 our own failure.

What a command works with is imported when it is called: the children that build solids start this module again.
"""

import json
import os
import sys
import traceback
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer
from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table

from tractwright.errors import ScanError, SheetError, SolidError, TractwrightError

if TYPE_CHECKING:
    from tractwright.check.finding import Finding
    from tractwright.packet.contents import Contents
    from tractwright.packet.measured import MeasuredFile
    from tractwright.watch import Watch

_EXIT = {"whole": 0, "stops": 1, "contradiction": 3}
_BAD_SHEET, _OUR_FAILURE = 2, 4
_PAINT = {"stop": "red", "look": "yellow", "unknown": "cyan"}
_TRACE = "TRACTWRIGHT_TRACE"
Result = TypeVar("Result")

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="A billet inlet manifold, looked ahead. Exit codes: 0 whole, 1 a stop, 2 a bad sheet, scan or solid, "
    f"3 a contradiction, 4 our own failure ({_TRACE}=1 shows where).",
)
JobPlace = Annotated[Path, typer.Argument(help="The job's folder, or its job.toml.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]


@app.command()
def new(folder: Annotated[Path, typer.Argument(help="A folder to make.")]) -> None:
    """Write a commented sheet to fill in."""
    from tractwright.job.new import write_new

    Console().print(f"Wrote {write_new(folder)}. Fill it in, then: tractwright run {folder}", soft_wrap=True)


@app.command()
def run(job: JobPlace, as_json: AsJson = False) -> None:
    """Do the whole job and leave its packet beside the sheet."""
    from tractwright.pipeline import run_job

    console = Console(stderr=as_json)
    watch, contents = _watched(console, lambda watch: run_job(job, watch))
    if as_json:
        print((contents.folder / "summary.json").read_text(encoding="utf-8"), end="")
    else:
        _report(contents, console)
        _ended(console, f"{contents.outcome}: {contents.folder}", watch)
    raise typer.Exit(_EXIT[contents.outcome])


@app.command()
def check(job: JobPlace, as_json: AsJson = False) -> None:
    """Ask what the description alone can answer: air's wishes, fit, screws, seals, walls. Writes nothing."""
    from tractwright.packet.summary import summary
    from tractwright.pipeline import check_job

    console = Console(stderr=as_json)
    watch, contents = _watched(console, lambda watch: check_job(job, watch))
    if as_json:
        _print_json(summary(contents, []))
    else:
        _report(contents, console)
        _ended(console, f"{contents.outcome} so far, by the description alone", watch)
    raise typer.Exit(_EXIT[contents.outcome])


@app.command()
def air(job: JobPlace, as_json: AsJson = False) -> None:
    """Say what the air wants and how the described manifold breathes; charts and tables go to packet/air/."""
    from tractwright.packet.stage import write_files
    from tractwright.packet.stages import air_files, air_record
    from tractwright.pipeline import air_job

    console = Console(stderr=as_json)
    watch, contents = _watched(console, lambda watch: air_job(job, watch))
    breathing = contents.case.breathing
    if breathing is not None:
        write_files(contents.folder, air_files(contents, breathing))
    if as_json:
        _print_json(air_record(contents, breathing))
        return
    for why in contents.case.wanted.why:
        console.print(f"- {escape(why)}")
    if breathing is None:
        _ended(console, "no engine in the sheet: how it breathes is not known", watch)
        return
    from tractwright.packet.tables import (
        BREATHING_COLUMNS,
        QUESTION_COLUMNS,
        RULE_OF_THUMB_COLUMNS,
        breathing_rows,
        question_rows,
        rule_of_thumb_rows,
    )

    console.print(_table(BREATHING_COLUMNS, breathing_rows(breathing)))
    console.print(_table(QUESTION_COLUMNS, question_rows(breathing)))
    console.print(_table(RULE_OF_THUMB_COLUMNS, rule_of_thumb_rows(breathing)))
    console.print(f"- cylinders differ by {breathing.cylinder_spread:.1%} of the mean filling at the worst speed")
    for note in breathing.notes:
        console.print(f"- {escape(note)}")
    _ended(console, f"charts and tables: {contents.folder / 'air'}", watch)


@app.command()
def scan(job: JobPlace, as_json: AsJson = False) -> None:
    """Say where ports and holes are and how well that is known; tables, a picture, a draft of the sheet go to packet/scan/."""
    from tractwright.design.seated import on_head
    from tractwright.packet.stage import write_files
    from tractwright.packet.stages import scan_files, scan_record
    from tractwright.packet.tables import MEASURED_COLUMNS, PATTERN_COLUMNS, measured_rows, pattern_rows
    from tractwright.pipeline import read_job

    console = Console(stderr=as_json)
    watch, start = _watched(console, lambda watch: read_job(job, watch))
    pattern = on_head(start.pattern)
    write_files(start.folder / "packet", scan_files(pattern, start.room))
    if as_json:
        _print_json(scan_record(start.sheet.job.name, pattern))
        return
    console.print(_table(PATTERN_COLUMNS, pattern_rows(pattern)))
    doubtful = [item for item in start.pattern.measurements if item.sure < 0.5 or item.other_source is not None]
    if doubtful:
        console.print(_table(MEASURED_COLUMNS, measured_rows(doubtful)))
    for note in start.pattern.notes:
        console.print(f"- {escape(note)}", soft_wrap=True)
    if start.pattern.measurements:
        least = min(start.pattern.measurements, key=lambda item: item.sure)
        count = len(start.pattern.measurements)
        words = f"{count} figures in measurements.csv; least sure: {least.what}, {least.sure:.2f} of 1"
        console.print(escape(words), soft_wrap=True)
    _ended(console, f"tables, picture, draft of the sheet: {start.folder / 'packet' / 'scan'}", watch)


@app.command()
def measure(
    solid: Annotated[Path, typer.Argument(help="A STEP file with at least one solid.")],
    alloy: Annotated[str, typer.Option(help="What it is made of, for its mass.")] = "6061-T651",
    as_json: AsJson = False,
) -> None:
    """Measure a solid drawn elsewhere: joint faces, holes, passages, walls, radii, reach; judge what it alone answers."""
    from tractwright.packet.measured import measured_record
    from tractwright.pipeline import measure_file

    console = Console(stderr=as_json)
    watch, measured = _watched(console, lambda watch: measure_file(solid, alloy, watch))
    if as_json:
        _print_json(measured_record(measured))
    else:
        _report_solids(measured, console)
        _ended(console, f"{measured.outcome}: by the geometry alone", watch)
    raise typer.Exit(_EXIT[measured.outcome])


def _report_solids(measured: "MeasuredFile", console: Console) -> None:
    """Each solid in a few tables, then what was found; unknown rules counted by what is missing."""
    from tractwright.packet.measured import FACE_COLUMNS, PASSAGE_COLUMNS, face_rows, hollow_words, passage_rows

    for note in measured.read.notes:
        console.print(f"[yellow]note[/]: {escape(note)}", soft_wrap=True)
    for item in measured.solids:
        solid, facts = item.facts.solid, item.facts
        block = " x ".join(f"{side:.0f}" for side in facts.stock.size_mm) if facts.stock else "not known"
        console.print(
            f"[bold]{solid.name}[/]: {item.mass_kg:.2f} kg in {item.alloy}, cut from {block} mm", soft_wrap=True
        )
        for note in solid.notes:
            console.print(f"[yellow]note[/]: {escape(note)}", soft_wrap=True)
        console.print(_table(FACE_COLUMNS, face_rows(item)))
        if solid.passages:
            console.print(_table(PASSAGE_COLUMNS, passage_rows(item)))
        for words in hollow_words(item):
            console.print(words, soft_wrap=True)
        walls = ", ".join(
            f"{w.thickness_mm:.2f} at ({', '.join(f'{v:.0f}' for v in w.at_mm)})" for w in facts.walls[:5]
        )
        console.print(f"thinnest walls: {walls or 'none found'}", soft_wrap=True)
        radii = ", ".join(f"{radius.radius_mm:g} ({radius.faces})" for radius in facts.radii[:8])
        sharp = f"; {len(facts.sharp_mm)} edges without any" if facts.sharp_mm else ""
        console.print(f"inner radii (faces): {radii or 'none'}{sharp}", soft_wrap=True)
        _report_findings([finding for finding in item.findings if finding.verdict in ("stop", "look")], console)
        missing = dict.fromkeys(finding.message for finding in item.findings if finding.verdict == "unknown")
        for words in missing:
            count = sum(finding.message == words for finding in item.findings)
            console.print(f"[cyan]unknown[/] {count} rules. {escape(words)}", soft_wrap=True)


@app.command()
def page(
    job: Annotated[Path, typer.Argument(help="The job's folder; a new one gets a sheet to fill in.")],
    port: Annotated[int, typer.Option(help="Port of this machine to serve at; 0 is any free one.")] = 0,
) -> None:
    """Open the job as a page in the browser of this machine: change anything, see everything that follows."""
    from tractwright.page.serve import serve

    console = Console()
    folder = job.parent if job.name == "job.toml" else job
    serve(folder, port, lambda link: console.print(f"Open on this machine: {link}\nCtrl+C ends it.", soft_wrap=True))


def _watched(console: Console, work: "Callable[[Watch], Result]") -> "tuple[Watch, Result]":
    """Do the work with the stage's name and the time shown; on a screen each stage that took long leaves a line."""
    from tractwright.watch import Watch

    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True) as progress:
        bar = progress.add_task("reading the sheet", total=None)

        def tell(name: str) -> None:
            if name:
                progress.update(bar, description=name)
            elif console.is_terminal and watch.stages[-1][1] >= 1.0:
                progress.console.print(f"[dim]{watch.stages[-1][1]:7.1f} s  {watch.stages[-1][0]}[/]")

        watch = Watch(tell)
        return watch, work(watch)


def _report(contents: "Contents", console: Console) -> None:
    """Every finding that is not ok, in the order in which they bite; what is the same of several subjects once."""
    from tractwright.packet.paper.words import in_words

    _report_findings(contents.findings, console)
    for change in contents.changes:
        console.print(f"[dim]put right[/]: {escape(in_words(change.path))}: {escape(change.what)}")
    for item in contents.contradictions:
        demands = "; ".join(in_words(demand) for demand in item.demands)
        console.print(f"[red]contradiction[/]: {escape(demands)}. {escape(item.best_found)}")


def _report_findings(findings: "Sequence[Finding]", console: Console) -> None:
    from tractwright.packet.paper.words import reading_words, subjects_words, told_once

    for group in told_once(finding for finding in findings if finding.verdict in _PAINT):
        worst = group[0]
        figures = ("worst " if len(group) > 1 else "") + ", ".join(reading_words(worst))
        heading = f"{worst.bites_at}: {subjects_words(group)}: {figures}"
        verdict = f"[{_PAINT[worst.verdict]}]{worst.verdict:<8}[/]"
        cure = f" Proposed: {worst.fix.what}." if worst.fix else ""
        console.print(f"{verdict}[bold]{escape(heading)}[/]", soft_wrap=True)
        console.print(Padding(escape(worst.message + cure), (0, 0, 0, 8)))


def _ended(console: Console, words: str, watch: "Watch") -> None:
    seconds = sum(spent for _, spent in watch.stages)
    compiling = f", compiling {watch.compile_seconds:.1f} s" if watch.compile_seconds >= 0.05 else ""
    console.print(f"{escape(words)}  ({seconds:.1f} s{compiling})", soft_wrap=True)


def _table(columns: tuple[str, ...], rows: list[tuple[object, ...]]) -> Table:
    table = Table(*(column.replace("_", " ") for column in columns), box=None, header_style="bold")
    for row in rows:
        table.add_row(*(f"{value:.4g}" if isinstance(value, float) else escape(str(value)) for value in row))
    return table


def _print_json(record: Mapping[str, Any]) -> None:
    print(json.dumps(record, indent=1, allow_nan=False))


def main() -> None:
    """The program. Whatever goes wrong becomes one clear message and an exit code."""
    try:
        app()
    except (SheetError, ScanError, SolidError) as fault:
        _fail(fault, str(fault), _BAD_SHEET)
    except TractwrightError as fault:
        _fail(fault, f"could not be finished: {fault}", _OUR_FAILURE)
    except Exception as fault:
        words = " ".join(str(fault).split())[:300]
        _fail(fault, f"our own failure: {type(fault).__name__}: {words} ({_TRACE}=1 shows where)", _OUR_FAILURE)


def _fail(fault: Exception, words: str, code: int) -> None:
    if os.environ.get(_TRACE):
        traceback.print_exception(fault)
    print(words, file=sys.stderr)
    sys.exit(code)
