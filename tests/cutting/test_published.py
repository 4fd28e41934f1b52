"""Published instances of two-dimensional cutting (their generator: tests/benchmarks/cutting_cases.py), the first of each class with
20 and with 40 parts: valid layouts, not above what a general packing library finds, not below the bound.

Recorded once: the best of 216 settings of rectpack 0.2.2 (432 where parts may turn), of layouts that edge-to-edge cuts can
separate only. The area of the parts is a bound that needs no program.
"""

from __future__ import annotations

from fractions import Fraction as F
from math import ceil

import pytest

from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Part, Saw, Sheet
from plandoc.cutting.verify import faults_of
from tests.benchmarks.cutting_cases import instance

RECORDED = {
    (1, 20): (8, 7), (1, 40): (10, 9), (2, 20): (1, 1), (2, 40): (2, 1), (3, 20): (6, 6), (3, 40): (7, 7), (4, 20): (1, 1),
    (4, 40): (1, 1), (5, 20): (8, 7), (5, 40): (9, 8), (6, 20): (1, 1), (6, 40): (1, 1), (7, 20): (5, 5), (7, 40): (10, 10),
    (8, 20): (6, 6), (8, 40): (12, 11), (9, 20): (19, 19), (9, 40): (25, 24), (10, 20): (6, 6), (10, 40): (8, 8),
}  # fmt: skip


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize(("cls", "n"), RECORDED)
def test_published_instances(cls: int, n: int, turn: bool) -> None:
    side, items = instance(cls, n, 1)
    parts = [Part(f"p{i}", F(w), F(h), turn=turn) for i, (w, h) in enumerate(items)]
    sheets = [Sheet("sheet", F(side), F(side))]
    made = lay_out(parts, sheets, Saw(), work=3000)
    assert faults_of(made, parts, sheets, Saw()) == [] and not made.unplaced
    area = ceil(F(sum(w * h for w, h in items), side**2))
    assert area <= made.bound <= len(made.sheets) <= RECORDED[cls, n][turn]
