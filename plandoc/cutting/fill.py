"""Filling one rectangle part by part: each part goes into the best free rectangle, which is then split in two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.cutting.chance import Chance
from plandoc.cutting.envelope import Envelopes
from plandoc.cutting.joins import Joined, Leaf, join

Rule = tuple[int, int]  # how the free rectangle is chosen, how it is split
RULES: tuple[Rule, ...] = tuple((fit, split) for fit in range(3) for split in range(4))


@dataclass(frozen=True, slots=True)
class Step:
    """One part placed: its kind and size, the free rectangle taken, and how that was split into two new ones."""

    kind: int
    w: int
    h: int
    taken: int
    upward: bool  # the first cut runs up beside the part
    inner: int
    outer: int


@dataclass(frozen=True, slots=True)
class Filled:
    """A set of parts that fits on one sheet, with the order and the rule by which it does."""

    kinds: tuple[int, ...]
    rule: Rule


def fill(env: Envelopes, order: Sequence[int], rule: Rule, whole: bool, steps: list[Step] | None = None) -> list[int]:
    """Places kinds in the given order; those that do not fit are left out, or end the work when `whole` is asked.

    Returns the places in `order` of what was placed; `steps` takes a record of how.
    """
    fit, split = rule
    frees: list[tuple[int, int, int]] = [(env.width, env.height, 0)]
    number = 1
    placed: list[int] = []
    sizes = env.sizes
    env.work += len(order)
    for at, kind in enumerate(order):
        best = 1 << 60
        chosen = -1
        cw = ch = 0
        for w, h in sizes[kind]:
            for j, (fw, fh, _) in enumerate(frees):
                if w <= fw and h <= fh:
                    if fit == 0:
                        score = fw * fh
                    elif fit == 1:
                        score = fw - w if fw - w < fh - h else fh - h
                    else:
                        score = fw - w if fw - w > fh - h else fh - h
                    if score < best:
                        best, chosen, cw, ch = score, j, w, h
        if chosen < 0:
            if whole:
                return placed
            continue
        fw, fh, name = frees[chosen]
        dw, dh = fw - cw, fh - ch
        if split == 0:  # the larger of the two rests as large as can be
            upward = max(dw * fh, cw * dh) >= max(dw * ch, fw * dh)
        elif split == 1:
            upward = dw >= dh
        elif split == 2:
            upward = fw >= fh
        else:  # the two rests as equal as can be
            upward = max(dw * fh, cw * dh) < max(dw * ch, fw * dh)
        if steps is not None:
            steps.append(Step(kind, cw, ch, name, upward, number, number + 1))
        placed.append(at)
        del frees[chosen]
        if upward:
            if dh:
                frees.append((cw, dh, number))
            if dw:
                frees.append((dw, fh, number + 1))
        else:
            if dw:
                frees.append((dw, ch, number))
            if dh:
                frees.append((fw, dh, number + 1))
        number += 2
        if not frees:
            break
    return placed


def joined(env: Envelopes, filled: Filled) -> Joined | None:
    """The join that a filling stands for, None when not all of it fits."""
    steps: list[Step] = []
    if len(fill(env, filled.kinds, filled.rule, True, steps)) < len(filled.kinds):
        return None
    by_rest = {s.taken: s for s in steps}

    def build(rest: int) -> Joined | None:
        s = by_rest.get(rest)
        if s is None:
            return None
        inner = join(not s.upward, [Leaf(s.kind, s.w, s.h), build(s.inner)])
        return join(s.upward, [inner, build(s.outer)])

    return build(0)


def orders(env: Envelopes) -> list[list[int]]:
    """Five weights by which parts are put into order, the heaviest first."""
    area, w, h = env.area, env.least_w, env.least_h
    base = max(env.width, env.height) + 2
    return [
        area,
        [max(a, b) * base + min(a, b) for a, b in zip(w, h, strict=True)],
        [a + b for a, b in zip(w, h, strict=True)],
        [a * base + b for a, b in zip(w, h, strict=True)],
        [b * base + a for a, b in zip(w, h, strict=True)],
    ]


def fill_in_turn(env: Envelopes, items: Sequence[int], chance: Chance, tries: int, spread: int, most: int) -> tuple[list[Filled], list[int]]:
    """Fills at most `most` sheets one after the other, each the fullest of some tries, and tells what is left over.

    The orders are changed at random by up to `spread` per cent, after one try with each plain order.
    """
    area = env.area
    keys = orders(env)
    rest = list(items)
    done: list[Filled] = []
    below = chance.below
    while rest and len(done) < most:
        top = 0
        best: tuple[list[int], list[int], Rule] | None = None
        for q in range(tries):
            if q < len(keys):
                key = keys[q]
                order = [k for _, k in sorted([(-key[k], k) for k in rest])]
            else:
                key = keys[below(len(keys))]
                order = [k for _, k in sorted([(-key[k] * (100 - spread + below(2 * spread)), k) for k in rest])]
            rule = RULES[below(len(RULES))]
            placed = fill(env, order, rule, False)
            total = sum([area[order[i]] for i in placed])
            if total > top:
                top, best = total, (order, placed, rule)
                if len(placed) == len(order):
                    break
        if best is None:
            break
        order, placed, rule = best
        done.append(Filled(tuple([order[i] for i in placed]), rule))
        taken = set(placed)
        rest = [k for i, k in enumerate(order) if i not in taken]
    return done, rest
