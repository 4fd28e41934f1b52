"""What goes into what, in the words of a glue-up: the parts, or the units made before, and the joint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.model.entities import Joint, Model
from plandoc.model.ordered import holds_pane
from plandoc.model.unglued import dry, floats, keyed
from plandoc.quantity import shop_text
from plandoc.shopwork.alike import parts_inside
from plandoc.shopwork.names import by_mark, counted, listed, part_words, pieces_words
from plandoc.shopwork.operations import INLAID

MEETING = ("butt", "screw", "pocket", "edge", "dowel", "biscuit", "mitre")
"""Kinds of joint whose parts meet without one entering the other."""


@dataclass(frozen=True, slots=True)
class Level:
    """The assemblies that one step closes, alike all of them; told for the first. What was made before is named as a whole."""

    model: Model
    paths: tuple[str, ...]

    def unit(self, path: str) -> str:
        """The nested assembly, made before, with which the part comes to its level; the part's own path where it comes
        alone."""
        home = self.model.part(path).assembly
        level = next((one for one in self.paths if not one or home == one or home.startswith(f"{one}.")), None)
        if level is None or home == level:
            return path
        tail = home[len(level) + 1 :] if level else home
        unit = f"{level}.{tail.partition('.')[0]}" if level else tail.partition(".")[0]
        inside = [part.path for part in parts_inside(self.model, unit) if part.path != path]
        held = any({j.a, j.b} == {path, other} for j in self.model.joints if path in (j.a, j.b) for other in inside)
        return unit if held else path

    def units(self, paths: Sequence[str]) -> tuple[str, ...]:
        """The units of these parts, each once."""
        return tuple(dict.fromkeys(self.unit(path) for path in paths))

    def words(self, paths: Sequence[str]) -> str:
        """The parts that come alone, then the nested assemblies by name: `Ledge (B), Bin A and Bin B`."""
        names = {a.path: a.name or a.path for a in self.model.assemblies}
        units = self.units(paths)
        alone = tuple(unit for unit in units if unit in paths)
        groups = by_mark([part for part in self.model.parts if part.path in alone]).values()
        nested = list(dict.fromkeys(names.get(unit, unit) for unit in units if unit not in paths))
        return listed([*(pieces_words(group, len(self.paths)) for group in groups), *nested])

    def word(self, path: str) -> str:
        """One part, or the unit in which it comes."""
        unit = self.unit(path)
        if unit == path:
            return part_words(self.model.part(path))
        return next((a.name or a.path for a in self.model.assemblies if a.path == unit), unit)

    def inner_word(self, path: str) -> str:
        """One part, with the unit in which it comes: `Floor (A) of Bin 1`."""
        own = part_words(self.model.part(path))
        return own if self.unit(path) == path else f"{own} of {self.word(path)}"


def joint_words(level: Level, joints: Sequence[Joint], verb: str) -> str:
    """`Seat Bottom (C) and Shelf (C) in Left side (A) (dado, enters 1/4"); ...`; what goes alike into several parts is said
    once: `2 × Post (G) in each of 3 × Slat (H) (lap, enters 1/2")`."""
    model = level.model
    groups: dict[tuple[str, str, str], list[Joint]] = {}
    for j in joints:
        groups.setdefault((j.b, "to" if j.kind in MEETING else "in", _kind_words(model, j)), []).append(j)
    clauses: dict[tuple[str, str, str], list[str]] = {}
    for (b, into, kind), own in groups.items():
        clauses.setdefault((_many([level.word(j.a) for j in own]), into, kind + _laid_words(own)), []).append(level.word(b))
    pieces = []
    for (entering, into, how), others in clauses.items():
        each = "each of " if len(others) > 1 else ""
        pieces.append(f"{entering} {into} {each}{_many(others)} ({how})")
    return f"{verb} {'; '.join(pieces)}."


def seat_verb(model: Model, joints: Sequence[Joint], glued: str = "Glue and seat", unglued: str = "Seat") -> str:
    """The verb for joints, of which none may take glue."""
    return unglued if all(dry(model, j) for j in joints) else glued


def _many(words: Sequence[str]) -> str:
    """`Shelf (B) and 2 × Wall (C)`."""
    return listed([word if words.count(word) == 1 else f"{words.count(word)} × {word}" for word in dict.fromkeys(words)])


def _kind_words(model: Model, joint: Joint) -> str:
    words = f"keyed {joint.kind}, no glue" if keyed(joint) else joint.kind
    if joint.depth:
        words += f", enters {shop_text(joint.depth, model.info.units, mark=True)}"
    return words + (", without glue" if floats(model, joint) else ", dry" if joint.dry or holds_pane(model, joint) else "")


def _laid_words(joints: Sequence[Joint]) -> str:
    """What is laid into the joints as they close: `, with 4 biscuits`."""
    laid = [f for j in joints for f in j.fasteners if f.kind in INLAID and not f.blind]
    said = ""
    for kind in dict.fromkeys(f.kind for f in laid):
        said += f", with {counted(sum(len(f.centres) for f in laid if f.kind == kind), kind)}"
    return said
