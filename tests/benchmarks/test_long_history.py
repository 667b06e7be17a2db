"""The colony that is measured with is one that could have been written: every line good, the same each time."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rounds.sheets.store import Sheets
from rounds.standing.fold import fold
from tests.benchmarks.long_history import write

LAST = date(2026, 4, 11)


def test_every_line_is_good_and_each_entry_there_once(tmp_path: Path) -> None:
    entries, size = write(tmp_path / "colony", 30, 200, LAST)
    sheets = Sheets(tmp_path / "colony", "reader")
    read = sheets.read()
    assert sheets.troubles == []
    assert len(read) == len({entry.id for entry in read}) == entries
    assert size == sum(path.stat().st_size for path in tmp_path.rglob("*.jsonl"))
    assert {entry.kind for entry in read} >= {"fed", "weighed", "left", "corrected", "noted"}
    standing = fold(read)
    assert len(standing.places) == 30


def test_it_is_the_same_to_the_last_byte(tmp_path: Path) -> None:
    for name in ("one", "other"):
        write(tmp_path / name, 10, 40, LAST)
    one, other = (
        {path.name: path.read_bytes() for path in (tmp_path / name).rglob("*.jsonl")} for name in ("one", "other")
    )
    assert one == other
