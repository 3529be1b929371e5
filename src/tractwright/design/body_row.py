"""Throttle bodies on the mouths themselves."""

from dataclasses import dataclass

from tractwright.geometry.frames import Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyRow:
    """Throttle bodies side by side, one on each mouth, where no plenum of ours is. bank: the one whose runners end there.
    frame: origin in the face that the bodies bolt to, midway between the mouths; x along the mouths, as their spindles lie;
    z into the bodies. Of every body: body_mm long along its bore, its own flange flange_mm thick, before it a trumpet with
    trumpet_mm of straight pipe and a bell rounded by bell_mm; 0 none.
    """

    name: str
    bank: str
    frame: Frame
    body_mm: float
    flange_mm: float
    trumpet_mm: float
    bell_mm: float

    @property
    def floor_mm(self) -> float:
        """The mouths lie in the joint itself: there is no floor."""
        return 0.0

    @property
    def reach_mm(self) -> float:
        """How far bodies and trumpets stand out of the joint."""
        return self.body_mm + self.trumpet_mm + self.bell_mm
