"""What is worked out of a whole plan once and kept as long as that plan is the one in hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from plandoc.model.entities import Model

T = TypeVar("T")


def of_last_model(work: Callable[[Model], T]) -> Callable[[Model], T]:
    """The function with what it returned for the last model; models are frozen, so the very same one has the same result."""
    last: list[tuple[Model, T]] = []

    @wraps(work)
    def kept(model: Model) -> T:
        if not last or last[0][0] is not model:
            last[:] = [(model, work(model))]
        return last[0][1]

    return kept
