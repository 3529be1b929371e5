"""Random inline jobs through the whole of the tool: what is feasible must be accepted, what is impossible refused.

python benchmarks/jobs.py [--seed N] [--count N] [--solids N]
A refused job is asked again without each demand that its refusal names. Resumable: each job's result is kept under
benchmarks/results/jobs/, by a hash of the source. The last line is one JSON object.
"""

import argparse
import json
import tempfile
import time
import traceback
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
import tomlkit

from random_jobs import RandomJob, free, impossible, open_sheet, with_room
from tractwright.air.stage import wanted
from tractwright.cache import source_hash
from tractwright.check.case import Case
from tractwright.check.finding import Finding
from tractwright.check.measures import plenum_points
from tractwright.check.stage import contradictions, description_case, look_ahead, put_right
from tractwright.design.file import Held
from tractwright.design.outside import plate_points
from tractwright.errors import TractwrightError
from tractwright.job.read import read_sheet
from tractwright.route.records import JobFacts
from tractwright.scan.stage import pattern_and_room
from tractwright.shape.stage import build

RESULTS = Path(__file__).parent / "results"
CLASSES = ("feasible", "impossible", "free", "feasible")
GROWN_MM = (1.0, 15.0)
Maker = Callable[[int], RandomJob]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResult:
    """What became of one job.

    named : demands of each contradiction; not_freed : those that, given up (one of each other contradiction with them), do
    not free the job; nearest : the words of the contradictions. unsound : pieces called done that are not one valid closed
    solid.
    """

    name: str
    made_as: str
    planted: tuple[str, ...]
    accepted: bool
    stops: tuple[str, ...]
    looks: int
    named: tuple[tuple[str, ...], ...]
    not_freed: tuple[str, ...]
    nearest: tuple[str, ...]
    traceback: str
    seconds: float
    solids: int
    exact: int
    unsound: int
    blends_wanted: int
    blends_made: int


def main() -> None:
    """Random inline jobs."""
    bench("jobs", {"feasible": feasible, "impossible": impossible, "free": free})


def bench(name: str, makers: Mapping[str, Maker]) -> None:
    """Run what is not yet kept of jobs that makers make, by class, then sum up. name : of the folder with the results."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--solids", type=int, default=14, help="of how many jobs the solids are built")
    options = parser.parse_args()
    kept = RESULTS / name / source_hash()
    kept.mkdir(parents=True, exist_ok=True)
    results: list[JobResult] = []
    for k in range(options.count):
        seed = options.seed + k
        path = kept / f"{seed}-{'solids' if k < options.solids else 'description'}.json"
        if not path.exists():
            path.write_text(json.dumps(asdict(run(seed, makers, solids=k < options.solids))))
        results.append(JobResult(**json.loads(path.read_text())))
        print(_line(results[-1]), flush=True)
    print(json.dumps(figures(results)))


def run(seed: int, makers: Mapping[str, Maker], *, solids: bool) -> JobResult:
    """One job of its class."""
    start = time.perf_counter()
    made_as = CLASSES[seed % len(CLASSES)]
    trace, case, pieces = "", None, ()
    planted: tuple[str, ...] = ()
    not_freed: tuple[str, ...] = ()
    try:
        job = makers[made_as](seed)
        planted = job.planted
        case = described(job.sheet)
        not_freed = _not_freed(job.sheet, [list(c.demands) for c in contradictions(case)])
        pieces = build(case.design) if solids and case.described.feasible else ()
    except Exception:
        trace = traceback.format_exc(limit=-4)
    findings = look_ahead(case) if case else ()
    contradicting = contradictions(case) if case else ()
    stops = _stops(findings)
    sound = [p.solid is not None and p.valid and p.watertight and p.solids == 1 for p in pieces]
    return JobResult(
        name=f"{made_as}-{seed}",
        made_as=made_as,
        planted=planted,
        accepted=case is not None and case.described.feasible and not stops,
        stops=stops,
        looks=sum(f.verdict == "look" for f in findings),
        named=tuple(c.demands for c in contradicting),
        not_freed=not_freed,
        nearest=tuple(c.best_found for c in contradicting),
        traceback=trace,
        seconds=time.perf_counter() - start,
        solids=len(pieces),
        exact=sum(p.solid is not None for p in pieces),
        unsound=sum(p.solid is not None and not ok for p, ok in zip(pieces, sound, strict=True)),
        blends_wanted=sum(p.blends_wanted for p in pieces),
        blends_made=sum(p.blends_made for p in pieces),
    )


def _stops(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(f"{f.rule} {f.subject} {f.measured:.4g} of {f.limit:.4g}" for f in findings if f.verdict == "stop")


def _not_freed(text: str, groups: list[list[str]]) -> tuple[str, ...]:
    """Demands that, given up together with the first of every other contradiction, do not free the job."""
    failed: list[str] = []
    for k, group in enumerate(groups):
        others = [other[0] for other in groups[:k] + groups[k + 1 :]]
        for key in group:
            case = described(without(text, [*others, key]))
            if not case.described.feasible or _stops(look_ahead(case)):
                failed.append(key)
    return tuple(failed)


def without(text: str, keys: list[str]) -> str:
    """A sheet without some of its keys, 'runner.length' or 'room.plane.bonnet'."""
    sheet = tomlkit.parse(text).unwrap()
    for key in keys:
        table, kind, *name = key.split(".", 2)
        if name:
            sheet[table][kind] = [item for item in sheet[table][kind] if item["name"] != name[0]]
        else:
            del sheet[table][kind]
    return tomlkit.dumps(sheet)


def described(text: str) -> Case:
    """A sheet taken as far as its description. Raises TractwrightError."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "job.toml").write_text(text)
        sheet = read_sheet(Path(folder))
        pattern, room = pattern_and_room(sheet, Path(folder))
    aim = wanted(sheet, pattern)
    settled = put_right(JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=aim, held=Held()))
    return description_case(sheet, pattern, room, aim, settled.described)


def feasible(seed: int) -> RandomJob:
    """A job whose room is grown round a known manifold: the one found with all the room there is."""
    return grown_round(seed, open_sheet(seed))


def grown_round(seed: int, sheet: dict[str, Any]) -> RandomJob:
    """The job of a sheet whose room is grown round the manifold that it has with all the room there is."""
    rng = np.random.default_rng((seed, 4))
    known = described(tomlkit.dumps(sheet))
    if not known.described.feasible:
        raise TractwrightError(f"no manifold even in the open: {known.described.shortfalls}")
    bodies = [model.outer_mm.reshape(-1, 3) for model in known.tubes.values()]
    bodies += [plenum_points(known, plenum) for plenum in known.design.plena]
    points = np.concatenate(bodies + [plate_points(flange) for flange in known.design.flanges])
    rim = max(float(np.abs(np.array(f.contour)[:, 1]).max()) for f in known.design.flanges if f.name == "floor")
    box = known.design.plena[0]
    spare = max(0.0, rim - box.height_mm / 2 - box.wall_mm)
    low, high = points.min(axis=0) - spare, points.max(axis=0) + spare
    grow = known.sheet.room.clearance_mm + rng.uniform(*GROWN_MM, size=3)
    planes = [
        ("bonnet", (0.0, -1.0, 0.0), -float(high[1] + grow[0])),
        ("floor", (0.0, 1.0, 0.0), float(low[1] - grow[1])),
        ("radiator", (0.0, 0.0, -1.0), -float(high[2] + grow[2])),
    ]
    if "bank" in sheet:
        planes.append(("left wing", (0.0, 0.0, 1.0), float(low[2] - grow[2])))
    sheet["runner"] = {**sheet["runner"], "length": f"{np.mean([r.length_mm for r in known.design.runners]):.2f} mm"}
    return RandomJob(
        name=f"feasible-{seed}", made_as="feasible", sheet=tomlkit.dumps(with_room(sheet, planes)), planted=()
    )


Figures = dict[str, dict[str, object]]
"""What was measured by name: value, bar, whether it holds, of how many."""


def figures(results: list[JobResult]) -> Figures:
    """The figures with their bars."""
    sound = [r for r in results if r.accepted]
    most_looks = max((r.looks for r in sound), default=0)
    return {
        "tracebacks": _none(sum(bool(r.traceback) for r in results), of=len(results)),
        **_figures_of_outcomes({name: [r for r in results if r.made_as == name] for name in CLASSES}),
        **_figures_of_demands(results),
        **_figures_of_solids(results),
        "most looks of an accepted job": _figure(most_looks, "<= 8", holds=most_looks <= 8, count=len(sound)),
    }


def _figure(value: float, bar: str, *, holds: bool, count: int) -> dict[str, object]:
    return {"value": value, "bar": bar, "holds": holds, "count": count}


def _none(value: int, *, of: int) -> dict[str, object]:
    """A figure that must be nought."""
    return _figure(value, "0", holds=value == 0, count=of)


def _figures_of_outcomes(groups: dict[str, list[JobResult]]) -> Figures:
    """What was accepted and refused of each class."""
    refused = {name: [r for r in group if not r.accepted] for name, group in groups.items()}
    impossible, share = groups["impossible"], len(refused["free"]) / max(1, len(groups["free"]))
    wrong = [r for r in refused["impossible"] if not (_said(r) and _said(r) <= set(r.planted))]
    unexplained = [r for r in refused["free"] if r.not_freed or not _said(r)]
    return {
        "feasible refused": _none(len(refused["feasible"]), of=len(groups["feasible"])),
        "impossible accepted": _none(len(impossible) - len(refused["impossible"]), of=len(impossible)),
        "impossible, demands not a true subset": _none(len(wrong), of=len(impossible)),
        "free refused, share": _figure(share, "<= 0.10", holds=share <= 0.10, count=len(groups["free"])),
        "free refused without a true contradiction": _none(len(unexplained), of=len(refused["free"])),
    }


def _figures_of_demands(results: list[JobResult]) -> Figures:
    """Whether what refusals name frees their jobs."""
    named, not_freed = sum(len(_said(r)) for r in results), sum(len(r.not_freed) for r in results)
    return {"named demands that, given up, do not free the job": _none(not_freed, of=named)}


def _figures_of_solids(results: list[JobResult]) -> Figures:
    """Whether solids are sound, exact and blended."""
    pieces, exact = sum(r.solids for r in results), sum(r.exact for r in results)
    wanted, made = sum(r.blends_wanted for r in results), sum(r.blends_made for r in results)
    return {
        "unsound solids called done": _none(sum(r.unsound for r in results), of=pieces),
        "exact pieces, share": _figure(exact / max(1, pieces), ">= 0.99", holds=exact >= 0.99 * pieces, count=pieces),
        "blends made, share": _figure(made / max(1, wanted), ">= 0.98", holds=made >= 0.98 * wanted, count=wanted),
    }


def _said(result: JobResult) -> set[str]:
    """Every demand that a job's contradictions name."""
    return {key for demands in result.named for key in demands}


def _line(result: JobResult) -> str:
    end = "accepted" if result.accepted else f"refused {result.named or result.stops[:2]}"
    end += f" NOT FREED BY {result.not_freed}" if result.not_freed else ""
    note = result.traceback.strip().splitlines()[-1] if result.traceback else ""
    return (
        f"{result.name}: {end} looks {result.looks} exact {result.exact}/{result.solids} {result.seconds:.0f} s {note}"
    )


if __name__ == "__main__":
    main()
