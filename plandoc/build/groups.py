"""What belongs together: paths in groups by what ties them."""

from __future__ import annotations

from collections.abc import Iterable


def tied(paths: Iterable[str], ties: Iterable[Iterable[str]]) -> tuple[tuple[str, ...], ...]:
    """The paths in groups that ties hold together, in their order. What a tie names besides is left out."""
    leader = {path: path for path in paths}

    def root(path: str) -> str:
        while leader[path] != path:
            path = leader[path]
        return path

    for tie in ties:
        first, *rest = [path for path in tie if path in leader] or [""]
        for path in rest:
            leader[root(path)] = root(first)
    groups: dict[str, list[str]] = {}
    for path in leader:
        groups.setdefault(root(path), []).append(path)
    return tuple(tuple(group) for group in groups.values())
