"""A desk that starts again beside a harmed sheet of its own and a harmed journal: what either keeps is kept."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.harm import harmed
from tests.fuzzing.targets.lines import ENTRIES, sheet
from tests.sheets.memory_disk import File, MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, SECOND_DAY, entry

_NEW: Final = entry(99)


def prepared(_folder: Path) -> Taker:
    """Takes what a desk wrote, and what became of its sheet and of its journal."""
    return take


def take(content: bytes) -> None:
    """One story of a desk."""
    feed = Feed(content)
    is_sheet_harmed, is_journal_harmed = feed.number(3), feed.number(2) == 1
    day = SECOND_DAY if feed.is_one_in(3) else FIRST_DAY
    colony, journal = MemoryDisk(), MemoryDisk()
    _put(colony, "colony.toml", b'name = "Quandong shed"\n')
    saved: list[Entry] = []
    desk = Sheets(NOWHERE, "rack", colony, journal=journal)
    for _ in range(1 + feed.number(3)):
        one = feed.pick(ENTRIES)
        if one not in saved:
            saved += desk.append([one], FIRST_DAY)
    if feed.is_one_in(2):
        desk.close()
    for path in [path for path in colony.files if path.startswith("sheets/")]:
        if is_sheet_harmed == 1:
            _put(colony, path, harmed(colony.files[path].content, feed))
        elif is_sheet_harmed == 2:
            _put(colony, path, sheet(feed, most=6).content)
        elif is_sheet_harmed == 3:
            colony.remove(path)
    if is_journal_harmed:
        for path in list(journal.files):
            _put(journal, path, harmed(journal.files[path].content, feed))
    before = _read(colony)
    again = Sheets(NOWHERE, "rack", colony, journal=journal)
    try:
        again.look_after_own(day, back=True)
        again.append([_NEW], day)
    except NotSaved as error:
        raise AssertionError("the disk is sound") from error
    found = _read(colony)
    assert before.items() <= found.items(), "what stood there stands there"
    assert found[_NEW.id] == _NEW
    known = {one.id: one for one in [*saved, *before.values(), _NEW]}
    assert all(known.get(id) == one for id, one in found.items()), "nothing is made up"
    if not is_journal_harmed:
        assert {one.id for one in saved} <= found.keys(), "what was acknowledged stands there again"
    again.append([entry(98)], day)
    assert _read(colony).keys() == found.keys() | {entry(98).id}


def _put(disk: MemoryDisk, path: str, content: bytes) -> None:
    """Another file of that name, as a copier or a restore puts it there."""
    disk.ticks += 1
    file = disk.files[path] = File(disk._new_number())
    file.content = file.certain = content
    file.mtime = disk.ticks


def _read(disk: MemoryDisk) -> dict[str, Entry]:
    return {one.id: one for one in Sheets(NOWHERE, "reader", disk).read()}
