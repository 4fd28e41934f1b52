"""The same plan gives the same bytes: two processes, two hash seeds, two folders, two time zones and dates."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"


def digest(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.rglob("*")) if p.is_file()}


def build(plan: Path, out: Path, seed: str, day: str) -> dict[str, str]:
    """Build in a process of its own whose clock is moved to another day."""
    code = (
        "import sys, time, datetime\n"
        f"shift = {day}\n"
        "real = time.time\n"
        "time.time = lambda: real() + shift\n"
        "from plandoc.commands.main import main\n"
        "sys.exit(main(sys.argv[1:]))\n"
    )
    env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "UTC" if seed == "1" else "Asia/Tokyo"}
    run = subprocess.run([sys.executable, "-c", code, "packet", str(plan), "-o", str(out)], env=env, cwd=out.parent, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    return digest(out)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["bench-shelf", "eyepiece-cabinet"])
def test_same_bytes(name: str, tmp_path: Path) -> None:
    first_home, second_home = tmp_path / "one", tmp_path / "another folder"
    shutil.copytree(EXAMPLES / name, first_home / name)
    shutil.copytree(EXAMPLES / name, second_home / name)
    one = build(first_home / name / f"{name}.plan", first_home / "out", "1", "0")
    two = build(second_home / name / f"{name}.plan", second_home / "elsewhere", "77", "86400 * 40")
    assert one == two
    assert "packet.pdf" in one and "model.json" in one and "lists/parts.csv" in one
