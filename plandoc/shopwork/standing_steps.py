"""Steps that put an assembly in its place which is joined in itself and to nothing else: a base under a case, a drawer on its runners."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.build.groups import tied
from plandoc.build.pieces import piece_name, pieces
from plandoc.build.units import union_of
from plandoc.geometry.bodies import Box
from plandoc.model.entities import Model, Motion, Step
from plandoc.quantity import shop_text
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.draft import FIT, Draft
from plandoc.shopwork.names import listed, parts_words

_ENDS = (("left", "right"), ("front", "rear"))


def standing_drafts(model: Model) -> tuple[Draft, ...]:
    """One step for each such assembly that no step of the author puts in its place. Figures are from what joints alone hold
    together of the largest body, not from the doors that hang on it."""
    found = []
    for piece in pieces(model):
        whole = _held(model, piece, True)
        if len(whole) < 2:
            continue
        largest = _largest(model, whole)
        main = _largest(model, _held(model, largest, False))
        found += [Draft(FIT, (_step(model, paths, main),), paths) for paths in whole if len(paths) > 1 and paths is not largest and not _said(model, paths)]
    return tuple(found)


def _largest(model: Model, whole: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    return max(whole, key=lambda paths: union_of(model, paths).box.volume)


def opens(model: Model, paths: Sequence[str]) -> Motion | None:
    """The motion of what these parts make together."""
    return next((m for m in model.motions if any(p == m.target or p.startswith(f"{m.target}.") for p in paths)), None)


def _held(model: Model, piece: Sequence[str], hardware: bool) -> list[tuple[str, ...]]:
    """The parts of a piece by what joints, or joints and hardware, hold together."""
    ties: list[tuple[str, ...]] = [(j.a, j.b) for j in model.joints]
    ties += [f.parts for f in model.fittings if not f.area] if hardware else []
    return list(tied(list(piece), ties))


def _said(model: Model, paths: Sequence[str]) -> bool:
    """Whether a step of the author brings these parts to others."""
    joined = [all_paths(model, step.joins) for step in model.steps]
    return any(any(p in paths for p in own) and any(p not in paths for p in own) for own in joined)


def _step(model: Model, paths: tuple[str, ...], main: Sequence[str]) -> Step:
    home = model.part(paths[0]).assembly
    shared = home and all(f"{model.part(p).assembly}.".startswith(f"{home.partition('.')[0]}.") for p in paths)
    name = piece_name(model, paths) if shared else parts_words(model, paths)
    box, around = union_of(model, paths).box, union_of(model, main).box
    motion = opens(model, paths)
    where = f"{_height(model, box, around, main)}{listed(_ends(model, box, around))}"
    if motion is not None:
        texts = [f"Run {name} in from the {motion.face.name}: {where}."]
        checks = ("It runs its full length and back without binding.",)
    else:
        texts = [f"Set {name} in place: {where}.", "The plan names nothing that holds it there."]
        checks = ("It stands without rocking.",)
    return Step(0, f"Run {name} in" if motion is not None else f"Set {name} in place", joins=(paths[0], main[0]), texts=tuple(texts), checks=checks, author=False)


def _height(model: Model, box: Box, around: Box, main: Sequence[str]) -> str:
    """`under Case bottom (D), `: on or under what it stands; else its height over the bottom of the rest."""
    for low, word in ((True, "under"), (False, "on")):
        touching = [
            p for p in main
            if (model.part(p).stands.lo[2] == box.hi[2] if low else model.part(p).stands.hi[2] == box.lo[2])
            and all(model.part(p).stands.lo[a] < box.hi[a] and box.lo[a] < model.part(p).stands.hi[a] for a in (0, 1))
        ]  # fmt: skip
        if touching:
            return f"{word} {parts_words(model, touching)}, "
    high = box.lo[2] - around.lo[2]
    figure = shop_text(abs(high), model.info.units, mark=True)
    return f"{figure} {'above' if high > 0 else 'below'} the lowest edge of {parts_words(model, main[:1])}, " if high else "on one level with the rest, "


def _ends(model: Model, box: Box, around: Box) -> list[str]:
    """How far it stands in from each side of what is there: `flush at the left and right`, `3" in from the front`."""
    words = []
    for axis, names in enumerate(_ENDS):
        gaps = (box.lo[axis] - around.lo[axis], around.hi[axis] - box.hi[axis])
        if gaps[0] == gaps[1]:
            words.append(_gap(model, gaps[0], f"{names[0]} and {names[1]}"))
        else:
            words += [_gap(model, gap, name) for gap, name in zip(gaps, names, strict=True)]
    return words


def _gap(model: Model, gap: Fraction, name: str) -> str:
    if not gap:
        return f"flush at the {name}"
    figure = shop_text(abs(gap), model.info.units, mark=True)
    return f"{figure} {'in from' if gap > 0 else 'beyond'} the {name}"
