"""Plan file -> statements, with includes put in at their place."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from plandoc.diagnostics import NOWHERE, Note, Sink, Source, Span
from plandoc.syntax import tree as t
from plandoc.syntax.parse import parse
from plandoc.syntax.vocabulary import Vocabulary
from plandoc.world import LIBRARY, Unreadable, World

MAX_FILES = 100


@dataclass(slots=True)
class Loaded:
    """Statements of all files in reading order, the texts by name, and the plan's own file name."""

    statements: tuple[t.Statement, ...]
    sources: dict[str, Source] = field(default_factory=dict)

    @property
    def digest(self) -> str:
        """Short fingerprint of all texts: two prints with the same one come from the same plan."""
        sha = hashlib.sha256()
        for name in sorted(self.sources):
            sha.update(name.encode() + b"\0" + self.sources[name].text.encode() + b"\0")
        return sha.hexdigest()[:8]


def load(name: str, world: World, vocabulary: Vocabulary, sink: Sink) -> Loaded:
    """Read a plan and what it includes."""
    loaded = Loaded(())
    loaded.statements = _file(name, world, vocabulary, sink, loaded, (), None)
    return loaded


def _file(name: str, world: World, vocabulary: Vocabulary, sink: Sink, loaded: Loaded, above: tuple[str, ...], at: Span | None) -> tuple[t.Statement, ...]:
    try:
        text = world.read(name)
    except Unreadable as fault:
        sink.emit("PD120", f"`{name}` cannot be read: {fault}", at or NOWHERE, mend="mind the spelling, and that the file lies in the folder of the plan" if at else "")
        return () if at is None else (t.Broken(at, everything=True),)
    source = Source(name, text)
    loaded.sources[name] = source
    statements: list[t.Statement] = []
    for statement in parse(source, vocabulary, sink):
        if not isinstance(statement, t.Include):
            statements.append(statement)
            continue
        statements.extend(_included(statement, name, world, vocabulary, sink, loaded, above))
    return tuple(statements)


def _included(statement: t.Include, name: str, world: World, vocabulary: Vocabulary, sink: Sink, loaded: Loaded, above: tuple[str, ...]) -> Sequence[t.Statement]:
    written = "".join(p.text for p in statement.file.pieces)
    target = written
    if not written.startswith(LIBRARY):
        target = str(PurePosixPath(name).parent / written)
    # A path from the root stays one, and is refused; it must not become a path within the folder.
    target = written if written.startswith("/") else _plain(target)
    chain = (*above, name)
    if target in chain:
        sink.emit("PD121", f"`{written}` includes itself", statement.file.span, notes=[Note("the way round: " + " -> ".join((*chain, target)))])
        return ()
    if target in loaded.sources:
        return ()  # included before: its names are already there
    if len(loaded.sources) >= MAX_FILES:
        sink.emit("PD121", f"more than {MAX_FILES} files are included", statement.file.span)
        return ()
    return _file(target, world, vocabulary, sink, loaded, chain, statement.file.span)


def _plain(path: str) -> str:
    parts: list[str] = []
    for part in path.split("/"):
        if part == ".." and parts and parts[-1] != "..":
            parts.pop()
        elif part not in (".", ""):
            parts.append(part)
    return "/".join(parts)
