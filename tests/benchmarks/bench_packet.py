"""How long a packet takes, against the least that drawing it can take.

    python tests/benchmarks/bench_packet.py [PLAN]

Floor: a process that starts Python, loads cairosvg and turns the very same SVG sheets into PDF pages one by one with
plain `cairosvg.svg2pdf`. Pages of templates and labels, which the packet draws too, are not in the floor. Printed: both times, their ratio, the largest memory of both, and the seconds of each pass.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

MAIN_EXAMPLE = Path(__file__).parents[2] / "examples" / "eyepiece-cabinet" / "eyepiece-cabinet.plan"

FLOOR = """
import sys
from pathlib import Path
import cairosvg
for sheet in sorted(Path(sys.argv[1]).glob("*.svg")):
    cairosvg.svg2pdf(bytestring=sheet.read_bytes())
"""

PASSES = """
import json, sys
from pathlib import Path
from plandoc.pipeline import Times, check, packet
from plandoc.world import DiskWorld
plan, times = Path(sys.argv[1]), Times()
packet(check(plan.name, DiskWorld(plan.parent), (), times), (), times)
print(json.dumps(times.seconds))
"""


def measured(command: list[str]) -> tuple[float, float]:
    """Wall seconds and largest resident memory (MiB) of a child process. Raises CalledProcessError."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise subprocess.CalledProcessError(child.returncode, command)
    unit = 1 if sys.platform == "darwin" else 1024  # bytes there, KiB elsewhere
    return seconds, usage.ru_maxrss * unit / 2**20


def main(argv: list[str]) -> int:
    plan = Path(argv[0]) if argv else MAIN_EXAMPLE
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "packet"
        seconds, memory = measured([sys.executable, "-m", "plandoc.commands.main", "packet", str(plan), "-o", str(out)])
        sheets = len(list((out / "sheets").glob("*.svg")))
        least, least_memory = measured([sys.executable, "-c", FLOOR, str(out / "sheets")])
    run = subprocess.run([sys.executable, "-c", PASSES, str(plan)], capture_output=True, text=True, check=True)
    print(f"{plan.name}: {sheets} sheets")
    print(f"  packet  {seconds:7.2f} s  {memory:6.0f} MiB")
    print(f"  floor   {least:7.2f} s  {least_memory:6.0f} MiB")
    print(f"  ratio   {seconds / least:7.2f}")
    print("  passes, in a process of their own:")
    for name, part in json.loads(run.stdout).items():
        print(f"    {name:<10}{part:7.2f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
