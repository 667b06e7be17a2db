"""Names of files: one that is a sheet's is what that sheet is called; any other is a copy that can be printed."""

from __future__ import annotations

import os
from pathlib import Path

from rounds.sheets.watch import day_in, in_turn, name_of, sheet_path, shown
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker


def prepared(_folder: Path) -> Taker:
    """Takes a path below the colony."""
    return take


def take(content: bytes) -> None:
    """One path."""
    feed = Feed(content)
    how = feed.number(2)
    if how == 0:
        path = os.fsdecode(feed.rest())
    else:
        year = "2026" if how == 1 else str(feed.number(9_999)).zfill(4)
        day = f"{year}-{feed.number(13):02}-{feed.number(32):02}"
        part = feed.pick(("", ".2", f".{feed.number(1_000_001)}", ".0", ".02", " (copy)", ".mending"))
        path = f"sheets/{year}/{day}.{feed.pick(('rack', 'rack-2', '-', 'R', 'r' * 81))}{part}.jsonl"
        path += os.fsdecode(feed.rest())
    named = name_of(path)
    if named is not None:
        assert sheet_path(*named) == path
        assert day_in(path) == named.day.isoformat()
    assert shown(path).isprintable()
    in_turn(path)
