"""Sheets for the 500 published instances: total by class, bound, seconds of processor time.

    python tests/benchmarks/bench_cutting.py [--turn] [--work 2000,8000] [--classes 1,2,3] [--every 5]

Kerf 0. Every layout is checked by plandoc.cutting.verify; a fault ends the run. Beside the result stand the figures of
a general packing library (rectpack 0.2.2), recorded once: the best of 216 settings for each instance, layouts that
edge-to-edge cuts can separate only (432 settings where parts may turn); it took 0.34 s an instance.
--work takes several limits for the search and shows what each buys.
"""

from __future__ import annotations

import argparse
import time
from fractions import Fraction

from cutting_cases import instances

from plandoc.cutting.sheets import WORK, lay_out
from plandoc.cutting.stock import Part, Saw, Sheet
from plandoc.cutting.verify import faults_of

RECORDED = {
    False: (1009, 127, 731, 126, 920, 116, 851, 864, 2130, 520),
    True: (974, 124, 694, 124, 876, 115, 795, 794, 2119, 505),
}


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--turn", action="store_true")
    options.add_argument("--work", default=str(WORK))
    options.add_argument("--classes", default="1,2,3,4,5,6,7,8,9,10")
    options.add_argument("--every", type=int, default=1)
    args = options.parse_args()
    classes = [int(c) for c in args.classes.split(",")]
    for work in (int(w) for w in args.work.split(",")):
        table = {c: [0, 0, 0] for c in classes}
        seconds = dict.fromkeys(classes, 0.0)
        worst = 0.0
        number = 0
        for cls, n, j, side, items in list(instances(classes))[:: args.every]:
            parts = [Part(f"p{i}", Fraction(w), Fraction(h), turn=args.turn) for i, (w, h) in enumerate(items)]
            sheets = [Sheet("sheet", Fraction(side), Fraction(side))]
            start = time.process_time()
            made = lay_out(parts, sheets, Saw(), work=work)
            spent = time.process_time() - start
            faults = faults_of(made, parts, sheets, Saw())
            if faults or made.unplaced:
                raise SystemExit(f"class {cls}, n {n}, instance {j}: {faults}")
            row = table[cls]
            row[0] += int(made.bound)
            row[1] += len(made.sheets)
            row[2] += made.proved
            seconds[cls] += spent
            worst = max(worst, spent)
            number += 1
        print(f"work {work}, {'parts may turn' if args.turn else 'parts keep their direction'}, {number} instances")
        print("class  bound  sheets  recorded  proved  CPU s")
        for c in classes:
            recorded = RECORDED[args.turn][c - 1] if args.every == 1 else "-"
            print(f"{c:5} {table[c][0]:6} {table[c][1]:7} {recorded:>9} {table[c][2]:7} {seconds[c]:6.1f}")
        sums = [sum(row[i] for row in table.values()) for i in range(3)]
        recorded = sum(RECORDED[args.turn][c - 1] for c in classes) if args.every == 1 else "-"
        cpu = sum(seconds.values())
        print(f"  all {sums[0]:6} {sums[1]:7} {recorded:>9} {sums[2]:7} {cpu:6.1f}   mean {cpu / number:.3f} s, longest {worst:.2f} s", flush=True)


if __name__ == "__main__":
    main()
