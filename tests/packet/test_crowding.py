"""A sheet with too little room is told: which sheet, what runs into what, and what gives more room."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from plandoc.commands.main import main
from plandoc.diagnostics import Severity
from plandoc.model.entities import PlanInfo
from plandoc.packet.crowding import CODE, mend
from plandoc.pipeline import Packet, check, packet
from plandoc.quantity import Units
from plandoc.world import MemoryWorld

HOLES = 14


def inch(size: Fraction) -> str:
    whole, rest = divmod(size, 1)
    return " ".join([*([str(whole)] if whole else []), *([str(rest)] if rest else [])]) + '"'


def crowded_plan(paper: str) -> str:
    """A board 7 by 5 in with fourteen holes, each of a depth of its own, so that each has words of its own."""
    lines = [
        'plan "Drill index"', "  units inch to 1/64", f"  sheets {paper}", 'stock ply sheet 48" x 96"', '  called 3/4"',
        "part board from ply", '  across from 0 to 7"', '  back from 0 to 5"', "  up from 0",
    ]  # fmt: skip
    for n in range(HOLES):
        x, y = Fraction(5, 8) + Fraction(29 * n, 64), Fraction(5, 8) + Fraction(n * 37 % 59, 16)
        lines.append(f"  hole {inch(Fraction(4 + n % 5, 32))} on top at {inch(x)}, {inch(y)} deep {inch(Fraction(16 + n, 64))}")
    return "\n".join(lines) + "\n"


def made(paper: str) -> Packet:
    checked = check("index.plan", MemoryWorld({"index.plan": crowded_plan(paper)}))
    assert checked.good and not checked.diagnostics
    return packet(checked, ("part",))


def test_a_crowded_sheet_is_told_with_its_code_what_collides_and_a_mend() -> None:
    (warning,) = made("letter landscape").warnings
    assert warning.code == CODE and warning.severity is Severity.WARNING
    assert warning.message.startswith("sheet 4.1 is crowded (Part A: Board): ")
    assert crowded_plan("letter landscape")[warning.span.start : warning.span.end].startswith("board")
    assert "a table reaches out of the frame" in [note.text for note in warning.notes]
    assert warning.mend == "sheets tabloid landscape, or the work divided between two parts"


def test_the_mend_mends() -> None:
    assert made("tabloid landscape").warnings == ()


@pytest.mark.parametrize(
    ("info", "words"),
    [
        (PlanInfo("T", paper="A4", orientation="portrait", units=Units("mm", Fraction(1, 2))), "sheets A3 portrait, or the work divided between two parts"),
        (PlanInfo("T", paper="A3"), "the work divided between two parts"),
        (PlanInfo("T", paper="A3", units=Units("inch", Fraction(1, 32), Units("mm", Fraction(1)))), "one unit only, or the work divided between two parts"),
        (PlanInfo("T", paper="tabloid", style="large-print"), 'style "shop-inch", or the work divided between two parts'),
    ],
)
def test_the_mend_names_what_the_plan_can_change(info: PlanInfo, words: str) -> None:
    assert mend(info) == words


def test_the_command_says_it_and_still_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = tmp_path / "index.plan"
    plan.write_text(crowded_plan("letter landscape"), encoding="utf-8")
    assert main(["packet", str(plan), "--only", "part", "--out", str(tmp_path / "out")]) == 0
    told = capsys.readouterr().err
    assert f"index.plan:6:6: warning {CODE}: sheet 4.1 is crowded" in told and "mend: sheets tabloid landscape" in told
    assert (tmp_path / "out" / "packet.pdf").is_file()


def test_cover_and_title_block_have_room_for_large_print() -> None:
    plan = crowded_plan("A3 landscape").split("  hole")[0].replace("  units", '  author "Beginners\' class"\n  style "large-print"\n  units')
    checked = check("index.plan", MemoryWorld({"index.plan": plan}))
    assert checked.good
    told = [note.text for w in packet(checked, ("cover", "part")).warnings for note in w.notes]
    assert [t for t in told if "title block" in t or "DRAWN BY" in t] == []
