"""Everything that a packet is written from."""

from dataclasses import dataclass
from pathlib import Path

from tractwright.check.case import Case
from tractwright.check.finding import Finding
from tractwright.check.stage import Change, Contradiction
from tractwright.job.assume import Assumed


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Contents:
    """A whole job. folder : where the packet goes; inputs_sha256 : hash of the sheet, the scans and the held numbers."""

    folder: Path
    inputs_sha256: str
    case: Case
    assumed: tuple[Assumed, ...]
    findings: tuple[Finding, ...]
    changes: tuple[Change, ...]
    contradictions: tuple[Contradiction, ...]

    @property
    def outcome(self) -> str:
        """'contradiction', 'stops' or 'whole'."""
        if self.contradictions:
            return "contradiction"
        return "stops" if any(finding.verdict == "stop" for finding in self.findings) else "whole"
