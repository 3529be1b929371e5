"""Work in child processes: the solid kernel hangs or falls over at times, and two pieces can be made at once.

A child is started afresh, so it works the same on every system. Its limit is processor time where the system can set one,
generous on purpose: it ends a hang and decides no result.
"""

import importlib
import multiprocessing
import pickle
import sys
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, Generic, TypeVar

from tractwright.errors import KernelError

Result = TypeVar("Result")


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Work(Generic[Result]):
    """A picklable function of a module with its arguments, and what to call it in an error."""

    function: Callable[..., Result]
    arguments: tuple[object, ...]
    step: str


@dataclass(frozen=True, slots=True)
class _Fault:
    """A KernelError on its way between processes; or, with a trace, an error of ours that must not be swallowed."""

    step: str
    reason: str
    trace: str = ""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Running:
    place: int
    process: BaseProcess
    answer: Connection


def in_children(works: Sequence[Work[Result]], at_once: int, limit_seconds: float) -> list[Result | KernelError]:
    """Each work's result, in order; a KernelError in its place where it raised one, fell over or hit the limit.

    limit_seconds : processor time of one child where the system can limit it, else time on the clock. An error other
    than a KernelError is our own failure: it is raised here as a RuntimeError with the child's trace.
    """
    context = multiprocessing.get_context("spawn")
    results: dict[int, Result | KernelError] = {}
    waiting = list(enumerate(works))
    running: list[_Running] = []
    while waiting or running:
        while waiting and len(running) < at_once:
            place, work = waiting.pop(0)
            answer, question = context.Pipe(duplex=False)
            process = context.Process(target=_child, args=(question, pickle.dumps(work), limit_seconds), daemon=True)
            process.start()
            question.close()
            running.append(_Running(place=place, process=process, answer=answer))
        ready = wait([item.answer for item in running], timeout=limit_seconds * 4)
        for item in [one for one in running if one.answer in ready or not ready]:
            results[item.place] = _collected(item, works[item.place].step, bool(ready))
            running.remove(item)
    return [results[place] for place in range(len(works))]


def _collected(item: _Running, step: str, answered: bool) -> Any:
    """The child's result or its KernelError, and the child gone."""
    if not answered:
        item.process.kill()
    try:
        result = pickle.loads(item.answer.recv_bytes()) if answered else _Fault(step, "no answer in time")
    except EOFError:
        result = _Fault(step, "the process ended without an answer: it fell over or used up its time")
    item.process.join()
    item.answer.close()
    if not isinstance(result, _Fault):
        return result
    if result.trace:
        raise RuntimeError(f"{result.step} in a child process:\n{result.trace}")
    return KernelError(result.step, result.reason)


def _child(question: Connection, packed: bytes, limit_seconds: float) -> None:
    _limit_processor_time(limit_seconds)
    work: Work[Any] = pickle.loads(packed)
    try:
        result: Any = work.function(*work.arguments)
    except KernelError as fault:
        result = _Fault(fault.step, fault.reason)
    except Exception as fault:
        result = _Fault(work.step, str(fault), traceback.format_exc())
    question.send_bytes(pickle.dumps(result, protocol=5))
    question.close()


def _limit_processor_time(seconds: float) -> None:
    """Where the system has no such limit, the clock in the parent is the only one."""
    if sys.platform != "win32":
        resource = importlib.import_module("resource")
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 5))
