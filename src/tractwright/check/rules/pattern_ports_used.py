"""Every port has its runner, and one only."""

from collections import Counter
from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a port: how many runners begin at it."""
    used = Counter(port for runner in case.design.runners for port in runner.ports)
    for port in case.design.ports if case.design.runners else ():
        runners = float(used[port.name])
        how = (
            "No runner begins at this port, its cylinder gets no air"
            if runners < 1
            else "Two runners begin at this port"
        )
        yield Reading(
            subject=f"port.{port.name}",
            measured=runners,
            unit="runners",
            at_least=1.0 if runners < 1 else None,
            at_most=None if runners < 1 else 1.0,
            message=f"{how}: give every port one runner.",
        )


RULE = Rule(
    id="pattern.ports_used",
    question="Does one runner begin at every port?",
    limit="one, no more and no less",
    cure="a runner for the port",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
