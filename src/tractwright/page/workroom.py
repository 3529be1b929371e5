"""What all tabs of the page share: the desk, the processes that answer, and the newest of every kind of answer."""

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tractwright.air.records import Breathing
from tractwright.check.finding import Finding, Fix
from tractwright.page.desk import Desk
from tractwright.page.looks import Curve, Look, Looker, Question, Whole, breathe, curve_of, make
from tractwright.page.worker import Heard, Worker

_SETTLE_AFTER_S = 0.8
_CANCELLED = ("whole", "air")
"""What is left off without a word: by the user, or because the job has moved on."""


@dataclass(slots=True, kw_only=True)
class Answers:
    """The newest answer of every kind. look : the last one with a design; broken : the last one if it had none; curve : the
    quick model's, at every change; breathing : the whole simulation's, once the hand rests. breathing_of, the others'
    revision : what they answer, older than the desk's where they are stale. latencies_s : from an edit to its look, and
    curves_s to its curve.
    """

    look: Look | None = None
    broken: Look | None = None
    quick: Curve | None = None
    breathing: Breathing | None = None
    breathing_of: int = -1
    whole: Whole | None = None
    doing: dict[str, str] = field(default_factory=dict[str, str])
    trouble: str = ""
    latencies_s: list[float] = field(default_factory=list[float])
    curves_s: list[float] = field(default_factory=list[float])

    @property
    def curve(self) -> Curve | None:
        """The newest torque curve, the whole simulation's where it is as new."""
        whole = self.breathing
        if whole is None or (self.quick is not None and self.quick.revision > self.breathing_of):
            return self.quick
        return Curve(
            revision=self.breathing_of,
            rpm=whole.rpm,
            torque_nm=whole.torque_nm,
            trapped_ve=whole.trapped_ve,
            wanted_rpm=whole.wanted_peak_rpm,
            error=0.0,
        )


class Workroom:
    """One job, open on any number of tabs."""

    def __init__(self, folder: Path, loop: asyncio.AbstractEventLoop) -> None:
        """Open a job folder. Raises SheetError."""
        self.desk = Desk(folder)
        self.answers = Answers()
        self._loop = loop
        self._listeners: list[Callable[[], None]] = []
        self._asked_at: dict[int, float] = {}
        self._settling: asyncio.TimerHandle | None = None
        self._writing = set[str]()
        self._looker = Worker(Looker(), self._from("look"))
        self._quick = Worker(curve_of, self._from("curve"))
        self._breather = Worker(breathe, self._from("air"))
        self._maker = Worker(make, self._from("whole"))

    def listen(self, listener: Callable[[], None]) -> Callable[[], None]:
        """Call back whenever anything is new; gives what ends it."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def changed(self) -> None:
        """After an edit: a look at once, a settled one when the hand rests."""
        self._asked_at[self.desk.revision] = time.perf_counter()
        if self.answers.doing.pop("air", ""):
            self._breather.cancel()  # it is of a job that is no more, and takes both processors
        self._looker.ask(self._question(settle=False))
        if self._settling is not None:
            self._settling.cancel()
        self._settling = self._loop.call_later(_SETTLE_AFTER_S, self._settle)
        self._tell()

    def edit(self, work: Callable[[Desk], None]) -> None:
        """Do an edit on the desk and look at what follows. Raises what the edit raises."""
        self._know_our_own()
        work(self.desk)
        self.changed()

    def put_right(self, finding: Finding) -> None:
        """Take a finding's fix: the number it names is held at the value that puts it right."""
        fix: Fix | None = finding.fix
        if fix is not None:
            self.edit(lambda desk: desk.hold(fix.path, fix.value))

    def make(self) -> None:
        """Do the whole job: exact pieces, reach, price, packet."""
        self.answers.doing["whole"] = "beginning"
        self._writing.add("whole")
        self._maker.ask(self._question(settle=True))
        self._tell()

    def cancel(self) -> None:
        """Leave off making."""
        self._maker.cancel()
        self.answers.doing.pop("whole", None)
        self._tell()

    def look_outside(self) -> None:
        """Take in what was changed outside the page."""
        self._know_our_own()
        if self.desk.look_outside():
            self.changed()

    def close(self) -> None:
        """End every process."""
        for worker in (self._looker, self._quick, self._breather, self._maker):
            worker.close()

    def is_stale(self, revision: int) -> bool:
        """Whether an answer is older than the job."""
        return revision != self.desk.revision

    def _know_our_own(self) -> None:
        """While a process of ours may be writing the description, a change of it is ours, not one made outside the page."""
        if self._writing:
            self.desk.written()

    def _settle(self) -> None:
        self._writing.add("look")
        self._looker.ask(self._question(settle=True))

    def _question(self, *, settle: bool) -> Question:
        look = self.answers.look
        wishes = {change.path: change.after for change in look.changes} if look else {}
        now = self.desk.now
        return Question(
            folder=self.desk.folder, held=now.held, wishes=wishes, revision=self.desk.revision, settle=settle
        )

    def _from(self, kind: str) -> Callable[[Heard], None]:
        def heard(answer: Heard) -> None:
            self._loop.call_soon_threadsafe(self._heard, kind, answer)

        return heard

    def _heard(self, kind: str, heard: Heard) -> None:
        self.answers.doing.pop(kind, None)
        if heard.kind != "stage" and (kind == "whole" or getattr(heard.content, "settled", True)):
            self._writing.discard(kind)
        if heard.kind == "stage":
            self.answers.doing[kind] = str(heard.content)
        elif heard.kind == "failure":
            self.answers.trouble = "" if kind in _CANCELLED and "cancelled" in heard.content else str(heard.content)
        else:
            self.answers.trouble = ""
            self._take(kind, heard.content)
        self._tell()

    def _take(self, kind: str, content: Any) -> None:
        if kind == "air":
            self.answers.breathing_of, self.answers.breathing = content
        elif kind == "curve":
            self._take_curve(content)
        elif isinstance(content, Look):
            self._take_look(content)
        else:
            self.answers.whole = content
            self.desk.written()

    def _take_look(self, look: Look) -> None:
        started = self._asked_at.get(look.revision)
        if started is not None and not look.settled:
            self.answers.latencies_s.append(time.perf_counter() - started)
        if look.design is None or look.facts is None:
            self.answers.broken = look
            return
        self.answers.broken = None
        if look.settled:
            self.desk.written()
        before = self.answers.look
        self.answers.look = look if look.settled or before is None else _as_settled(look, before)
        if look.facts.engine is None or self.answers.breathing_of == look.revision:
            return
        if look.settled:
            self._breather.ask((look.facts, look.design, look.revision))
        else:
            self._quick.ask((look.facts, look.design, look.revision))

    def _take_curve(self, curve: Curve | None) -> None:
        if curve is None:
            return
        self.answers.quick = curve
        started = self._asked_at.get(curve.revision)
        if started is not None:
            self.answers.curves_s.append(time.perf_counter() - started)
        self._asked_at = {revision: at for revision, at in self._asked_at.items() if revision > curve.revision}

    def _tell(self) -> None:
        for listener in list(self._listeners):
            listener()


def _as_settled(look: Look, before: Look) -> Look:
    """A glance does not bring the scanned part along, nor what rules have changed: both stay as they were settled."""
    return replace(look, old_part=before.old_part, changes=before.changes)
