"""Screw sizes as the tables give them."""

from __future__ import annotations

from fractions import Fraction

from plandoc.quantity import INCH
from plandoc.tables import screw, screw_by_shank, screws


def test_number_ten_shank_and_gauge_rule() -> None:
    ten = screw(10)
    assert ten is not None
    assert ten.shank == Fraction("0.190") * INCH
    for entry in screws():  # gauge rule: 0.060 + 0.013 N inches
        assert entry.shank == (Fraction("0.060") + Fraction("0.013") * entry.gauge) * INCH


def test_root_is_two_thirds_of_the_shank_and_lead_holes_follow() -> None:
    for entry in screws():
        assert abs(entry.root - entry.shank * 2 / 3) < Fraction("0.0006") * INCH
        assert entry.lead_softwood == entry.root * Fraction(7, 10)
        assert entry.lead_hardwood == entry.root * Fraction(9, 10)
        assert entry.head > entry.shank
        assert "from memory" in entry.status


def test_nearest_shank_and_missing_gauges() -> None:
    found = screw_by_shank(Fraction("4.2"))
    assert found is not None and found.gauge == 8
    assert screw_by_shank(Fraction(20)) is None
    assert screw(3) is None
