"""Cautions to print, by what the job is."""

from dataclasses import dataclass

from tractwright.standards.tables import Origin, rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution: topic, text to print."""

    topic: str
    text: str
    origin: Origin


def caution_texts(*applying: str) -> tuple[Caution, ...]:
    """The cautions of every job and those that apply to this one: its fuel ('petrol', 'ethanol', 'methanol'), and how it is
    made ('turned work', 'light hold', 'long cutter').
    """
    return tuple(
        Caution(topic=item.text("topic"), text=item.text("text"), origin=item.origin)
        for item in rows("cautions")
        if item.text("applies") in ("always", *applying)
    )
