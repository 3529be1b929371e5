"""A process that answers questions beside the page: the newest question wins, an older one that waits is dropped.

It is started afresh with `spawn`, keeps what it has compiled and read between questions, and may be killed at any moment:
the next question starts it again.
"""

import multiprocessing
import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, Literal

Kind = Literal["stage", "answer", "failure"]
Tell = Callable[[str], None]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Heard:
    """What came back. of : number of the question; content : a stage's name, the answer, or what went wrong in words."""

    of: int
    kind: Kind
    content: Any


class Worker:
    """One process for one picklable function of (question, tell)."""

    def __init__(self, function: Callable[[Any, Tell], Any], heard: Callable[[Heard], None]) -> None:
        self._function, self._heard = function, heard
        self._waiting: tuple[int, Any] | None = None
        self._asked = 0
        self._changed = threading.Condition()
        self._closed = False
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        threading.Thread(target=self._serve, daemon=True).start()

    def ask(self, question: Any) -> int:
        """Ask; gives the question's number. What was waiting is dropped; what is being answered goes on."""
        with self._changed:
            self._asked += 1
            self._waiting = (self._asked, question)
            self._changed.notify()
            return self._asked

    def cancel(self) -> None:
        """Drop what waits and kill what runs, with every process it has started."""
        with self._changed:
            self._waiting = None
        _kill(self._process)

    def close(self) -> None:
        """Cancel, and take no more questions."""
        with self._changed:
            self._closed = True
            self._waiting = None
            self._changed.notify()
        _kill(self._process)

    def _serve(self) -> None:
        while True:
            with self._changed:
                while self._waiting is None and not self._closed:
                    self._changed.wait()
                if self._closed:
                    return
                number, question = self._waiting or (0, None)
                self._waiting = None
            self._answer(number, question)

    def _answer(self, number: int, question: Any) -> None:
        try:
            line = self._ready_line()
            line.send(question)
            while True:
                kind, content = line.recv()
                self._heard(Heard(of=number, kind=kind, content=content))
                if kind != "stage":
                    return
        except (EOFError, OSError):
            self._line = None
            self._heard(Heard(of=number, kind="failure", content="cancelled, or the process ended: ask again"))

    def _ready_line(self) -> Connection:
        if self._line is None or self._process is None or not self._process.is_alive():
            context = multiprocessing.get_context("spawn")
            self._line, far_end = context.Pipe()
            self._process = context.Process(target=_child, args=(far_end, self._function), daemon=False)
            self._process.start()
            far_end.close()
        return self._line


def _child(line: Connection, function: Callable[[Any, Tell], Any]) -> None:
    """Answer until the page is gone. A group of its own, so that killing it takes along what it started."""
    if sys.platform != "win32":
        os.setsid()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        try:
            question = line.recv()
        except EOFError:
            return
        try:
            _say(line, "answer", function(question, lambda name: _say(line, "stage", name)))
        except Exception as fault:
            traceback.print_exc()
            _say(line, "failure", f"our own failure: {type(fault).__name__}: {' '.join(str(fault).split())[:300]}")


def _say(line: Connection, kind: Kind, content: Any) -> None:
    """Send to the page; where it is gone there is nothing left to do."""
    try:
        line.send((kind, content))
    except BrokenPipeError:
        sys.exit(0)


def _kill(process: BaseProcess | None) -> None:
    if process is None or process.pid is None or not process.is_alive():
        return
    if sys.platform == "win32":
        process.kill()
    else:
        os.killpg(process.pid, signal.SIGKILL)
    process.join()
