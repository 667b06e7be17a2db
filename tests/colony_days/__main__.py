"""`python -m tests.colony_days --seed 1 --days 2`: four desks, every accident, one digest at the end."""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.colony_days.accidents import ACCIDENTS, USUAL
from tests.colony_days.days import Days, Told, Wrong

#: A file system in memory, where there is one.
MEMORY = Path("/dev/shm")


def main() -> int:
    """Let the days pass, once for each seed; 1 if a promise was not kept."""
    parser = argparse.ArgumentParser(prog="python -m tests.colony_days", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="another seed gives other days (1)")
    parser.add_argument("--seeds", type=int, default=1, help="so many seeds, one after the other (1)")
    parser.add_argument("--days", type=float, default=2, help="how many days (2)")
    parser.add_argument("--only", help=f"accidents, with commas between: {', '.join(ACCIDENTS)}")
    parser.add_argument("--without", help="accidents to be left out")
    parser.add_argument("--until", type=int, help="stop after this step, and print what happened up to it")
    parser.add_argument("--watch", default="", help="an entry's id: the log says where it stands, and when it goes")
    given = parser.parse_args()
    accidents = given.only.split(",") if given.only else [*USUAL]
    accidents = [name for name in accidents if name not in (given.without or "").split(",")]
    if strange := [name for name in accidents if name not in ACCIDENTS]:
        parser.error(f"no such accident: {', '.join(strange)}")
    failed = 0
    for seed in range(given.seed, given.seed + given.seeds):
        with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
            days = Days(Path(folder).resolve(), seed, accidents, given.watch)
            begun = time.monotonic()
            try:
                told = days.pass_by(given.days, given.until)
            except Exception as error:  # a fault of the program, or a promise not kept
                failed += 1
                if not isinstance(error, Wrong):
                    import traceback

                    traceback.print_exc()
                print("\n".join(days.log if given.watch else days.log[-30:]))
                print(f"seed {seed}, step {days.step}: {type(error).__name__}: {error}")
                print(f"again: python -m tests.colony_days --seed {seed} --days {given.days:g}")
                continue
            if given.until is not None or given.watch:
                print("\n".join(days.log))
            print(f"seed {seed}: {said(told)}; {time.monotonic() - begun:.0f} s")
    return 1 if failed else 0


def said(told: Told) -> str:
    """What the days came to, in a line."""
    counts = ", ".join(f"{name} {many}" for name, many in sorted(told.counts.items()))
    return (
        f"{told.acknowledged} entries acknowledged in {told.steps} steps; {counts}; nothing lost, nothing twice; "
        f"digest of the standing {told.digest}, of what happened {told.log}"
    )


if __name__ == "__main__":
    sys.exit(main())
