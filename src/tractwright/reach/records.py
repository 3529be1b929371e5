"""What is found of a cutter's way into a passage."""

from dataclasses import dataclass
from typing import Literal

INSET_MM = 0.5
"""The first and the last station stand so far inside the passage's ends."""
PassageVerdict = Literal["one piece", "needs tilt", "must split", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PassageReach:
    """How far cutters reach into a runner's passage in one piece.

    stations_mm and the two stick-outs (needed from either end by the best cutter there; inf where nothing reaches).
    meeting_line_mm : station where the two cuts meet best; split_at_mm : where to split if it must be, left_if_split_mm :
    what both halves then leave uncut. ledge_mm : step expected at the meeting line.
    """

    piece: str
    runner: str
    verdict: PassageVerdict
    stations_mm: tuple[float, ...]
    stickout_from_port_mm: tuple[float, ...]
    stickout_from_mouth_mm: tuple[float, ...]
    meeting_line_mm: float | None
    split_at_mm: float | None
    reach_from_port_end_mm: float
    reach_from_mouth_end_mm: float
    ledge_mm: float | None
    cutter: str
    stickout_over_neck: float | None
    stickout_over_head: float | None
    left_if_split_mm: float | None = None

    @property
    def stickout_mm(self) -> float:
        """How far the cutter stands out at the meeting line [mm]; 0 where there is none."""
        if self.meeting_line_mm is None:
            return 0.0
        at = self.stations_mm.index(min(self.stations_mm, key=lambda s: abs(s - (self.meeting_line_mm or 0.0))))
        return max(self.stickout_from_port_mm[at], self.stickout_from_mouth_mm[at])

    @property
    def left_mm(self) -> float:
        """What no cutter reaches between the reaches from both ends [mm]; 0 where they meet."""
        if self.verdict != "must split" or not self.stations_mm:
            return 0.0
        whole = self.stations_mm[-1] - self.stations_mm[0] + 2.0 * INSET_MM
        return max(INSET_MM, whole - self.reach_from_port_end_mm - self.reach_from_mouth_end_mm)
