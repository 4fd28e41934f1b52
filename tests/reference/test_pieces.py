"""Published pieces, rebuilt in the plan language from their construction, against their published stock lists.

Sources: H. H. Windsor (ed.), Mission Furniture: How to Make It, Popular Mechanics, Chicago: Part 1, 1909 (Project
Gutenberg 23770), settee pp. 70-73, plant stand pp. 109-112; Part 3, 1912 (Project Gutenberg 23666), bookrack pp. 74-75,
sewing table pp. 84-88. Every entry: name, count, thickness, width, length as the book lists them, in inches.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.diagnostics import Severity
from plandoc.model.entities import Model
from plandoc.pipeline import Checked, check
from plandoc.quantity import INCH
from plandoc.shopwork.partslist import parts_list
from plandoc.world import DiskWorld

PIECES = Path(__file__).parent / "pieces"
Size = tuple[str, str, str]

LISTED: dict[str, dict[str, tuple[int, Size]]] = {
    "bookrack": {
        "Stretcher": (2, ("1", "1", "20")),
        "Post": (4, ("1", "1", "7-1/2")),
        "Rail": (4, ("1", "1", "7")),
        "Slat": (8, ("1/2", "1/2", "3-1/2")),
    },
    "settee": {
        "Long rail": (3, ("1", "4", "52-1/4")),
        "End rail": (4, ("1", "4", "24-1/4")),
        "Post": (4, ("2-1/4", "2-1/4", "34-1/2")),
        "Slat": (13, ("1/2", "5", "21-1/4")),
        "Cleat": (2, ("1", "1", "51")),
    },
    "plant-stand": {
        "Top": (1, ("3/4", "15-1/2", "15-1/2")),
        "Post": (4, ("1-1/4", "1-1/4", "20")),
        "Upper rail": (4, ("3/4", "3", "11")),
        "Lower rail": (2, ("3/4", "2", "11")),
        "Shelf": (1, ("3/4", "6", "10")),
        "Outer slat": (4, ("1/4", "2", "12-1/4")),
        "Middle slat": (2, ("1/4", "2", "12-3/4")),
    },
    "sewing-table": {
        "Post": (4, ("1-1/4", "1-1/4", "27")),
        "Rail": (9, ("7/8", "2", "14-1/2")),
        "Top": (1, ("7/8", "18", "18")),
        "Leaf": (2, ("7/8", "10", "18")),
        "Drawer front": (2, ("3/4", "5", "13-1/2")),
        "Drawer side": (4, ("3/8", "5", "13")),
        "Drawer back": (2, ("3/8", "4-1/8", "13")),
        "Drawer bottom": (2, ("3/8", "12-3/4", "13")),
        "Panel": (3, ("3/8", "9-3/8", "14")),
    },
}

# Where the book's list is not the size that its own text and drawing give: piece, part, which size (0 thickness,
# 1 width, 2 length), the sum as the construction has it, and why the list differs.
DIFFERENT: dict[tuple[str, str, int], tuple[str, str]] = {
    ("settee", "Post", 2): (
        "5 + 4 + 20 + 4 + 1",
        "the text orders posts 1/2 longer than drawn, for trimming",
    ),
    ("sewing-table", "Drawer bottom", 2): (
        "13-1/2 - 3/8 - 3/8 + 1/4 + 1/4",
        "slip: the listed 13 is right for grooves 1/8 deep, the text has them 1/4 deep",
    ),
    ("sewing-table", "Drawer back", 1): (
        "5 - 1/4 - 3/8",
        "slip: the back stands on the bottom, whose groove is 1/4 from the edge; the list is 1/4 short",
    ),
    ("sewing-table", "Panel", 1): (
        "7/8 + 5 + 7/8 + 5 + 7/8 + 1/2 - 2 - 2 + 1/4 + 1/4",
        "slip: lower rail drawn 1/2 below the front rail; the list is 1/4 short of that, and 1/4 over for level rails",
    ),
}

OVERALL: dict[str, Size] = {  # across, back, up
    "bookrack": ("20", "7", "7-1/2"),
    "settee": ("55-1/2", "27-1/2", "34"),
    "plant-stand": ("15-1/2", "15-1/2", "20-3/4"),
    "sewing-table": ("38", "18", "27-7/8"),
}

# Warnings that the construction deserves: the book's drawers are let in deeper than half of the wood (PD401), and tops of
# 15-1/2 and 18 in are wider than boards are to be had (PD420).
WARNINGS = {"sewing-table": {"PD401", "PD420"}, "plant-stand": {"PD420"}}


def inches(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return (Fraction(whole) if whole else Fraction(0)) + Fraction(part)


def total(text: str) -> Fraction:
    """The value of a sum such as `13-1/2 - 3/8 + 1/4`, all inches."""
    words = text.split()
    value = inches(words[0])
    for sign, word in zip(words[1::2], words[2::2], strict=True):
        value += inches(word) if sign == "+" else -inches(word)
    return value


@pytest.fixture(scope="module")
def pieces() -> dict[str, Checked]:
    return {name: check(f"{name}.plan", DiskWorld(PIECES)) for name in LISTED}


def computed(model: Model) -> dict[str, tuple[int, set[tuple[Fraction, Fraction, Fraction]]]]:
    """Name -> count and the sizes (thickness, width, length, inches) of all marks of that name."""
    found: dict[str, tuple[int, set[tuple[Fraction, Fraction, Fraction]]]] = {}
    for row in parts_list(model):
        count, sizes = found.get(row.name, (0, set()))
        size = (row.thickness / INCH, row.width / INCH, row.length / INCH)
        found[row.name] = (count + row.count, sizes | {size})
    return found


def test_every_plan_is_in_the_table() -> None:
    assert sorted(LISTED) == sorted(p.stem for p in PIECES.glob("*.plan"))


@pytest.mark.parametrize("name", LISTED)
def test_the_construction_holds(pieces: dict[str, Checked], name: str) -> None:
    checked = pieces[name]
    assert [d.message for d in checked.diagnostics if d.severity is Severity.ERROR] == []
    assert {d.code for d in checked.diagnostics} == WARNINGS.get(name, set())


@pytest.mark.parametrize("name", LISTED)
def test_entries_and_counts(pieces: dict[str, Checked], name: str) -> None:
    assert {k: count for k, (count, _) in computed(pieces[name].model).items()} == {k: count for k, (count, _) in LISTED[name].items()}


@pytest.mark.parametrize(("name", "part"), [(name, part) for name in LISTED for part in LISTED[name]])
def test_sizes(pieces: dict[str, Checked], name: str, part: str) -> None:
    _, sizes = computed(pieces[name].model)[part]
    wanted = [inches(s) for s in LISTED[name][part][1]]
    for which in range(3):
        if (name, part, which) in DIFFERENT:
            wanted[which] = total(DIFFERENT[name, part, which][0])
    # a square section or a square board has no first and second side
    assert sizes == {tuple(wanted)}


@pytest.mark.parametrize("key", DIFFERENT, ids=lambda k: f"{k[0]}-{k[1]}")
def test_what_the_book_has_otherwise_is_a_quarter_or_a_half(key: tuple[str, str, int]) -> None:
    name, part, which = key
    listed = inches(LISTED[name][part][1][which])
    expected = {"settee": Fraction(1, 2), "sewing-table": Fraction(-1, 4)}[name]
    assert listed - total(DIFFERENT[key][0]) == expected


@pytest.mark.parametrize("name", OVERALL)
def test_overall_sizes(pieces: dict[str, Checked], name: str) -> None:
    box = pieces[name].model.box
    assert box is not None
    assert tuple(box.size(axis) / INCH for axis in range(3)) == tuple(inches(s) for s in OVERALL[name])


def test_clear_widths_that_no_list_names(pieces: dict[str, Checked]) -> None:
    """Bookrack: 4 between the posts of an end, 16 between the ends, slats 2/5 apart."""
    model = pieces["bookrack"].model
    front, rear = model.part("end[1].front_post"), model.part("end[1].rear_post")
    assert rear.box.lo[1] - front.box.hi[1] == 4 * INCH
    assert model.part("end[2].front_post").box.lo[0] - front.box.hi[0] == 16 * INCH
    slats = [model.part(f"end[1].slat[{i}]") for i in range(1, 5)]
    edges = [front.box.hi[1], *(edge for s in slats for edge in (s.box.lo[1], s.box.hi[1])), rear.box.lo[1]]
    assert [b - a for a, b in zip(edges[::2], edges[1::2], strict=True)] == [Fraction(2, 5) * INCH] * 5


def test_bookrack_has_twelve_laps(pieces: dict[str, Checked]) -> None:
    """Each lap takes half the thickness of both sticks."""
    model = pieces["bookrack"].model
    laps = [f for p in model.parts for f in p.features if f.kind == "cross lap"]
    assert len(laps) == 2 * 12 and {f.depth for f in laps} == {INCH / 2}
    assert sum(j.kind == "lap" for j in model.joints) == 12


def test_two_rails_just_touch_in_a_settee_post(pieces: dict[str, Checked]) -> None:
    """2-1/4 - 5/8 - 1 = 5/8: the tongue of the end rail ends where the housing of the long rail begins."""
    model = pieces["settee"].model
    long_rail, end_rail = model.part("lower_back"), model.part("end[1].lower")
    assert long_rail.box.lo[0] == end_rail.box.hi[0]
    assert long_rail.box.lo[1] == end_rail.box.hi[1]


def test_plant_stand_set_backs(pieces: dict[str, Checked]) -> None:
    """Upper rails 3/8 behind the post's face, lower rails 1/2; outer slats 6 apart from middle to middle."""
    model = pieces["plant-stand"].model
    post = model.part("left_front").box
    assert model.part("left_upper").box.lo[0] - post.lo[0] == Fraction(3, 8) * INCH
    assert model.part("left_lower").box.lo[0] - post.lo[0] == Fraction(1, 2) * INCH
    first, last = model.part("left_slat[1]").box, model.part("left_slat[3]").box
    assert (last.lo[1] + last.hi[1] - first.lo[1] - first.hi[1]) / 2 == 6 * INCH


def test_a_third_cushion_changes_the_long_rails_and_the_cleats_only(tmp_path: Path) -> None:
    """The book says that other lengths of seat need other long rails only; cleats lie between the same posts."""
    text = (PIECES / "settee.plan").read_text(encoding="utf-8").replace("set back_slats = 7", "set back_slats = 11")
    (tmp_path / "settee.plan").write_text(text, encoding="utf-8")
    wider = computed(check("settee.plan", DiskWorld(tmp_path)).model)
    before = computed(check("settee.plan", DiskWorld(PIECES)).model)
    changed = {name for name in before if wider[name][1] != before[name][1]}
    assert changed == {"Long rail", "Cleat"}
    assert wider["Slat"][0] == before["Slat"][0] + 4
