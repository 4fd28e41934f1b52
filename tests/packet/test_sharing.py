"""Work shared with a second process gives what one process gives."""

from __future__ import annotations

import os

import pytest

from plandoc.packet import sharing
from plandoc.packet.sharing import shared


def test_results_in_order() -> None:
    tasks = {name: (lambda n=name: n * 2) for name in ("a", "b", "c")}
    assert list(shared(tasks, frozenset({"b"})).items()) == [("a", "aa"), ("b", "bb"), ("c", "cc")]


@pytest.mark.skipif(not sharing._can_fork(), reason="one process here")
def test_the_second_process_does_its_share() -> None:
    own = os.getpid()
    found = shared({"here": os.getpid, "there": os.getpid}, frozenset({"here"}))
    assert found["here"] == own != found["there"]


def test_one_process_where_nothing_can_be_shared(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sharing, "_can_fork", lambda: False)
    assert shared({"here": os.getpid, "there": os.getpid}, frozenset({"here"})) == {"here": os.getpid(), "there": os.getpid()}


def test_a_fault_in_the_second_process_is_raised_here() -> None:
    def fails() -> int:
        raise ValueError("said by the task")

    with pytest.raises(ValueError, match="said by the task"):
        shared({"here": os.getpid, "there": fails}, frozenset({"here"}))


def test_a_fault_here_leaves_no_process() -> None:
    def fails() -> int:
        raise ValueError("said here")

    with pytest.raises(ValueError, match="said here"):
        shared({"here": fails, "there": os.getpid}, frozenset({"here"}))
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)
