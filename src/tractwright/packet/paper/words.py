"""Figures with the digits they deserve, and paths of the description in the shop's words."""

import math
import re
from collections.abc import Iterable, Sequence

from tractwright.check.finding import Finding

Rows = list[list[str]]

_MOST_SIGNIFICANT = 7
_YES_OR_NO = {"built", "decided", "drawn", "followed", "listed", "made", "on the list", "placed", "solid", "suited"}
_A_FEW = 3
_COUNTED = {"blends", "dowels", "features", "joints", "pockets", "runners", "screws"}
_JOINT_NAMED = {"screw", "seal", "joint", "dowel"}


def figure(value: float, unit: str = "", significant: int = 3) -> str:
    """A value with so many significant digits, never in powers of ten; shares as per cent."""
    if not math.isfinite(value):
        return "no limit"
    if unit.startswith("share"):
        return f"{value * 100:.{significant - 3}f} %{unit.removeprefix('share')}"
    if unit in _YES_OR_NO:
        return unit if value >= 1.0 else f"not {unit}"
    if unit in _COUNTED:
        return f"{value:.0f} {unit.removesuffix('s') if value == 1.0 else unit}"
    digits = max(0, significant - 1 - math.floor(math.log10(abs(value)))) if value else 0
    text = f"{value:.{min(digits, significant)}f}".replace("-0.000", "0.000")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit}".rstrip()


def tidy(text: str) -> str:
    """Text whose long decimals are cut to four significant digits."""
    return re.sub(r"\d+\.\d{3,}", lambda found: f"{float(found.group()):.4g}", text)


def span(values: list[float], digits: int, unit: str) -> str:
    """One figure where they agree as printed, else least to most."""
    low, high = f"{min(values):.{digits}f}", f"{max(values):.{digits}f}"
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def in_words(subject: str) -> str:
    """A finding's subject as a shop would say it: 'runner.r3+screw.head.s4' is 'runner r3 and head screw s4'."""
    return " and ".join(_one_in_words(part) for part in subject.split("+"))


def _one_in_words(path: str) -> str:
    kind, _, rest = path.partition(".")
    if kind == "sheet":
        table, _, key = rest.rpartition(".")
        return f"the sheet's [{table}] {key}" if table else f"the sheet's [{key}]"
    name, _, last = rest.partition(".")
    if kind in _JOINT_NAMED and last:
        return f"{name} {kind} {last.replace('_', ' ').replace('.', ' ')}"
    if kind in _JOINT_NAMED:
        return f"{name} joint" if kind == "joint" else f"{kind} of the {name} joint"
    if name in ("", kind):
        return " ".join([kind, *last.replace("_", " ").split(".")]).strip()
    return " ".join([kind, name, *last.replace("_", " ").split(".")]).strip()


def reading_words(finding: Finding) -> tuple[str, str]:
    """What was measured, and the limit with its side, as far as a finding shows it; with as many digits as it takes to tell
    them apart.
    """
    if finding.measured is None:
        return "not known", _wanted(finding)
    measured, limit = figure(finding.measured, finding.unit), figure(finding.limit, finding.unit)
    for significant in range(4, _MOST_SIGNIFICANT + 1):
        if measured != limit or finding.margin == 0.0:
            break
        measured = figure(finding.measured, finding.unit, significant)
        limit = figure(finding.limit, finding.unit, significant)
    if finding.unit in _YES_OR_NO:
        return measured, _wanted(finding)
    if finding.margin == 0.0:
        return measured, limit
    above = finding.measured > finding.limit
    return measured, f"{'at least' if (finding.margin > 0) == above else 'at most'} {limit}"


def told_once(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings that say the same of several subjects together, where the first of them stands, the worst of each first."""
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.verdict, finding.rule, finding.message), []).append(finding)
    return [sorted(group, key=lambda finding: finding.margin) for group in groups.values()]


def subjects_words(group: Sequence[Finding]) -> str:
    """The subjects of findings told together, the worst first; screws of one joint drawn together; of many, how many more."""
    kinds = {finding.subject.split(".")[0] for finding in group}
    if len(group) > _A_FEW and kinds == {"screw"} and not any("+" in finding.subject for finding in group):
        return f"screws {numbered(sorted((finding.subject.partition('.')[2] for finding in group), key=_counted))}"
    return listed([in_words(finding.subject) for finding in group])


def _counted(name: str) -> tuple[int, str]:
    """Sorts s2 before s10."""
    return len(name), name


def in_one_line(finding: Finding) -> str:
    """What is wrong and what to do, and by how much: a finding by itself."""
    if finding.verdict == "ok":
        return finding.message
    measured, limit = reading_words(finding)
    return f"{finding.message} ({measured}; {limit})"


def _wanted(finding: Finding) -> str:
    words = figure(finding.limit, finding.unit)
    return f"to be {words}" if finding.unit in _YES_OR_NO else words


def listed(names: list[str], most: int = 6) -> str:
    """Names with commas; of many, the first few and how many more."""
    if len(names) <= most:
        return ", ".join(names)
    return ", ".join(names[: most - 1]) + f" and {len(names) - most + 1} more"


def numbered(names: list[str]) -> str:
    """'head.s1', 'head.s2', 'head.s3' as 'head s1 to s3'; other names one by one."""
    stems = {name.rpartition(".")[0] for name in names}
    if len(stems) != 1 or not next(iter(stems)):
        return ", ".join(names)
    ends = [name.rpartition(".")[2] for name in names]
    numbers = [int(end[1:]) for end in ends if end[1:].isdigit()]
    stem = next(iter(stems)).replace(".", " ")
    if len(numbers) == len(ends) > 2 and numbers == list(range(numbers[0], numbers[0] + len(numbers))):
        return f"{stem} {ends[0]} to {ends[-1]}"
    return f"{stem} {', '.join(ends)}"
