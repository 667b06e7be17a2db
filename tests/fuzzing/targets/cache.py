"""A start from a harmed cache: it knows what a reading of all sheets knows, each figure of it."""

from __future__ import annotations

from pathlib import Path

from rounds.cache.store import DATABASE
from tests.cache.test_cache import everything, opened
from tests.desks.laptops import Clock, colony, note, stop, weight
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.harm import harmed


def prepared(folder: Path) -> Taker:
    """Takes choices of harm to the cache of a small colony."""
    room, keep = colony(folder / "colony"), folder / "cache"
    early = Clock("2026-03-10 07:00")
    desk = opened(room, early, keep=None)
    for day in range(10, 12):
        early.set(f"2026-03-{day} 07:00")
        for number in range(6):
            desk.record(weight("wattle", 400 + number), note(f"note {number}"))
            early.forward(minutes=7)
        desk.record(stop("b3", f"2026-03-{day}"))
    desk.sheets.close()
    clock = Clock("2026-03-12 07:00")
    right = everything(opened(room, clock, keep=None))
    assert opened(room, clock, keep=keep).keep()
    (file,) = keep.glob(f"*/{DATABASE}")
    whole = file.read_bytes()

    def take(content: bytes) -> None:
        for left_behind in file.parent.glob(f"{DATABASE}-*"):
            left_behind.unlink()
        file.write_bytes(harmed(whole, Feed(content)))
        found = opened(room, clock, keep=keep)
        assert everything(found) == right
        found.sheets.close()

    return take
