"""A colony worked out from nothing, beside decoding the same lines; `rebuild` of measures.py runs it."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import msgspec

from rounds.cache.cache import Cache
from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.logbook.entries import AnyEntry
from rounds.sheets.store import Sheets
from tests.benchmarks.medians import medians


def main(colony: Path, cache: Path, repeats: int) -> None:
    """Print what was measured, the figure, its floor (both in µs a line) and the aim, parted by tabs.

    First as it is; last with the index of lines and the cache written, as at a first start.
    """
    paths = sorted(colony.glob("sheets/*/*.jsonl"), reverse=True)
    decoder = msgspec.json.Decoder(AnyEntry)
    lines = sum(path.read_bytes().count(b"\n") for path in paths)

    def decoding() -> float:
        begun = time.perf_counter()
        for path in paths:
            decoder.decode_lines(path.read_bytes())
        return (time.perf_counter() - begun) / lines * 1e6

    def reading(kept: Cache | None = None) -> float:
        desk = Desk(colony, load(colony), Sheets(colony, "reader"), cache=kept)
        begun = time.perf_counter()
        desk.read()
        if kept is not None:
            desk.keep()
        return (time.perf_counter() - begun) / lines * 1e6

    value, floor = medians(repeats, reading, decoding)
    print(f"rebuild from nothing, {lines:,} lines", value, floor, 3.0, sep="\t")
    print("the same with index and cache written", reading(Cache(colony, cache)), floor, 0, sep="\t")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
