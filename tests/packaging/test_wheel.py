"""The wheel, installed elsewhere, compiles an example from another folder."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run([sys.executable, "-m", "build", "--wheel", "--outdir", str(out), str(ROOT)], check=True, capture_output=True)
    return next(out.glob("*.whl"))


@pytest.mark.slow
def test_wheel_holds_grammar_styles_and_library(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for kind in ("grammar", "styles"):
        held = {Path(n).name for n in names if n.startswith(f"plandoc/_data/{kind}/")}
        assert held == {p.name for p in (ROOT / kind).iterdir() if p.is_file()}
    library = ROOT / "plandoc" / "library"
    assert {f"plandoc/library/{p.relative_to(library).as_posix()}" for p in library.rglob("*") if p.is_file()} <= set(names)
    assert "plandoc/publish/model.schema.json" in names
    assert not [n for n in names if n.startswith(("tests/", "examples/"))]


@pytest.mark.slow
def test_wheel_works_elsewhere(wheel: Path, tmp_path: Path) -> None:
    # The libraries come from this environment: only the program itself is installed anew.
    home = tmp_path / "env"
    clean = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}  # a checkout on that path would come first
    venv.create(home, with_pip=True)
    python = home / "bin" / "python"
    subprocess.run([str(python), "-m", "pip", "install", "-q", "--no-deps", "--no-index", str(wheel)], check=True, capture_output=True)
    site = next(Path(p) for p in sys.path if p.endswith("site-packages"))
    inner = next((home / "lib").glob("python*/site-packages"))
    # A plain path entry: the editable install of this checkout must not come along.
    (inner / "libraries.pth").write_text(f"{site}\n")
    plan = tmp_path / "bench-shelf.plan"
    plan.write_text((ROOT / "examples/bench-shelf/bench-shelf.plan").read_text(encoding="utf-8"), encoding="utf-8")
    where = subprocess.run([str(python), "-c", "import plandoc; print(plandoc.__file__)"], cwd=tmp_path, env=clean, check=True, capture_output=True, text=True).stdout
    assert str(inner) in where
    run = subprocess.run([str(home / "bin" / "plandoc"), "packet", str(plan), "-o", str(tmp_path / "out")], cwd=tmp_path, env=clean, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert (tmp_path / "out" / "packet.pdf").read_bytes().startswith(b"%PDF")
    assert list((tmp_path / "out" / "sheets").glob("*.svg"))
