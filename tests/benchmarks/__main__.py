"""`python -m tests.benchmarks [--quick] [--long DIR]`: the table of docs/performance.md, measured here and now.

Each figure stands beside its floor in the same run; only the ratios travel to another machine. `--long DIR` takes
a colony that `python -m tests.benchmarks.long_history DIR --animals 2000 --years 10` has written; some hundred
entries are written into it.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks import measures, pedigrees
from tests.benchmarks.measures import Figure


def figures(quick: bool, long: Path | None) -> Iterator[Figure]:
    """Measure, one after another."""
    repeats = 3 if quick else 11
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        colony = measures.demo(home, measures.environment(home))
        yield measures.start_up(colony, home, repeats, "demo", 1.25)
        yield measures.peak_memory(colony, home, "demo")
        yield measures.plain_today(colony, home, repeats)
        yield measures.key_to_repaint(colony, home, 20 if quick else 60, "demo")
        yield measures.key_to_repaint(colony, home, 20 if quick else 60, "demo, room beside it", (120, 40))
        yield measures.view_opened(colony, home, 5 if quick else 11, "s", "season, ", "the season, demo")
        yield measures.view_opened(colony, home, 5 if quick else 11, "r", "the room", "the room, demo")
        yield from measures.text_typed(colony, home, 24 if quick else 80, "demo")
        yield measures.key_to_disk(colony, home, 100 if quick else 500, "demo")
        for animals in (200,) if quick else (200, 2_000, 20_000):
            yield measures.reckoning(animals)
        for clutches in (20,) if quick else (20, 500):
            yield measures.hatching(clutches)
        yield from pedigrees.kinship()
        yield from measures.rebuild(colony, home, 3)
        if long is not None:
            yield measures.start_up(long, home, repeats, "2,000 animals × 10 years, cache warm", 1.3)
            yield measures.peak_memory(long, home, "2,000 animals × 10 years, cache warm")
            yield measures.key_to_repaint(long, home, 20 if quick else 60, "after ten years")
            yield measures.key_to_disk(long, home, 100 if quick else 500, "after ten years")
            yield from measures.history(long, home)
            yield from measures.rebuild(long, home, 1)


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="few repeats")
    parser.add_argument("--long", type=Path, help="a colony written by tests.benchmarks.long_history")
    options = parser.parse_args()
    print(f"| {'what':58} | {'figure':>18} | {'floor':>18} | ratio |  aim  |")
    print(f"|{'-' * 60}|{'-' * 20}|{'-' * 20}|-------|-------|")
    for one in figures(options.quick, options.long):
        aim = f"≤ {one.aim:g}" if one.aim else "said"
        value, floor = f"{one.value:.2f} {one.unit}", f"{one.floor:.2f} {one.unit}"
        print(f"| {one.what:58} | {value:>18} | {floor:>18} | {one.ratio:5.2f} | {aim:>5} |", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
