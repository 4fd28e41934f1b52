"""Densities are found by words and follow from the published specific gravities."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plandoc.tables import density, material, materials


@pytest.mark.parametrize(
    ("text", "gravity"),
    # Specific gravities: Wood Handbook, FPL-GTR-282 (2021), Table 5-3b, 12 % moisture content.
    [("White oak, quartersawn", "0.68"), ("red oak", "0.63"), ("hard maple", "0.63"), ("black walnut", "0.55"),
     ("eastern white pine", "0.35"), ("Douglas-fir", "0.48")],
)  # fmt: skip
def test_solid_wood_is_1120_times_its_specific_gravity(text: str, gravity: str) -> None:
    assert density(text) == 1120 * Fraction(gravity)


def test_a_panel_wins_over_the_wood_it_is_faced_with() -> None:
    assert density("Baltic birch plywood") == 670
    assert density("white oak veneered MDF") == 760
    assert density("birch") == 1120 * Fraction("0.62")


def test_unknown_material_has_no_density() -> None:
    assert density("granite") is None
    assert density("") is None


def test_every_material_has_a_source_and_a_sane_density() -> None:
    assert len(materials()) > 40
    seen = [m.words for m in materials()]
    assert len(seen) == len(set(seen))
    for entry in materials():
        assert entry.source
        low, high = (2400, 2600) if entry.ordered else (300, 1100)
        assert low < entry.density < high
        assert material(" ".join(entry.words)) == entry


@pytest.mark.parametrize("text", ["Clear float glass", "Mirror, 4 mm", "safety glass, laminated"])
def test_glass_is_ordered_to_size(text: str) -> None:
    found = material(text)
    assert found is not None and found.ordered


@pytest.mark.parametrize("text", ["Acrylic glass", "acrylic mirror", "Ash glazing bead", "mirror-cut birch plywood", "White oak, glass-smooth"])
def test_what_only_sounds_like_glass_is_not(text: str) -> None:
    found = material(text)
    assert found is None or not found.ordered
