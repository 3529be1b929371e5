"""The newest question wins; a killed process is started again; what goes wrong comes back in words."""

import queue
import time

import pytest

from tractwright.page.worker import Worker


def answer(question, tell):
    """Sleeps, fails or answers, as the question says."""
    kind, value = question
    tell(f"{kind} {value}")
    if kind == "sleep":
        time.sleep(value)
    if kind == "fail":
        raise ValueError(f"no {value}")
    return value


@pytest.fixture
def asked():
    heard = queue.Queue()
    worker = Worker(answer, heard.put)
    yield worker, heard
    worker.close()


def next_of(heard, kind):
    while True:
        found = heard.get(timeout=30)
        if found.kind == kind:
            return found


def test_an_answer_with_its_stages(asked):
    worker, heard = asked
    number = worker.ask(("say", 7))
    assert (heard.get(timeout=30).content, next_of(heard, "answer").content) == ("say 7", 7)
    assert number == 1


def test_what_waits_is_dropped_for_what_is_newer(asked):
    worker, heard = asked
    worker.ask(("sleep", 1.0))
    next_of(heard, "stage")
    worker.ask(("say", 1))
    newest = worker.ask(("say", 2))
    assert next_of(heard, "answer").content == 1.0
    found = next_of(heard, "answer")
    assert (found.of, found.content) == (newest, 2)


def test_cancelling_kills_and_the_next_question_starts_afresh(asked):
    worker, heard = asked
    worker.ask(("sleep", 60.0))
    next_of(heard, "stage")
    worker.cancel()
    assert "cancelled" in next_of(heard, "failure").content
    worker.ask(("say", 3))
    assert next_of(heard, "answer").content == 3


def test_a_fault_of_ours_comes_back_in_words(asked, capfd):
    worker, heard = asked
    worker.ask(("fail", "metal"))
    assert next_of(heard, "failure").content == "our own failure: ValueError: no metal"
    worker.ask(("say", 4))
    assert next_of(heard, "answer").content == 4
