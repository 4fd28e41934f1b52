"""The 500 published instances for two-dimensional cutting, made anew from the description of their generator.

Classes 1-6: Berkey and Wang, "Two-dimensional finite bin-packing algorithms" (1987); 7-10: Martello and Vigo, "Exact
solution of the two-dimensional finite bin packing problem" (1998); random numbers and seeds: Lodi, Martello and Vigo,
"Heuristic and metaheuristic approaches for a class of two-dimensional bin packing problems" (1999). Ten classes, n =
20, 40, ... 100, ten instances each; a class has one square sheet size.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

Item = tuple[int, int]
SIDES = {1: (10, 10), 2: (30, 10), 3: (40, 35), 4: (100, 35), 5: (100, 100), 6: (300, 100)}  # sheet side, largest item side
SHARES = {7: 0, 8: 1, 9: 2, 10: 3}  # the type that seven of ten items have
SINGLE = np.float32


def numbers(n: int, j: int) -> Iterator[np.float32]:
    """Uniform numbers in single precision; the seed depends on the size and the number of the instance."""
    state = 0
    skip = int(SINGLE(n * j) * SINGLE(31.47) + SINGLE(2000.0)) + 1
    while True:
        state = (7141 * state + 54773) % 259200
        if skip:
            skip -= 1
        else:
            yield SINGLE(state) / SINGLE(259200)


def instance(cls: int, n: int, j: int) -> tuple[int, list[Item]]:
    """Side of the sheet and the items (w, h)."""
    side, largest = SIDES.get(cls, (100, 100))
    stream = numbers(n, j)
    items = []
    for _ in range(n):
        low_w = low_h = 1
        high_w = high_h = largest
        if cls in SHARES:
            share = [SINGLE(0.7 if t == SHARES[cls] else 0.1) for t in range(3)]
            x = next(stream)
            if x < share[0]:  # wide and low
                low_w, high_h = 66, 50
            elif x < share[0] + share[1]:  # narrow and high
                low_h, high_w = 66, 50
            elif x < share[0] + share[1] + share[2]:  # large
                low_w = low_h = 50
            else:  # small
                high_w = high_h = 50
        h = int(SINGLE(high_h - low_h + 1) * next(stream)) + low_h
        w = int(SINGLE(high_w - low_w + 1) * next(stream)) + low_w
        items.append((w, h))
    if (cls, n, j) == (3, 40, 1):  # the stored instance differs in the last digit of one number
        items[15] = (7, 5)
    return side, items


def instances(classes: list[int]) -> Iterator[tuple[int, int, int, int, list[Item]]]:
    """Class, n, number, side, items."""
    for cls in classes:
        for n in (20, 40, 60, 80, 100):
            for j in range(1, 11):
                yield cls, n, j, *instance(cls, n, j)
