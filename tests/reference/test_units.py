"""Units against their published values.

NIST SP 811 (2008), appendix B: 1 in = 25.4 mm exactly, 1 ft = 0.3048 m exactly, 1 lb (avoirdupois) = 0.453 592 37 kg
exactly, 1 oz = 1/16 lb = 0.028 349 523 125 kg exactly.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.pipeline import check
from plandoc.quantity import read_length
from plandoc.world import MemoryWorld

LENGTHS = {
    '1"': "25.4",
    "1 in": "25.4",
    "1'": "304.8",
    "1 ft": "304.8",
    "1 mm": "1",
    "1 cm": "10",
    "1 m": "1000",
    '3/4"': "19.05",
    '23 1/2"': "596.9",
    '23-1/2"': "596.9",
    "6' 2 1/2\"": "1892.3",
    '1/64"': "0.396875",
}
WEIGHTS = {"1 lb": "0.45359237", "1 oz": "0.028349523125", "1 kg": "1", "1 g": "0.001", "75 lb": "34.01942775"}

PLAN = """plan "Measures"
stock board lumber 4/4
  measured 1"
hardware runner slide "Runner" long 16" side 1/2"
  load {weight}
part piece from board "Piece"
  across from 0 to {length}
  back from 0 for {length}
  up from 0
"""


@pytest.mark.parametrize("written", LENGTHS)
def test_lengths_as_read(written: str) -> None:
    assert read_length(written) == Fraction(LENGTHS[written])


@pytest.mark.parametrize("written", LENGTHS)
def test_lengths_in_a_plan(written: str) -> None:
    checked = check("m.plan", MemoryWorld({"m.plan": PLAN.format(weight="1 kg", length=written)}))
    assert checked.good, checked.diagnostics
    assert checked.model.part("piece").box.size(0) == Fraction(LENGTHS[written])


@pytest.mark.parametrize("written", WEIGHTS)
def test_weights_in_a_plan(written: str) -> None:
    checked = check("m.plan", MemoryWorld({"m.plan": PLAN.format(weight=written, length='8"')}))
    assert checked.good, checked.diagnostics
    assert checked.model.hardware[0].load_kg == Fraction(WEIGHTS[written])
