"""PD359: two groups of joined parts that touch each other, and nothing joins them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from plandoc.build.groups import tied
from plandoc.build.opening import moving_parts
from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import AXES, UP
from plandoc.geometry.solid import Solid
from plandoc.model.contact import contacts
from plandoc.model.entities import Model, Part
from plandoc.vocabulary import all_kinds


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every group that touches another one, once. Parts that nothing joins are not told (a loose shelf, a cover), nor what
    opens or swings, nor an assembly of its own that stands in the piece (a bin, a tray). Of two assemblies that the plan places
    side by side one that stands on the other is told (a case on a stand), until the plan says how it is held there."""
    moving = {path for motion in model.motions for path in moving_parts(model, motion)}
    parts = [part for part in model.placed if part.path not in moving]
    groups = [group for group in _groups(model, parts) if len(group) > 1]
    groups.sort(key=len, reverse=True)
    for number, group in enumerate(groups[1:], 1):
        for other in groups[:number]:
            apart = _apart(group, other)
            met = None if apart and not _beside(group, other) else _touch(other, group, AXES if not apart else (UP,))
            if met is not None:
                _tell(*met, apart, sink)
                break


def _tell(one: Part, two: Part, stands: bool, sink: Sink) -> None:
    """Report two parts that touch. stands: one of them only stands on the other."""
    high, low = (one, two) if one.box.lo[UP] >= two.box.hi[UP] else (two, one)
    join = f"joint butt {two.path} into {one.path} with ..., or hardware on both: fit ... on {two.path}, {one.path}"
    sink.emit(
        "PD359",
        f"`{high.path}` stands on `{low.path}`, and the plan does not say how it is held there" if stands
        else f"`{one.path}` and `{two.path}` touch, but nothing joins them, nor what each of them is joined to",
        two.span,
        notes=(Note(f"`{one.path}` stands here", one.span),),
        mend=f"where its weight holds it: joint butt {high.path} into {low.path} dry; else {join}" if stands else f"join them: {join}",
    )  # fmt: skip


def _groups(model: Model, parts: Iterable[Part]) -> list[list[Part]]:
    """The parts by what joints and hardware hold together, in the order of the plan. A screw that is fitted on one part holds it to what
    that touches."""
    found = {part.path: part for part in parts}
    return [[found[path] for path in group] for group in tied(found, _ties(model, found))]


def _ties(model: Model, found: Mapping[str, Part]) -> Iterator[tuple[str, ...]]:
    items = {item.name: item.kind for item in model.hardware}
    kinds = all_kinds().hardware
    for joint in model.joints:
        yield joint.a, joint.b
    for fitting in model.fittings:
        kind = items.get(fitting.item, "")
        if kind in kinds and kinds[kind].spread:
            continue  # it holds no two parts by itself
        yield fitting.parts
        if kind == "screw":
            yield (*fitting.parts, *(p.path for p in found.values() if any(q in found and _contact(found[q], p, AXES) for q in fitting.parts)))


def _apart(one: list[Part], two: list[Part]) -> bool:
    """Whether one of the groups is an assembly that only stands in the other's: all its parts are within one instance, and none of the
    other's is."""
    return any(_home(group) and not any(part.assembly == _home(group) for part in other) for group, other in ((one, two), (two, one)))


def _beside(one: list[Part], two: list[Part]) -> bool:
    """Whether both are, or lie in, assemblies of their own that the plan itself places."""
    first, second = (_home(group).partition(".")[0] for group in (one, two))
    return bool(first and second) and first != second


def _home(group: list[Part]) -> str:
    """The assembly that all parts of a group lie in directly or deeper, "" for the plan itself."""
    chains = [part.assembly.split(".") for part in group]
    common: list[str] = []
    for names in zip(*chains, strict=False):
        if len(set(names)) > 1:
            break
        common.append(names[0])
    return ".".join(common)


def _touch(one: list[Part], two: list[Part], axes: tuple[int, ...]) -> tuple[Part, Part] | None:
    """The pair of parts, one of each group, that touch along these axes over the largest area; None where none do."""
    best: tuple[Fraction, Part, Part] | None = None
    for a in one:
        for b in two:
            area = _contact(a, b, axes)
            if area and (best is None or area > best[0]):
                best = area, a, b
    return None if best is None else best[1:]


def _contact(a: Part, b: Part, axes: tuple[int, ...]) -> Fraction:
    """The largest area over which a face of one lies on a face of the other along one of the axes (mm2), 0 where they lean
    differently."""
    if a.path == b.path or a.lean != b.lean:
        return Fraction(0)
    found = next((c for c in contacts(a.box, b.box) if c.entry.axis in axes), None)
    if found is None:
        return Fraction(0)
    first, second = (axis for axis in AXES if axis != found.entry.axis)
    return found.area.size(first) * found.area.size(second)


CHECK = Check("PD359", run)
