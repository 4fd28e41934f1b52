"""How reading and resolving a plan grows with its size: a case with n shelves.

    python tests/benchmarks/bench_parts.py [LARGEST]

Printed for n = 10, 20, 40, ... up to LARGEST (320): parts, joints, the best of three runs for reading and for
resolving, and how many times longer the two take together than for half as many shelves; 2 is in proportion.
"""

from __future__ import annotations

import sys

from plandoc.pipeline import Times, check
from plandoc.world import MemoryWorld

PLAN = """plan "Tall case"
stock ply sheet 48" x 96"
  measured 3/4"
part left_side from ply
  grain up
  across from 0
  back from 0 to 10"
  up from 0 to {count} * 6" + 6"
part right_side mirrors left_side about 12"
"""
SHELF = """part shelf{i} from ply "Shelf {i}"
  grain across
  across between left_side and right_side
  back from 0 to 10"
  up from {i} * 6"
joint dado shelf{i} into left_side, right_side deep 1/4"
"""
RUNS = 3


def plan_of(count: int) -> str:
    return PLAN.format(count=count) + "".join(SHELF.format(i=i) for i in range(1, count + 1))


def timed(count: int) -> tuple[int, int, float, float]:
    """Parts, joints, seconds to read and to resolve, best of some runs."""
    text = plan_of(count)
    best: list[tuple[float, float]] = []
    for _ in range(RUNS):
        times = Times()
        checked = check("case.plan", MemoryWorld({"case.plan": text}), (), times)
        if not checked.good:
            raise SystemExit(f"the plan of {count} shelves has errors: {checked.diagnostics[0].message}")
        best.append((times.seconds["parse"], times.seconds["resolve"]))
    model = checked.model
    return len(model.parts), len(model.joints), min(p for p, _ in best), min(r for _, r in best)


def main(argv: list[str]) -> int:
    largest = int(argv[0]) if argv else 320
    timed(2)  # loads the grammar
    print(f"{'shelves':>8}{'parts':>8}{'joints':>8}{'read':>10}{'resolve':>10}{'times':>8}")
    count, before = 10, 0.0
    while count <= largest:
        parts, joints, read, resolved = timed(count)
        growth = f"{(read + resolved) / before:8.2f}" if before else f"{'':>8}"
        print(f"{count:>8}{parts:>8}{joints:>8}{read:>9.3f}s{resolved:>9.3f}s{growth}")
        before = read + resolved
        count *= 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
