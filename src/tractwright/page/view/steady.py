"""A place on the page that is drawn anew only when what it shows has changed."""

from collections.abc import Callable
from typing import Any


class Steady:
    """A button that is replaced between the press and the release of a mouse does nothing: while stages report, the page is
    told of news several times a second, most of them about something else.
    """

    def __init__(self, place: Any) -> None:
        """Take a place: an element that holds nothing else."""
        self._place = place
        self._shown: tuple[object, ...] | None = None

    def show(self, what: tuple[object, ...], draw: Callable[[], None]) -> None:
        """Draw it, if that is something else than last time. what : all that the drawing depends on."""
        if what == self._shown:
            return
        self._shown = what
        self._place.clear()
        with self._place:
            draw()
