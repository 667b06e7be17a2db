"""A colony worked out from nothing, beside decoding the same lines; `rebuild` of measures.py runs it."""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

import msgspec

from rounds.cache.cache import Cache
from rounds.cache.together import shares_for
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.logbook.entries import AnyEntry
from rounds.sheets.store import Sheets
from tests.benchmarks.medians import medians


def main(colony: Path, cache: Path, repeats: int) -> None:
    """Print what was measured, the figure, its floor (both in µs a line) and the aim, parted by tabs.

    By one process, and by as many as the program would take here; last with the index of lines and the cache
    written, as at a first start.
    """
    paths = sorted(colony.glob("sheets/*/*.jsonl"), reverse=True)
    decoder = msgspec.json.Decoder(AnyEntry)
    lines = sum(path.read_bytes().count(b"\n") for path in paths)

    def decoding() -> float:
        begun = time.perf_counter()
        for path in paths:
            decoder.decode_lines(path.read_bytes())
        return (time.perf_counter() - begun) / lines * 1e6

    def reading(processes: int, kept: Cache | None = None) -> float:
        desk = Desk(colony, load(colony), Sheets(colony, "reader"), cache=kept)
        begun = time.perf_counter()
        for _ in desk.reading(processes):
            pass
        if kept is not None:
            desk.keep()
        return (time.perf_counter() - begun) / lines * 1e6

    processes = shares_for(sum(path.stat().st_size for path in paths))
    counts = sorted({1, processes})
    *values, floor = medians(repeats, *(partial(reading, count) for count in counts), decoding)
    for count, value in zip(counts, values, strict=True):
        by = f"{count} process{'es' * (count > 1)}"
        print(f"rebuild from nothing, {lines:,} lines, {by}", value, floor, 3.0, sep="\t")
    value = reading(processes, Cache(colony, cache))
    print("the same with index and cache written", value, floor, 0, sep="\t")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
