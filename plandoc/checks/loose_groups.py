"""PD359: two groups of joined parts that touch each other, and nothing joins them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from plandoc.build.opening import moving_parts
from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import AXES
from plandoc.geometry.solid import Solid
from plandoc.model.contact import contacts
from plandoc.model.entities import Model, Part
from plandoc.vocabulary import all_kinds


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every group that touches another one, once. Parts that nothing joins are not told (a loose shelf, a cover), nor what
    opens or swings, nor an assembly of its own that stands in the piece (a bin, a tray)."""
    moving = {path for motion in model.motions for path in moving_parts(model, motion)}
    parts = [part for part in model.placed if part.path not in moving]
    groups = [group for group in _groups(model, parts) if len(group) > 1]
    groups.sort(key=len, reverse=True)
    for number, group in enumerate(groups[1:], 1):
        met = next((pair for other in groups[:number] if not _apart(group, other) and (pair := _touch(other, group)) is not None), None)
        if met is None:
            continue
        one, two = met
        sink.emit(
            "PD359",
            f"`{one.path}` and `{two.path}` touch, but nothing joins them, nor what each of them is joined to",
            two.span,
            notes=(Note(f"`{one.path}` stands here", one.span),),
            mend=f"join them: joint butt {two.path} into {one.path} with ..., or hardware on both: fit ... on {two.path}, {one.path}",
        )


def _groups(model: Model, parts: Iterable[Part]) -> list[list[Part]]:
    """The parts by what joints and hardware hold together, in the order of the plan. A screw that is fitted on one part holds it to what
    that touches."""
    found = {part.path: part for part in parts}
    items = {item.name: item.kind for item in model.hardware}
    kinds = all_kinds().hardware
    leader = {path: path for path in found}

    def root(path: str) -> str:
        while leader[path] != path:
            path = leader[path]
        return path

    def tie(paths: Iterable[str]) -> None:
        first, *rest = [path for path in paths if path in found] or [""]
        for path in rest:
            leader[root(path)] = root(first)

    for joint in model.joints:
        tie((joint.a, joint.b))
    for fitting in model.fittings:
        kind = items.get(fitting.item, "")
        if kind in kinds and kinds[kind].spread:
            continue  # it holds no two parts by itself
        tie(fitting.parts)
        if kind == "screw":
            tie((*fitting.parts, *(p.path for p in found.values() if any(q in found and _contact(found[q], p) for q in fitting.parts))))
    made: dict[str, list[Part]] = {}
    for path, part in found.items():
        made.setdefault(root(path), []).append(part)
    return list(made.values())


def _apart(one: list[Part], two: list[Part]) -> bool:
    """Whether one of the groups is an assembly that only stands in the other's: all its parts are within one instance, and none of the
    other's is."""
    return any(_home(group) and not any(part.assembly == _home(group) for part in other) for group, other in ((one, two), (two, one)))


def _home(group: list[Part]) -> str:
    """The assembly that all parts of a group lie in directly or deeper, "" for the plan itself."""
    chains = [part.assembly.split(".") for part in group]
    common: list[str] = []
    for names in zip(*chains, strict=False):
        if len(set(names)) > 1:
            break
        common.append(names[0])
    return ".".join(common)


def _touch(one: list[Part], two: list[Part]) -> tuple[Part, Part] | None:
    """The pair of parts, one of each group, that touch over the largest area; None where none do."""
    best: tuple[Fraction, Part, Part] | None = None
    for a in one:
        for b in two:
            area = _contact(a, b)
            if area and (best is None or area > best[0]):
                best = area, a, b
    return None if best is None else best[1:]


def _contact(a: Part, b: Part) -> Fraction:
    """The largest area over which a face of one lies on a face of the other (mm2), 0 where they lean differently."""
    if a.path == b.path or a.lean != b.lean:
        return Fraction(0)
    found = contacts(a.box, b.box)
    if not found:
        return Fraction(0)
    first, second = (axis for axis in AXES if axis != found[0].entry.axis)
    return found[0].area.size(first) * found[0].area.size(second)


CHECK = Check("PD359", run)
