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
    def shape_key(self) -> tuple[object, ...]:
        """What the shapes are known by: the description, and how each piece came out of the building of it."""
        built = tuple((p.name, p.rung, p.fallback, p.volume_mm3, len(p.mesh[1])) for p in self.case.pieces or ())
        return (self.case.design, built)

    @property
    def outcome(self) -> str:
        """'contradiction', 'stops' or 'whole'."""
        if self.contradictions:
            return "contradiction"
        return "stops" if any(finding.verdict == "stop" for finding in self.findings) else "whole"
