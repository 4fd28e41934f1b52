"""Fewer sheets: one sheet is given up, and its parts are pushed into the others, which may push out lighter ones.

A part that finds no place becomes heavier each time; it may push out parts that are lighter together. (The
scheme is that of guided ejection search: Nagata and Braeysy, "A powerful route minimization heuristic",
Operations Research Letters 37, 2009, there for lorries, here for sheets.)
"""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.cutting.chance import Chance
from plandoc.cutting.packer import FIELD, Packer

AREA = (1 << (FIELD - 1)) - 1  # the area in a sheet's room
UNIT = 64  # weight of a part of middling area


class Load:
    """What lies on one sheet: kinds, the key of the set, and the room that is left."""

    __slots__ = ("key", "kinds", "room")

    def __init__(self, kinds: list[int], key: int, room: int) -> None:
        self.kinds, self.key, self.room = kinds, key, room

    def copy(self) -> Load:
        """Another one that may be changed freely."""
        return Load(list(self.kinds), self.key, self.room)


def load(packer: Packer, kinds: Sequence[int]) -> Load:
    """A sheet with those parts on it."""
    return Load(list(kinds), packer.key(kinds), packer.room - sum([packer.fat[k] for k in kinds]))


def best_fit(packer: Packer, items: Sequence[int]) -> list[Load]:
    """The largest part first, each onto the fullest sheet that can take it when all on that sheet may move."""
    env, guard = packer.env, packer.guard
    loads: list[Load] = []
    for k in sorted(items, key=lambda k: (-env.area[k], k)):
        fat, unit = packer.fat[k], env.unit[k]
        for s in sorted(loads, key=lambda s: s.room & AREA):
            if (s.room - fat) & guard == guard and packer.fits([*s.kinds, k], s.key + unit):
                s.kinds.append(k)
                s.key += unit
                s.room -= fat
                break
        else:
            loads.append(load(packer, [k]))
    return loads


class Squeeze:
    """One attempt to do with a sheet less."""

    def __init__(self, packer: Packer, start: Sequence[Load], chance: Chance) -> None:
        self.packer, self.chance = packer, chance
        area = packer.env.area
        self.loads = [s.copy() for s in start]
        emptiest = max(range(len(self.loads)), key=lambda i: (self.loads[i].room & AREA, i))
        self.out = sorted(self.loads.pop(emptiest).kinds, key=lambda k: (area[k], k))
        middling = max(1, sum(area) // len(area))
        self.base = [max(1, UNIT * a // middling) for a in area]
        self.weight = list(self.base)

    def run(self, work: int) -> list[Load] | None:
        """The layout with one sheet less, None when the allowed work (counted, not timed) is done."""
        env = self.packer.env
        stop = env.work + work
        while self.out:
            if env.work > stop:
                return None
            env.work += len(self.loads)
            k = self.out.pop()
            if not self.insert(k):
                self.weight[k] += 1 + self.base[k] // 4
                if not self.push(k):
                    self.out.insert(0, k)
                for _ in range(3):
                    self.shake()
        return self.loads

    def insert(self, k: int) -> bool:
        """Finds a place for a part without pushing, on the fullest sheet that has one."""
        packer = self.packer
        guard, fat, unit = packer.guard, packer.fat[k], packer.env.unit[k]
        places = sorted([(s.room & AREA, i) for i, s in enumerate(self.loads) if (s.room - fat) & guard == guard])
        for _, i in places:
            s = self.loads[i]
            if packer.fits([*s.kinds, k], s.key + unit):
                s.kinds.append(k)
                s.key += unit
                s.room -= fat
                return True
        return False

    def push(self, k: int) -> bool:
        """Lets a part take the place of one or two that are lighter together, the lightest that will do."""
        packer, weight = self.packer, self.weight
        guard, fat, area, unit = packer.guard, packer.fat, packer.env.area, packer.env.unit
        heavy = weight[k]
        found = []
        turn = self.chance.below(1 << 16)
        for i, s in enumerate(self.loads):
            kinds = s.kinds
            room = s.room - fat[k]
            n = len(kinds)
            for a in range(n):
                ka = kinds[a]
                wa = weight[ka]
                if wa >= heavy or ka == k:
                    continue
                left = room + fat[ka]
                mix = i * 40503 + a * 30011 + turn
                if left & guard == guard:
                    found.append((wa, area[ka], mix & 1023, i, a, -1))
                for b in range(a + 1, n):
                    kb = kinds[b]
                    both = wa + weight[kb]
                    if both < heavy and kb != k and (left + fat[kb]) & guard == guard:
                        found.append((both, area[ka] + area[kb], (mix + b * 7919) & 1023, i, a, b))
        found.sort()
        for _, _, _, i, a, b in found:
            s = self.loads[i]
            gone = [s.kinds[a]] if b < 0 else [s.kinds[a], s.kinds[b]]
            kinds = [x for j, x in enumerate(s.kinds) if j != a and j != b]
            kinds.append(k)
            key = s.key + unit[k] - sum([unit[g] for g in gone])
            if packer.fits(kinds, key):
                s.room += sum([fat[g] for g in gone]) - fat[k]
                s.kinds, s.key = kinds, key
                self.out += sorted(gone, key=lambda g: area[g])
                return True
        return False

    def shake(self) -> None:
        """Two parts, picked at random, change places, or one moves, where that is possible."""
        packer, loads, below = self.packer, self.loads, self.chance.below
        guard, fat, unit = packer.guard, packer.fat, packer.env.unit
        i, j = below(len(loads)), below(len(loads))
        if i == j:
            return
        s, t = loads[i], loads[j]
        a, b = below(len(s.kinds)), below(len(t.kinds) + 1)
        ka = s.kinds[a]
        if b == len(t.kinds):
            if len(s.kinds) > 1 and (t.room - fat[ka]) & guard == guard and packer.fits([*t.kinds, ka], t.key + unit[ka]):
                t.kinds.append(ka)
                t.key += unit[ka]
                t.room -= fat[ka]
                del s.kinds[a]
                s.key -= unit[ka]
                s.room += fat[ka]
            return
        kb = t.kinds[b]
        more = fat[ka] - fat[kb]
        if ka == kb or (s.room + more) & guard != guard or (t.room - more) & guard != guard:
            return
        step = unit[ka] - unit[kb]
        ours = [kb if x == a else y for x, y in enumerate(s.kinds)]
        theirs = [ka if x == b else y for x, y in enumerate(t.kinds)]
        if packer.fits(ours, s.key - step) and packer.fits(theirs, t.key + step):
            s.kinds, s.key, s.room = ours, s.key - step, s.room + more
            t.kinds, t.key, t.room = theirs, t.key + step, t.room - more
