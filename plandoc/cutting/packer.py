"""Decides whether sets of parts fit on one sheet, exactly for small sets, by trying for large ones, and says how."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plandoc.cutting.chance import Chance
from plandoc.cutting.envelope import EXACT, Envelopes
from plandoc.cutting.fill import RULES, Filled, fill, joined, orders
from plandoc.cutting.joins import Joined, Leaf, join

FIELD = 40  # bits for one sum among several that are added as one number; the highest is the guard
AT_RANDOM = 12  # tries with changed orders, after the plain ones


class Packer:
    """Knows one size of sheet.

    `fat[kind]` holds several weights of a kind side by side, `room` what an empty sheet can take of each; a set whose
    sum makes one of the guard bits fall cannot fit. The first weight is the area.
    """

    def __init__(self, env: Envelopes, weights: Sequence[tuple[Sequence[int], int]]) -> None:
        """weights: for each a number for every kind, and the sum that a sheet can hold."""
        self.env = env
        n = len(env.sizes)
        self.fat = [0] * n
        self.guard = 0
        self.room = 0
        for f, (row, cap) in enumerate([(env.area, env.width * env.height), *weights]):
            shift = FIELD * f
            drop = max(0, cap.bit_length() - (FIELD - 10))
            self.guard |= 1 << (shift + FIELD - 1)
            self.room |= (1 << (shift + FIELD - 1)) + ((cap >> drop) << shift)
            for k in range(n):
                self.fat[k] += (min(row[k], cap + 1) >> drop) << shift
        self.keys = orders(env)
        self.tries = [(o, r) for r in (0, 4, 5, 1, 2) for o in range(4)]
        self.how: dict[int, Filled] = {}

    def key(self, kinds: Sequence[int]) -> int:
        """The name of a set."""
        return sum([self.env.unit[k] for k in kinds])

    def learn(self, filled: Filled) -> None:
        """Remembers a set that fits."""
        key = self.key(filled.kinds)
        self.env.known[key] = True
        self.how.setdefault(key, filled)

    def fits(self, kinds: Sequence[int], key: int) -> bool:
        """Whether the set fits; for more than EXACT parts a no may be wrong."""
        env = self.env
        found = env.known.get(key)
        if found is None:
            if len(kinds) <= EXACT:
                return env.fits(kinds, key)
            found = self._try(kinds, key)
            env.known[key] = found
        return found

    def _try(self, kinds: Sequence[int], key: int) -> bool:
        env, n = self.env, len(kinds)
        for t, (o, r) in enumerate(self.tries):
            weight = self.keys[o]
            order = [k for _, k in sorted([(-weight[k], k) for k in kinds])]
            if len(fill(env, order, RULES[r], True)) == n:
                self.how[key] = Filled(tuple(order), RULES[r])
                if t:  # what worked is tried earlier next time
                    self.tries[t - 1], self.tries[t] = self.tries[t], self.tries[t - 1]
                return True
        chance = Chance(n)
        for _ in range(AT_RANDOM):
            weight = self.keys[chance.below(len(self.keys))]
            order = [k for _, k in sorted([(-weight[k] * (60 + chance.below(80)), k) for k in kinds])]
            rule = RULES[chance.below(len(RULES))]
            if len(fill(env, order, rule, True)) == n:
                self.how[key] = Filled(tuple(order), rule)
                return True
        return False

    def joins(self, kinds: Sequence[int], most: int) -> Iterator[Joined]:
        """Some ways of cutting a set that fits, at most `most`, at least one."""
        env = self.env
        kinds = sorted(kinds)
        key = self.key(kinds)
        seen: set[Joined] = set()
        filled = self.how.get(key)
        if filled is not None:
            known = joined(env, filled)
            if known is not None:
                seen.add(known)
                yield known
        for weight in self.keys[:4]:
            order = tuple([k for _, k in sorted([(-weight[k], k) for k in kinds])])
            for rule in (0, 1, 5):
                if len(seen) >= most:
                    return
                made = joined(env, Filled(order, RULES[rule]))
                if made is not None and made not in seen:
                    seen.add(made)
                    yield made
        if len(kinds) <= EXACT and len(seen) < most:
            made = self.exact(kinds, key, env.width, env.height)
            if made is not None and made not in seen:
                yield made

    def exact(self, kinds: Sequence[int], key: int, width: int, height: int) -> Joined | None:
        """How a small set is cut from a rectangle of that size, None if it is too small."""
        env = self.env
        if len(kinds) == 1:
            ways = [(w, h) for w, h in env.sizes[kinds[0]] if w <= width and h <= height]
            return Leaf(kinds[0], *ways[0]) if ways else None
        keys = env.subsets(kinds)
        for mask in range(1, len(keys) // 2):
            ours = [k for i, k in enumerate(kinds) if mask >> i & 1]
            others = [k for i, k in enumerate(kinds) if not mask >> i & 1]
            a, b = keys[mask], key - keys[mask]
            for w1, h1 in env.envelope(ours, a):
                for w2, h2 in env.envelope(others, b):
                    beside = w1 + w2 <= width and max(h1, h2) <= height
                    if beside or (h1 + h2 <= height and max(w1, w2) <= width):
                        return join(beside, [self.exact(ours, a, w1, h1), self.exact(others, b, w2, h2)])
        return None
