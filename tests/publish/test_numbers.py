"""Numbers and lists as text."""

from fractions import Fraction

import pytest

from plandoc.publish.lists import csv_text, decimal_text, exact_text
from plandoc.publish.numbers import coordinate


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.0, "0"), (-0.0004, "0"), (12.0, "12"), (12.3456, "12.346"), (-3.5, "-3.5"), (100.0, "100")],
)
def test_coordinates(value, text):
    assert coordinate(value) == text


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (Fraction(5334, 10), 4, "533.4"),
        (Fraction(1600, 3), 4, "533.3333"),
        (Fraction(5, 100000), 4, "0.0001"),  # halves away from zero
        (Fraction(-5, 100000), 4, "-0.0001"),
        (Fraction(-1, 100000), 4, "0"),
        (Fraction(600), 4, "600"),
        (Fraction(5, 2), 0, "3"),
    ],
)
def test_decimal_text(value, places, text):
    assert decimal_text(value, places) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(Fraction(5334, 10), "533.4"), (Fraction(1600, 3), "1600/3"), (Fraction(-1, 128), "-0.0078125"), (Fraction(0), "0")],
)
def test_exact_text_says_the_whole_value(value, text):
    assert exact_text(value) == text
    assert Fraction(text) == value


def test_csv():
    assert csv_text(("mark", "name"), [("A", 'side, 3/4"'), ("B", "two\nlines")]) == (
        'mark,name\nA,"side, 3/4"""\nB,"two\nlines"\n'
    )
    with pytest.raises(ValueError, match="1 cells under a header of 2"):
        csv_text(("mark", "name"), [("A",)])
