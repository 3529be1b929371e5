"""The commands, in plain words. Exit codes: 0 whole, 1 a stop, 2 a bad sheet or scan, 3 a contradiction, 4 our own failure."""

import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table

from tractwright.errors import ScanError, SheetError, TractwrightError
from tractwright.job.new import write_new
from tractwright.packet.contents import Contents
from tractwright.pipeline import run_job
from tractwright.watch import Watch

_EXIT = {"whole": 0, "stops": 1, "contradiction": 3}
_PAINT = {"stop": "red", "look": "yellow", "unknown": "cyan"}

app = typer.Typer(add_completion=False, no_args_is_help=True, help="A billet inlet manifold, looked ahead.")
JobPlace = Annotated[Path, typer.Argument(help="The job's folder, or its job.toml.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the summary as JSON and nothing else.")]


@app.command()
def new(folder: Annotated[Path, typer.Argument(help="A folder to make.")]) -> None:
    """Write a commented sheet to fill in."""
    Console().print(f"Wrote {write_new(folder)}. Fill it in, then: tractwright run {folder}")


@app.command()
def run(job: JobPlace, as_json: AsJson = False) -> None:
    """Do the whole job and leave its packet beside the sheet."""
    console = Console(stderr=as_json)
    watch, contents = _watched(job, console)
    watch.write(contents.folder / "timing.json")
    if as_json:
        print((contents.folder / "summary.json").read_text(encoding="utf-8"))
    else:
        _report(contents, watch, console)
    raise typer.Exit(_EXIT[contents.outcome])


def _watched(job: Path, console: Console) -> tuple[Watch, Contents]:
    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True) as progress:
        bar = progress.add_task("reading", total=None)
        watch = Watch(lambda name: progress.update(bar, description=name or "…"))
        return watch, run_job(job, watch)


def _report(contents: Contents, watch: Watch, console: Console) -> None:
    table = Table("", "bites at", "subject", "what to do", "measured", "limit", box=None, header_style="bold")
    for finding in contents.findings:
        if finding.verdict in _PAINT:
            paint = _PAINT[finding.verdict]
            measured = "?" if finding.measured is None else f"{finding.measured:.3g} {finding.unit}"
            limit = f"{finding.limit:.3g} {finding.unit}"
            verdict = f"[{paint}]{finding.verdict}[/]"
            table.add_row(verdict, finding.bites_at, finding.subject, finding.message, measured, limit)
    if table.row_count:
        console.print(table)
    for item in contents.contradictions:
        console.print(f"[red]contradiction[/]: {', '.join(item.demands)}. {item.best_found}")
    seconds = sum(spent for _, spent in watch.stages)
    console.print(f"{contents.outcome}: {contents.folder}  ({seconds:.1f} s, compiling {watch.compile_seconds:.1f} s)")


def main() -> None:
    """The program. Our errors become one clear message and an exit code."""
    try:
        app()
    except (SheetError, ScanError) as fault:
        print(fault, file=sys.stderr)
        sys.exit(2)
    except TractwrightError as fault:
        print(f"could not be finished: {fault}", file=sys.stderr)
        sys.exit(4)
