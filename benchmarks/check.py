"""How long every rule that the description alone answers takes on a six-runner job, and all of them together.

Sheets drawn by lot, six cylinders each, laid on courses without a search; each is asked several times, the least time
counts, for the machine is shared. Prints a line a job, the slowest rules, and last one JSON object of figures.
`--seed N --count N`.
"""

import argparse
import json
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "made_up"))
from random_sheets import random_job

from tractwright.check.bodies import crowd
from tractwright.check.case import Case
from tractwright.check.edges import edge_of
from tractwright.check.screw_distances import key_way
from tractwright.check.stage import all_rules, description_case, look_ahead

BARS = {"all rules, s, median": 0.1, "all rules, s, most": 0.1}
_RUNNERS = 6
_TIMES = 5


def six_runner_case(seed: int, folder: Path) -> Case:
    """The first job of six runners at or after a seed."""
    while True:
        job = random_job(seed)
        if f"cylinders = {_RUNNERS}\n" in job.text:
            return job.case(folder)
        seed += 1


def seconds_asked(case: Case) -> float:
    """The least processor time of all rules together, nothing kept from the time before [s]."""
    return min(_timed(lambda: look_ahead(case), fresh=True) for _ in range(_TIMES))


def seconds_made(case: Case) -> float:
    """The least processor time of what every rule is asked of: loads, fast models, bodies [s]."""
    given = (case.sheet, case.pattern, case.room, case.wanted, case.described)
    return min(_timed(lambda: description_case(*given)) for _ in range(_TIMES))


def seconds_of_rules(case: Case) -> dict[str, float]:
    """The least processor time of each rule [s]."""
    rules = [rule for rule in all_rules() if rule.needs == "description"]
    return {rule.id: min(_timed(lambda judge=rule.judge: list(judge(case))) for _ in range(_TIMES)) for rule in rules}


def _timed(work: Callable[[], object], fresh: bool = False) -> float:
    for kept in (edge_of, crowd, key_way) if fresh else ():
        kept.cache_clear()
    begin = time.process_time()
    work()
    return time.process_time() - begin


def figures(asked: list[float], made: list[float]) -> dict[str, dict[str, float | bool | int | None]]:
    """The figures with their bars."""
    values = {
        "all rules, s, median": float(np.median(asked)) if asked else 0.0,
        "all rules, s, most": max(asked, default=0.0),
    }
    shown: dict[str, dict[str, float | bool | int | None]] = {
        name: {
            "value": round(value, 4),
            "bar": BARS[name],
            "holds": bool(asked) and value <= BARS[name],
            "count": len(asked),
        }
        for name, value in values.items()
    }
    shown["loads, models, bodies, s, median"] = {
        "value": round(float(np.median(made)), 4) if made else 0.0,
        "bar": None,
        "holds": True,
        "count": len(made),
    }
    return shown


def main() -> None:
    """Run the set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=10)
    options = parser.parse_args()
    asked: list[float] = []
    made: list[float] = []
    by_rule: dict[str, list[float]] = defaultdict(list)
    try:
        with tempfile.TemporaryDirectory() as folder:
            for i in range(options.count):
                case = six_runner_case(1000 * options.seed + 20 * i, Path(folder))
                look_ahead(case)
                asked.append(seconds_asked(case))
                made.append(seconds_made(case))
                for rule, seconds in seconds_of_rules(case).items():
                    by_rule[rule].append(seconds)
                readings = len(look_ahead(case))
                print(f"{case.sheet.job.name:12s} readings {readings:4d} asked {asked[-1]:.4f} s made {made[-1]:.4f} s")
        for rule, spent in sorted(by_rule.items(), key=lambda item: -float(np.median(item[1])))[:12]:
            print(f"  {rule:24s} {1000 * float(np.median(spent)):6.2f} ms")
    finally:
        print(json.dumps(figures(asked, made)))


if __name__ == "__main__":
    main()
