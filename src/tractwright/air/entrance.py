"""How the air comes into a runner at its mouth: out of a plenum, or through a throttle body of its own, with its trumpet."""

from dataclasses import dataclass

from tractwright.air.losses import UNFLANGED_END, entry_loss, mouth_extension, plate_share, throat_of_loss, with_plate
from tractwright.design.body_row import BodyRow
from tractwright.job.piece_tables import ThrottleFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class OnMouth:
    """A throttle body on a mouth, as wide as it [m]: its length, that of its trumpet's straight pipe, its bell's radius."""

    body: float
    trumpet: float
    bell: float

    @property
    def length(self) -> float:
        """From the runner's mouth to the trumpet's [m]."""
        return self.body + self.trumpet + self.bell


@dataclass(frozen=True, slots=True, kw_only=True)
class Entrance:
    """What a runner's pipe begins with: `before` [m] more of the mouth's area than the runner has, the end correction in it;
    throats of the losses of flow into it and out of it.
    """

    before: float
    entry_share: float
    exit_share: float


def out_of_plenum(bore: float, lip: float) -> Entrance:
    """Through a mouth flush in a plenum's floor, rounded by a lip [m]."""
    share = throat_of_loss(entry_loss(lip / bore))
    return Entrance(before=mouth_extension(bore, lip), entry_share=share, exit_share=1.0)


def through_body(bore: float, on_mouth: OnMouth, open_deg: float) -> Entrance:
    """Through a trumpet whose end stands free, and a throttle body. The plate's loss is taken together with the entry's; the
    entry's is that of a mouth flush in a wall, for want of a table of free ones.
    """
    entry = throat_of_loss(entry_loss(on_mouth.bell / bore))
    return Entrance(
        before=mouth_extension(bore, on_mouth.bell, UNFLANGED_END) + on_mouth.length,
        entry_share=with_plate(entry, open_deg),
        exit_share=plate_share(open_deg),
    )


def body_wanted(facts: ThrottleFacts, bore_mm: float) -> OnMouth | None:
    """The body on each mouth as the sheet has it; None where the throttle is on a plenum."""
    if not facts.on_mouths:
        return None
    body = facts.body_long_mm(bore_mm)
    return OnMouth(body=body * 1e-3, trumpet=facts.trumpet_mm * 1e-3, bell=facts.bell_mm * 1e-3)


def body_drawn(row: BodyRow) -> OnMouth:
    """The body on each mouth of a row."""
    return OnMouth(body=row.body_mm * 1e-3, trumpet=row.trumpet_mm * 1e-3, bell=row.bell_mm * 1e-3)
