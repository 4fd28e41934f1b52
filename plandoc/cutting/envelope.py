"""Which sets of parts come out of one rectangle by edge-to-edge cuts, and how small that rectangle can be.

All sizes are whole numbers; kerf is already in them (each part and the sheet are longer and wider by one
kerf). A set of kinds with repeats is named by a key: the sum of `unit[kind]`, so that equal parts are
never told apart. The envelope of a set is the list of the smallest rectangles (w rising, h falling) from
which it can be cut: those of its two halves for every way of halving it, beside or above each other.
"""

from __future__ import annotations

from collections.abc import Sequence

Point = tuple[int, int]
EXACT = 8  # sets up to this size are decided exactly; the work grows like 3**size


def corners(best: dict[int, int]) -> tuple[Point, ...]:
    """The corners of a staircase from the least height known for each width."""
    out: list[Point] = []
    low = max(best.values(), default=0) + 1
    for w in sorted(best):
        if best[w] < low:
            low = best[w]
            out.append((w, low))
    return tuple(out)


class Envelopes:
    """Envelopes of sets of kinds within a rectangle of width by height; remembers what it worked out."""

    def __init__(self, width: int, height: int, sizes: Sequence[tuple[Point, ...]], most: int) -> None:
        """`sizes[kind]` are the one or two ways (w, h) in which the kind may lie; `most` equal parts come in a set at most."""
        self.width, self.height = width, height
        self.sizes = [tuple((w, h) for w, h in ways if w <= width and h <= height) for ways in sizes]
        self.area = [ways[0][0] * ways[0][1] for ways in sizes]
        self.unit = [1 << (most.bit_length() * k) for k in range(len(sizes))]
        self.least_w = [min((w for w, _ in ways), default=width + 1) for ways in self.sizes]
        self.least_h = [min((h for _, h in ways), default=height + 1) for ways in self.sizes]
        self.points: dict[int, tuple[Point, ...]] = {}
        for k, ways in enumerate(self.sizes):
            self.points[self.unit[k]] = corners({w: min(h for x, h in ways if x == w) for w, _ in ways})
        self.steps = [self._steps(ways) for ways in self.sizes]
        self.known: dict[int, bool] = {}
        self.work = 0

    def _steps(self, ways: tuple[Point, ...]) -> tuple[int, int, int, int]:
        """Areas of a kind whose height (or width) is stepped: nearly the whole counts as all, little as nothing."""
        width, height = self.width, self.height

        def stepped(x: int, c: int, k: int) -> int:
            return c if k * x > (k - 1) * c else x if k * x >= c else 0

        return (
            min((w * stepped(h, height, 2) for w, h in ways), default=0),
            min((w * stepped(h, height, 3) for w, h in ways), default=0),
            min((h * stepped(w, width, 2) for w, h in ways), default=0),
            min((h * stepped(w, width, 3) for w, h in ways), default=0),
        )

    def subsets(self, kinds: Sequence[int]) -> list[int]:
        """Keys of all subsets, by the bits of their places in `kinds`."""
        unit = self.unit
        keys = [0]
        for k in kinds:
            u = unit[k]
            keys += [s + u for s in keys]
        return keys

    def envelope(self, kinds: Sequence[int], key: int) -> tuple[Point, ...]:
        """The smallest rectangles within the sheet that hold the set, () if none does."""
        found = self.points.get(key)
        if found is not None:
            return found
        width, height = self.width, self.height
        found = ()
        if sum([self.area[k] for k in kinds]) <= width * height:
            keys = self.subsets(kinds)
            full = len(keys) - 1
            points = self.points
            best: dict[int, int] = {}
            get = best.get
            done = set()
            self.work += full
            for mask in range(1, full // 2 + 1):
                a = keys[mask]
                if a in done:
                    continue
                done.add(a)
                b = key - a
                done.add(b)
                first = points.get(a)
                if first is None:
                    first = self.envelope([k for i, k in enumerate(kinds) if mask >> i & 1], a)
                if not first:
                    best = {}
                    break
                second = points.get(b)
                if second is None:
                    second = self.envelope([k for i, k in enumerate(kinds) if not mask >> i & 1], b)
                if not second:
                    best = {}
                    break
                for w1, h1 in first:
                    for w2, h2 in second:
                        w = w1 + w2
                        if w <= width:
                            h = h1 if h1 > h2 else h2
                            if get(w, height + 1) > h:
                                best[w] = h
                        h = h1 + h2
                        if h <= height:
                            w = w1 if w1 > w2 else w2
                            if get(w, height + 1) > h:
                                best[w] = h
            found = corners(best)
        self.points[key] = found
        return found

    def fits(self, kinds: Sequence[int], key: int) -> bool:
        """Whether the set can be cut from the whole rectangle; exact, meant for sets of at most EXACT parts."""
        found = self.known.get(key)
        if found is not None:
            return found
        n = len(kinds)
        if n == 1:
            answer = bool(self.points[key])
        else:
            answer = self._halves(kinds, key)
        self.known[key] = answer
        return answer

    def _halves(self, kinds: Sequence[int], key: int) -> bool:
        width, height = self.width, self.height
        keys = [0]
        wide, high, area = [0], [0], [0]
        beside1, beside2, above1, above2 = [0], [0], [0], [0]
        for k in kinds:
            u, w0, h0, a0 = self.unit[k], self.least_w[k], self.least_h[k], self.area[k]
            b1, b2, c1, c2 = self.steps[k]
            keys += [s + u for s in keys]
            wide += [w if w > w0 else w0 for w in wide]
            high += [h if h > h0 else h0 for h in high]
            area += [a + a0 for a in area]
            beside1 += [b + b1 for b in beside1]
            beside2 += [b + b2 for b in beside2]
            above1 += [c + c1 for c in above1]
            above2 += [c + c2 for c in above2]
        full = len(keys) - 1
        whole = width * height
        if max(area[full], beside1[full], beside2[full], above1[full], above2[full]) > whole:
            return False
        points = self.points
        self.work += full
        short_w, short_h = height - 1, width - 1
        needs_w = [w if w * height >= m else (m + short_w) // height for w, m in zip(wide, map(max, area, beside1, beside2), strict=True)]
        needs_h = [h if h * width >= m else (m + short_h) // width for h, m in zip(high, map(max, area, above1, above2), strict=True)]
        half = full // 2
        splits_w = [m for m in range(1, half + 1) if needs_w[m] + needs_w[full ^ m] <= width]
        splits_h = [m for m in range(1, half + 1) if needs_h[m] + needs_h[full ^ m] <= height]
        for end, splits in ((0, splits_w), (-1, splits_h)):
            limit = height if end else width
            for mask in splits:
                rest = full ^ mask
                first = points.get(keys[mask])
                if first is None:
                    first = self.envelope([k for i, k in enumerate(kinds) if mask >> i & 1], keys[mask])
                if not first:
                    return False
                if first[end][end] + (needs_h if end else needs_w)[rest] > limit:
                    continue
                second = points.get(keys[rest])
                if second is None:
                    second = self.envelope([k for i, k in enumerate(kinds) if rest >> i & 1], keys[rest])
                if not second:
                    return False
                if first[end][end] + second[end][end] <= limit:
                    return True
        return False
