"""Odd sheets that combine keys, described by the tool and some of them built: none may end in a failure of ours.

python benchmarks/odd.py [--seed N] [--count N] [--solids N]
What each ends in and its stops are printed, to be read. The last line is one JSON object.
"""

import argparse
import json
import tempfile
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from odd_sheets import odd_sheet
from tractwright.errors import TractwrightError
from tractwright.pipeline import check_job
from tractwright.shape.stage import build
from tractwright.watch import Watch


@dataclass(frozen=True, slots=True, kw_only=True)
class OddResult:
    """What became of one sheet. ended : 'whole', 'stops', 'contradiction', 'bad sheet' or 'traceback'; told : in words."""

    seed: int
    ended: str
    told: tuple[str, ...]
    looks: int = 0
    pieces: int = 0
    unsound: int = 0


def main() -> None:
    """Odd sheets one by one, then summed up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--solids", type=int, default=0, help="of how many sheets the solids are built")
    options = parser.parse_args()
    results: list[OddResult] = []
    for k in range(options.count):
        results.append(run(options.seed + k, solids=k < options.solids))
        print(f"{results[-1].seed}: {results[-1].ended}", *results[-1].told, sep="\n  ", flush=True)
    print(json.dumps(figures(results)))


def run(seed: int, *, solids: bool) -> OddResult:
    """One sheet."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "job.toml").write_text(odd_sheet(seed), encoding="utf-8")
        try:
            contents = check_job(Path(folder), Watch(lambda _: None))
            pieces = build(contents.case.design) if solids and contents.case.described.feasible else ()
        except TractwrightError as error:
            return OddResult(seed=seed, ended="bad sheet", told=(str(error),))
        except Exception:
            return OddResult(seed=seed, ended="traceback", told=(traceback.format_exc(limit=-4),))
    stops = [f"{f.rule} {f.subject}: {f.message}" for f in contents.findings if f.verdict == "stop"]
    against = [f"{' + '.join(item.demands)}: {item.best_found}" for item in contents.contradictions]
    unsound = [p for p in pieces if p.solid is None or not (p.valid and p.watertight and p.solids == 1)]
    return OddResult(
        seed=seed,
        ended=contents.outcome,
        told=(*against, *stops),
        looks=len({f.rule for f in contents.findings if f.verdict == "look"}),
        pieces=len(pieces),
        unsound=len(unsound),
    )


def figures(results: Sequence[OddResult]) -> dict[str, dict[str, object]]:
    """The figures with their bars."""

    def ended(word: str) -> int:
        return sum(result.ended == word for result in results)

    def none(value: int, count: int) -> dict[str, object]:
        return {"value": value, "bar": "0", "holds": value == 0, "count": count}

    looks = max((result.looks for result in results if result.ended == "whole"), default=0)
    return {
        "tracebacks": none(ended("traceback"), len(results)),
        "sound sheets called bad": none(ended("bad sheet"), len(results)),
        "unsound pieces": none(sum(result.unsound for result in results), sum(result.pieces for result in results)),
        "most looks of a whole job": {"value": looks, "bar": "<= 8", "holds": looks <= 8, "count": ended("whole")},
    }


if __name__ == "__main__":
    main()
