"""`python -m tests.crashes --points 100000 --seed 1`: counts of crash points by story, and what was found wrong."""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.crashes.judge import Telling, lay_out
from tests.crashes.stories import STORIES

#: A file system in memory, where there is one.
MEMORY = Path("/dev/shm")
#: So many are enough to look at.
MOST_WRONG = 40


def main() -> int:
    """Cut the power until there are so many points; 1 if anything was wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.crashes", description=__doc__)
    parser.add_argument("--points", type=int, default=100_000, help="crash points in all (100000)")
    parser.add_argument("--seed", type=int, default=1, help="another seed tells and draws differently (1)")
    parser.add_argument("--disks", type=int, default=60, help="disks drawn an instant at most (60)")
    parser.add_argument("--story", help="only stories whose name holds this")
    parser.add_argument("--point", help="INSTANT.DISK of one story and seed: lay that disk out, and keep it")
    given = parser.parse_args()
    stories = [story for story in STORIES if not given.story or given.story in story.name]
    if not stories:
        parser.error(f"no such story; there are: {', '.join(story.name for story in STORIES)}")
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        root = Path(folder).resolve()
        if given.point:
            return _shown(Telling(stories[0], given.seed, root), given.point, given.disks)
        points: Counter[str] = Counter()
        instants: Counter[str] = Counter()
        told: Counter[str] = Counter()
        noted: Counter[str] = Counter()
        wrong = in_part = 0
        begun = time.monotonic()
        while points.total() < given.points:
            # The story of which there are fewest is told once more, by a seed of its own.
            story = min(stories, key=lambda one: points[one.name])
            seed = given.seed + told[story.name]
            told[story.name] += 1
            last = None
            for point in Telling(story, seed, root).points(given.disks):
                points[story.name] += 1
                in_part += point.in_part
                noted.update(entry.note for entry in point.noted)
                instants[story.name] += point.instant != last
                last = point.instant
                if point.wrong:
                    wrong += 1
                    print(f"{story.name}, seed {seed}, point {point.instant}.{point.number}: {point.wrong}")
                    if wrong >= MOST_WRONG:
                        return 1
        for name, many in points.items():
            print(f"{name}: {instants[name]} instants, {many} crash points, told {told[name]} times")
        took = time.monotonic() - begun
        print(f"in all: {instants.total()} instants, {points.total()} crash points, {wrong} wrong, {took:.0f} s")
        print(f"of a save under way some lines without the others, and reported: {in_part} of them")
        for what, many in noted.most_common(5):
            print(f"written down by a desk at its start, {many} times: {what}")
    return 1 if wrong else 0


def _shown(telling: Telling, wanted: str, disks: int) -> int:
    instant, number = map(int, wanted.split("."))
    for point in telling.points(disks):
        if (point.instant, point.number) == (instant, number):
            for place, event in enumerate(telling.recorder.events[: instant + 1]):
                print(place, str(event)[:200])
            kept = Path(tempfile.mkdtemp(prefix="found-"))
            lay_out(point.found, kept, telling.recorder)
            print(f"{point.wrong or 'nothing wrong'}; the disk lies in {kept}")
            return 1 if point.wrong else 0
    print("there is no such point")
    return 2


if __name__ == "__main__":
    sys.exit(main())
