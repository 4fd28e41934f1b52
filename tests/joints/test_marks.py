"""Part marks: identical parts share one, mirror images do not; and what makes parts alike."""

from __future__ import annotations

import pytest

from plandoc.model.marks import mark_text
from tests.support.resolving import resolved, sound

BOARD = "part {name} from ply\n  grain across\n  across from {at} mm for 200 mm\n  back from 0 to 100 mm\n  up from 0\n"


def marks(*works: str) -> list[str]:
    """Marks of boards 200 x 100 that differ only by their work."""
    text = "".join(BOARD.format(name=f"b{i}", at=i * 300) + work for i, work in enumerate(works))
    return [p.mark for p in sound(text).model.parts]


def hole(at: str) -> str:
    return f"  hole 5 mm deep 10 mm on top at {at}\n"


def test_same_size_and_work_share_a_mark() -> None:
    assert marks("", "") == ["A", "A"]
    assert marks(hole("20 mm, 30 mm"), hole("20 mm, 30 mm")) == ["A", "A"]
    assert marks("", hole("20 mm, 30 mm")) == ["A", "B"]


def test_a_part_turned_in_the_hand_is_the_same() -> None:
    """Half a turn on the bench: from the left front corner to the right rear one."""
    assert marks(hole("20 mm, 30 mm"), hole("180 mm, 70 mm")) == ["A", "A"]
    # Through holes: turned over as well.
    assert marks("  hole 5 mm through on top at 20 mm, 30 mm\n", "  hole 5 mm through on top at 180 mm, 30 mm\n") == ["A", "A"]


def test_mirror_images_have_marks_of_their_own() -> None:
    assert marks(hole("20 mm, 30 mm"), hole("180 mm, 30 mm")) == ["A", "B"]


def test_mirrored_part_without_a_hand_is_the_same_part() -> None:
    text = BOARD.format(name="a", at=0) + "part b mirrors a about 250 mm\n"
    assert [p.mark for p in sound(text).model.parts] == ["A", "A"]
    text = BOARD.format(name="a", at=0) + hole("20 mm, 30 mm") + "part b mirrors a about 250 mm\n"
    assert [p.mark for p in sound(text).model.parts] == ["A", "B"]
    # In the middle line the image falls on the part itself.
    text = BOARD.format(name="a", at=0) + hole("20 mm, 50 mm") + "part b mirrors a about 250 mm\n"
    assert [p.mark for p in sound(text).model.parts] == ["A", "A"]


def test_stock_and_size_make_a_difference() -> None:
    text = "part a from ply\n  size 90 mm x 40 mm\npart b from thin\n  size 90 mm x 40 mm\npart c from ply\n  size 91 mm x 40 mm\npart d from ply\n  size 40 mm x 90 mm\n"
    assert [p.mark for p in sound(text).model.parts] == ["A", "B", "C", "D"]


def test_the_direction_in_the_piece_makes_no_difference() -> None:
    """The same board standing up, with the grain along its length, is the same on the bench."""
    standing = "part b from ply\n  grain up\n  across from 600 mm\n  back from 0 to 100 mm\n  up from 0 to 200 mm\n"
    assert [p.mark for p in sound(BOARD.format(name="a", at=0) + standing).model.parts] == ["A", "A"]


@pytest.mark.parametrize(("number", "text"), [(0, "A"), (7, "H"), (8, "J"), (12, "N"), (13, "P"), (22, "Z"), (23, "AA"), (24, "AB"), (23 + 23 * 23, "AAA")])
def test_letters(number: int, text: str) -> None:
    """23 letters: I, O and Q are left out."""
    assert mark_text(number) == text


PANEL = """plan "Trial"
  units mm to 0.1
stock oak lumber 25 mm
  dressed 20 mm
part a from oak
  grain across
  across from 0 mm for 200 mm
  back from 0 to 90 mm
  up from 0
  glued from boards {first}
{work}
part b from oak
  grain across
  across from 300 mm for 200 mm
  back from 0 to 90 mm
  up from 0
  glued from boards {second}
{other}
"""


@pytest.mark.parametrize(
    ("first", "second", "work", "other", "same"),
    [
        # without work a panel is turned round: 20, 30, 40 from the one edge are 40, 30, 20 from the other
        ("20 mm, 30 mm, 40 mm", "40 mm, 30 mm, 20 mm", "", "", True),
        ("20 mm, 30 mm, 40 mm", "30 mm, 20 mm, 40 mm", "", "", False),
        # a blind hole 10 from the front, in the narrow board of the one and the wide one of the other
        ("20 mm, 30 mm, 40 mm", "40 mm, 30 mm, 20 mm", "20 mm, 10 mm", "20 mm, 10 mm", False),
        ("20 mm, 30 mm, 40 mm", "20 mm, 30 mm, 40 mm", "20 mm, 10 mm", "20 mm, 10 mm", True),
        # half a turn on the bench carries boards and hole alike
        ("20 mm, 30 mm, 40 mm", "40 mm, 30 mm, 20 mm", "20 mm, 10 mm", "180 mm, 80 mm", True),
        ("20 mm, 30 mm, 40 mm", "20 mm, 30 mm, 40 mm", "20 mm, 10 mm", "180 mm, 80 mm", False),
    ],
)
def test_boards_of_a_panel_turn_with_its_work(first: str, second: str, work: str, other: str, same: bool) -> None:
    holes = [f"  hole 5 mm deep 10 mm on top at {at}" if at else "" for at in (work, other)]
    outcome = resolved(PANEL.format(first=first, second=second, work=holes[0], other=holes[1]))
    assert not [c for c in outcome.codes if c < "PD400"], outcome.report
    assert [p.mark for p in outcome.model.parts] == (["A", "A"] if same else ["A", "B"])
