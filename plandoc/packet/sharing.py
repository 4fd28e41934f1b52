"""Work shared with a second process where the system can fork; the same work in one process everywhere else.

What the tasks return does not depend on who did them, so neither do the bytes of a packet.
"""

from __future__ import annotations

import os
import pickle
import threading
import warnings
from collections.abc import Callable, Mapping
from typing import TypeVar

T = TypeVar("T")


def shared(tasks: Mapping[str, Callable[[], T]], heavy: frozenset[str]) -> dict[str, T]:
    """Results by name, in the order of the tasks.

    heavy: names of the tasks that this process keeps; the rest goes to the second one. Results must be plain data
    (they are pickled). Whatever goes wrong with the second process, its tasks are done here, so that faults are
    raised as usual.
    """
    away = [name for name in tasks if name not in heavy]
    results: dict[str, T] = {}
    if not away or len(away) == len(tasks) or not _can_fork():
        return {name: task() for name, task in tasks.items()}
    pid, reader = _send(away, tasks)
    try:
        for name in tasks:
            if name in heavy:
                results[name] = tasks[name]()
    finally:
        received: dict[str, T] = _receive(pid, reader)
    if set(received) != set(away):
        received = {name: tasks[name]() for name in away}
    results.update(received)
    return {name: results[name] for name in tasks}


def _can_fork() -> bool:
    return hasattr(os, "fork") and (os.cpu_count() or 1) > 1 and threading.active_count() == 1


def _send(names: list[str], tasks: Mapping[str, Callable[[], T]]) -> tuple[int, int]:
    reader, writer = os.pipe()
    with warnings.catch_warnings():
        # The libraries' idle threads hold no lock of ours.
        warnings.simplefilter("ignore", DeprecationWarning)
        pid = os.fork()
    if pid:
        os.close(writer)
        return pid, reader
    code = 1
    try:
        os.close(reader)
        data = pickle.dumps({name: tasks[name]() for name in names}, protocol=pickle.HIGHEST_PROTOCOL)
        with os.fdopen(writer, "wb") as pipe:
            pipe.write(data)
        code = 0
    finally:
        os._exit(code)


def _receive(pid: int, reader: int) -> dict[str, T]:
    with os.fdopen(reader, "rb") as pipe:
        data = pipe.read()
    _, status = os.waitpid(pid, 0)
    if status != 0:
        return {}
    try:
        found: dict[str, T] = pickle.loads(data)
    except (pickle.UnpicklingError, EOFError):
        return {}
    return found
