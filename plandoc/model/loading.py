"""Plan file -> statements, with includes put in at their place."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from plandoc.diagnostics import NOWHERE, Note, Sink, Source, Span
from plandoc.syntax import tree as t
from plandoc.syntax.parse import parse, parse_shop
from plandoc.syntax.vocabulary import Vocabulary
from plandoc.world import LIBRARY, Unreadable, World

MAX_FILES = 100


@dataclass(slots=True)
class Loaded:
    """Statements of all files in reading order, the texts by name, the shop that the heading names."""

    statements: tuple[t.Statement, ...]
    sources: dict[str, Source] = field(default_factory=dict)
    shop: t.ShopStatement | None = None

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
    heading = next((s for s in loaded.statements if isinstance(s, t.PlanStatement)), None)
    clause = next((c for c in heading.clauses if c.kind == "plan_shop"), None) if heading is not None else None
    if clause is not None and isinstance(clause.items[0], t.Str):
        loaded.shop = _shop(clause.items[0], clause.span.file, world, vocabulary, sink, loaded)
    return loaded


def _shop(written: t.Str, beside: str, world: World, vocabulary: Vocabulary, sink: Sink, loaded: Loaded) -> t.ShopStatement | None:
    """The shop of a shop file; None after a report."""
    target = _beside(beside, "".join(p.text for p in written.pieces))
    if target in loaded.sources:
        sink.emit("PD270", f"`{target}` is a file of the plan, not a shop file", written.span, mend="describe the shop in a file of its own")
        return None
    try:
        source = Source(target, world.read(target))
    except Unreadable as fault:
        sink.emit("PD120", f"`{target}` cannot be read: {fault}", written.span, mend="mind the spelling, and that the file lies in the folder of the plan")
        return None
    loaded.sources[target] = source
    found = parse_shop(source, vocabulary, sink)
    if found is None:
        return None
    for extra in found[1:]:
        sink.emit("PD270", "a second `shop` line", extra.span, notes=[Note("the first stands here", found[0].span)], mend="one file for each shop; the heading of the plan names one")
    if not found:
        sink.emit("PD270", f"`{target}` describes no shop", written.span, mend='begin it with: shop "Garage", and below it, indented, a line for each machine')
    return found[0] if found else None


def _beside(name: str, written: str) -> str:
    """The name of a file that is named in another one."""
    if written.startswith((LIBRARY, "/")):
        return written  # a path from the root stays one, and is refused; it must not become a path within the folder
    return _plain(str(PurePosixPath(name).parent / written))


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
    target = _beside(name, written)
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
