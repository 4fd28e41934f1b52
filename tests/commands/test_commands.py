"""The command line: exit codes, streams, forms of output, and faults that a user can type."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from plandoc import __version__
from plandoc.commands.listing import WHAT
from plandoc.commands.main import COMMANDS, main
from plandoc.diagnostics.codes import CODES
from plandoc.publish.everylist import LISTS
from plandoc.vocabulary import all_kinds
from plandoc.words import word_data

EXAMPLES = Path(__file__).parents[2] / "examples"
SHELF = EXAMPLES / "bench-shelf" / "bench-shelf.plan"
CABINET = EXAMPLES / "eyepiece-cabinet" / "eyepiece-cabinet.plan"

WARNED = """plan "Rack"
stock ply sheet 48" x 96"
  measured 3/4"
part side from ply
  grain up
  across from 0
  back from 0 to 10"
  up from 0 to 30"
part shelf from ply
  grain across
  across from side.right to 20"
  back from 0 to 10"
  up from 12"
joint groove shelf into side deep 1/4"
"""
WRONG = WARNED.replace("up from 12\"", "up from side.tpo").replace("into side", "into sied")


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "rack.plan"
    path.write_text(WARNED, encoding="utf-8")
    return path


@pytest.fixture
def wrong(tmp_path: Path) -> Path:
    path = tmp_path / "wrong.plan"
    path.write_text(WRONG, encoding="utf-8")
    return path


Streams = pytest.CaptureFixture[str]


# Exit codes -----------------------------------------------------------------------------------------------------


def test_a_clean_plan(capsys: Streams) -> None:
    assert main(["check", str(SHELF), "--strict"]) == 0
    out, err = capsys.readouterr()
    assert out == "no errors, no warnings\n" and err == ""


def test_warnings_count_only_when_they_shall(plan: Path, capsys: Streams) -> None:
    assert main(["check", str(plan)]) == 0
    out, err = capsys.readouterr()
    assert out == "" and "rack.plan:14:1: warning PD402: this groove is a dado" in err and err.endswith("1 warning\n")
    assert main(["check", str(plan), "--strict"]) == 2


def test_errors_go_to_the_error_stream(wrong: Path, capsys: Streams) -> None:
    assert main(["check", str(wrong)]) == 1
    assert main(["check", str(wrong), "--strict"]) == 1
    out, err = capsys.readouterr()
    assert out == "" and "wrong.plan:13:16: error" in err and "wrong.plan:14:25: error" in err and "2 errors" in err


@pytest.mark.parametrize("command", [["check"], ["packet"], ["list", "parts"]])
def test_our_own_fault_is_told_as_ours(command: list[str], plan: Path, monkeypatch: pytest.MonkeyPatch, capsys: Streams) -> None:
    def broken(*args: object, **more: object) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr("plandoc.pipeline.run_checks", broken)
    assert main([command[0], str(plan), *command[1:]]) == 3
    out, err = capsys.readouterr()
    assert out == "" and "Traceback" not in err
    assert "internal error, not a fault of the plan: RuntimeError: a wheel came off" in err and "nothing was written" in err
    assert [p.name for p in plan.parent.iterdir()] == ["rack.plan"]


# JSON -----------------------------------------------------------------------------------------------------------


def test_diagnostics_as_json(wrong: Path, capsys: Streams) -> None:
    assert main(["check", str(wrong), "--json"]) == 1
    out, err = capsys.readouterr()
    assert err == ""
    data = json.loads(out)
    found = data["diagnostics"] if isinstance(data, dict) else data
    assert [(d["file"], d["line"], d["column"], d["severity"]) for d in found] == [("wrong.plan", 13, 16, "error"), ("wrong.plan", 14, 25, "error")]
    assert all(d["code"] in CODES and d["message"] for d in found)


def test_json_of_a_clean_plan(capsys: Streams) -> None:
    assert main(["check", str(SHELF), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["diagnostics"] if isinstance(data, dict) else data) == []


# Lists ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", WHAT)
def test_a_list_has_the_same_rows_in_all_forms(what: str, capsys: Streams) -> None:
    plan = str(EXAMPLES / "compass-box" / "compass-box.plan" if what == "templates" else SHELF)  # the shelf has no work by template
    assert main(["list", plan, what, "--csv"]) == 0
    table = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert main(["list", plan, what, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == table
    assert main(["list", plan, what]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 1 + len(table) and len(table) >= 1
    for line, row in zip(lines[1:], table, strict=True):
        for value in row.values():
            assert value in line


def test_the_command_has_every_list_of_the_packet() -> None:
    assert tuple(LISTS) == WHAT


def test_parts_of_the_shelf(capsys: Streams) -> None:
    assert main(["list", str(SHELF), "parts", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [(r["mark"], r["count"], r["length"], r["width"]) for r in rows] == [
        ("A", "2", "420 mm", "220 mm"),
        ("B", "1", "676.8 mm", "220 mm"),  # 700 - 2 x 17.6 + 2 x 6
        ("C", "1", "680.8 mm", "220 mm"),  # 700 - 2 x 17.6 + 2 x 8
        ("D", "1", "664.8 mm", "60 mm"),  # 700 - 2 x 17.6
    ]


def test_a_list_of_a_wrong_plan_is_no_list(wrong: Path, capsys: Streams) -> None:
    assert main(["list", str(wrong), "parts", "--json"]) == 1
    assert capsys.readouterr().out == ""


# Explanations, new plans ----------------------------------------------------------------------------------------


def test_every_code_is_explained(capsys: Streams) -> None:
    for code in CODES:
        assert main(["explain", code.lower()]) == 0
        out = capsys.readouterr().out
        assert out.startswith(f"{code} (") and len(out.split()) > 10
    assert main(["explain", "all"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(CODES)


def test_every_word_that_begins_a_line_is_explained(capsys: Streams) -> None:
    data = word_data(all_kinds())
    for word in sorted({*data["statements"], *(w for words in data["below"].values() for w in words)}):
        assert main(["explain", word]) == 0, word
        assert len(capsys.readouterr().out.splitlines()) > 2, word
    main(["explain", "trimmed"])
    told = capsys.readouterr().out
    assert told.startswith("trimmed: it begins a line below part\n\n`trimmed` cuts an end to what it meets") and "    trimmed top to seat\n" in told


def test_an_unknown_code(capsys: Streams) -> None:
    assert main(["explain", "PD999"]) == 1
    assert "there is no code and no kind 'PD999'" in capsys.readouterr().err


def test_a_new_plan_compiles(tmp_path: Path, capsys: Streams) -> None:
    assert main(["new", str(tmp_path / "wall shelf")]) == 0
    path = Path(capsys.readouterr().out.strip())
    assert path == tmp_path / "wall shelf" / "wall shelf.plan"
    assert main(["check", str(path), "--strict"]) == 0
    text = path.read_bytes()
    assert main(["new", str(tmp_path / "wall shelf")]) == 1  # a plan that is there is not written over
    assert path.read_bytes() == text


# Settings -------------------------------------------------------------------------------------------------------


def test_other_values_from_the_command_line(capsys: Streams) -> None:
    assert main(["list", str(SHELF), "parts", "--json", "--set", "wide=800 mm", "--set", "ply.measured = 18 mm"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [r["length"] for r in rows] == ["420 mm", "776 mm", "780 mm", "764 mm"]


@pytest.mark.parametrize("setting", ["wide", "=3", "witdh=700 mm", "wide=", "wide=700 mm +", "wide=45°", "ply.messured=3 mm", "wide=shelf.length", "wide=\"x", "wide=1/0", "wide=-5 mm", "\u0000=1", "wide=700 mm\nhigh=3 mm"])
def test_settings_that_cannot_be(setting: str, capsys: Streams) -> None:
    assert main(["check", str(SHELF), "--set", setting]) == 1
    out, err = capsys.readouterr()
    assert out == "" and len(err) > 20 and "internal" not in err and "Traceback" not in err


def test_an_unknown_setting_is_guessed(capsys: Streams) -> None:
    assert main(["check", str(SHELF), "--set", "wied=700 mm"]) == 1
    assert "wide" in capsys.readouterr().err


# Packets --------------------------------------------------------------------------------------------------------


def test_only_some_sheets(tmp_path: Path, capsys: Streams) -> None:
    assert main(["packet", str(SHELF), "-o", str(tmp_path / "out"), "--only", "elevations,parts-list"]) == 0
    assert sorted(p.name for p in (tmp_path / "out" / "sheets").iterdir()) == ["01-parts-list.svg", "02-elevations.svg"]
    assert capsys.readouterr().out == f"{tmp_path / 'out'}: 2 sheets, 22 files\n"


def test_unknown_sheets(tmp_path: Path, capsys: Streams) -> None:
    assert main(["packet", str(SHELF), "-o", str(tmp_path / "out"), "--only", "parts,cover"]) == 1
    err = capsys.readouterr().err
    assert "'parts'" in err and "parts-list" in err and not (tmp_path / "out").exists()


def test_the_packet_lies_beside_the_plan_unless_told_otherwise(tmp_path: Path) -> None:
    plan = Path(shutil.copy(SHELF, tmp_path))
    assert main(["packet", str(plan), "--only", "hardware"]) == 0
    assert (tmp_path / "bench-shelf-packet" / "model.json").is_file()


def test_the_target_is_a_file(tmp_path: Path, capsys: Streams) -> None:
    target = tmp_path / "out"
    target.write_text("mine", encoding="utf-8")
    assert main(["packet", str(SHELF), "-o", str(target), "--only", "hardware"]) == 1
    assert "cannot be written" in capsys.readouterr().err and target.read_text(encoding="utf-8") == "mine"


def test_without_cairo_all_but_the_pdf_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Streams) -> None:
    from plandoc.publish import fonts

    def missing() -> None:
        raise fonts.CairoMissing("no library called cairo")

    monkeypatch.setattr(fonts, "_load", missing)
    fonts.cairo.cache_clear()
    from plandoc.publish.pages import page_class

    page_class.cache_clear()
    try:
        assert main(["packet", str(SHELF), "-o", str(tmp_path / "out"), "--only", "parts-list"]) == 0
    finally:
        fonts.cairo.cache_clear()
    names = sorted(p.relative_to(tmp_path / "out").as_posix() for p in (tmp_path / "out").rglob("*") if p.is_file())
    kinds = ("buying", "cutting", "gluing", "hardware", "parts", "setups", "steps", "stock", "times")
    assert names == [*(f"lists/{kind}.{form}" for kind in kinds for form in ("csv", "json")), "model.json", "sheets/01-parts-list.svg"]
    assert "apt-get install libcairo2" in capsys.readouterr().err


# Whatever is typed ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "typed",
    [
        ["check", "nowhere.plan"],
        ["packet", "nowhere.plan"],
        ["list", "nowhere.plan", "parts"],
        ["check", "."],
        ["check", ""],
        ["check", "\u0000.plan"],
        ["check", "x" * 300],
        ["packet", str(SHELF), "-o", "/proc/none/out", "--only", "hardware"],
        ["packet", str(SHELF), "-o", "x" * 300, "--only", "hardware"],
        ["packet", str(SHELF), "-o", "out\u0000", "--only", "hardware"],
        ["packet", str(SHELF), "-o", "out", "--only", "nothing"],
        ["new", "/proc/none"],
        ["new", "\u0000"],
        ["new", "x" * 300],
        ["explain", ""],
        ["explain", "PD"],
    ],
    ids=lambda typed: " ".join(typed)[:40],
)
def test_faults_of_the_command_line(typed: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Streams) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(typed) == 1
    out, err = capsys.readouterr()
    assert out == "" and err.startswith(f"plandoc {typed[0]}: ") and "internal" not in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"", b"\x00" * 20, b"plan \"x\"\n" + b"(" * 5000, b"\xef\xbb\xbfplan \"x\"\r\n", b"plan \"" + b"a" * 200_000 + b"\"\n"], ids=["not utf-8", "empty", "zeros", "brackets", "mark", "long"])
def test_files_that_are_no_plans(data: bytes, tmp_path: Path, capsys: Streams) -> None:
    path = tmp_path / "odd.plan"
    path.write_bytes(data)
    assert main(["check", str(path)]) in (0, 1)
    out, err = capsys.readouterr()
    assert "internal" not in err and "Traceback" not in err and (out or err)


@pytest.mark.parametrize("typed", [[], ["draw"], ["check"], ["list", str(SHELF)], ["list", str(SHELF), "wood"], ["list", str(SHELF), "parts", "--csv", "--json"], ["check", str(SHELF), "--frob"], ["packet", str(SHELF), "-o"]])
def test_words_that_no_command_knows(typed: list[str], capsys: Streams) -> None:
    with pytest.raises(SystemExit) as end:
        main(typed)
    out, err = capsys.readouterr()
    assert end.value.code == 2 and out == "" and err.startswith("usage: plandoc")


def test_help_names_every_command(capsys: Streams) -> None:
    with pytest.raises(SystemExit) as end:
        main(["--help"])
    out = capsys.readouterr().out
    assert end.value.code == 0 and all(c.NAME in out and c.HELP in out for c in COMMANDS)


def test_the_version(capsys: Streams) -> None:
    with pytest.raises(SystemExit):
        main(["--version"])
    assert capsys.readouterr().out == f"plandoc {__version__}\n"


def test_as_a_program(tmp_path: Path) -> None:
    """The exit code reaches the shell, and a reader that goes away is no fault."""
    run = subprocess.run([sys.executable, "-m", "plandoc.commands.main", "check", "nowhere.plan"], cwd=tmp_path, capture_output=True, text=True)
    assert (run.returncode, run.stdout) == (1, "") and run.stderr == "plandoc check: there is no plan 'nowhere.plan'\n"
