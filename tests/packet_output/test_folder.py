"""What a packet leaves alone: the last good packet when the plan has errors, and other people's files."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from plandoc.commands.main import main

EXAMPLE = Path(__file__).parents[2] / "examples" / "bench-shelf" / "bench-shelf.plan"


def contents(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder with the plan, and a packet of its lists beside it."""
    shutil.copy(EXAMPLE, tmp_path)
    assert main(["packet", str(tmp_path / EXAMPLE.name), "-o", str(tmp_path / "out"), "--only", "parts-list"]) == 0
    return tmp_path


def test_a_plan_with_an_error_leaves_the_last_packet(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = contents(home / "out")
    stamps = {p: p.stat().st_mtime_ns for p in (home / "out").rglob("*")}
    plan = home / EXAMPLE.name
    plan.write_text(plan.read_text(encoding="utf-8").replace("between left_side and right_side", "between left_side and rigth_side", 1), encoding="utf-8")
    assert main(["packet", str(plan), "-o", str(home / "out")]) == 1
    assert contents(home / "out") == before
    assert {p: p.stat().st_mtime_ns for p in (home / "out").rglob("*")} == stamps
    told = capsys.readouterr().err
    assert "nothing was written" in told and "right_side" in told


def test_a_plan_with_an_error_makes_no_folder(home: Path) -> None:
    plan = home / EXAMPLE.name
    plan.write_text("plan 7\n", encoding="utf-8")
    assert main(["packet", str(plan), "-o", str(home / "fresh")]) == 1
    assert sorted(p.name for p in home.iterdir()) == [EXAMPLE.name, "out"]


def test_files_of_others_survive_and_old_sheets_go(home: Path) -> None:
    out = home / "out"
    for name, text in (("notes.txt", "mine"), ("sheets/sketch.svg", "<svg/>"), ("lists/paint.csv", "a,b\n")):
        (out / name).write_text(text, encoding="utf-8")
    (out / "sheets" / "77-part-Z.svg").write_text("old", encoding="utf-8")
    assert main(["packet", str(home / EXAMPLE.name), "-o", str(out), "--only", "hardware"]) == 0
    found = contents(out)
    assert (found["notes.txt"], found["sheets/sketch.svg"], found["lists/paint.csv"]) == (b"mine", b"<svg/>", b"a,b\n")
    assert sorted(n for n in found if n.startswith("sheets/")) == ["sheets/01-hardware.svg", "sheets/sketch.svg"]
    assert sorted(p.name for p in home.iterdir()) == [EXAMPLE.name, "out"]  # nothing half-written is left


def test_a_fault_while_writing_leaves_the_last_packet(home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    before = contents(home / "out")
    real = Path.write_bytes

    def full(self: Path, data: bytes) -> int:
        if self.name == "packet.pdf":
            raise OSError(28, "No space left on device")
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    assert main(["packet", str(home / EXAMPLE.name), "-o", str(home / "out"), "--only", "hardware"]) == 1
    monkeypatch.undo()
    assert contents(home / "out") == before
    assert "No space left on device" in capsys.readouterr().err
    assert sorted(p.name for p in home.iterdir()) == [EXAMPLE.name, "out"]
