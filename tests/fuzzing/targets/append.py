"""A desk that goes on with its own sheet, whatever it ends in: what counts is not cut, the new entry counts."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.sheets.store import Sheets
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.lines import sheet
from tests.sheets.memory_disk import File, MemoryDisk
from tests.sheets.saves import NOWHERE, entry

_PATH: Final = "sheets/2026/2026-03-10.rack.jsonl"
_NEW: Final = entry(99)


def prepared(_folder: Path) -> Taker:
    """Takes a sheet of a desk."""
    return take


def take(content: bytes) -> None:
    """One sheet."""
    there = sheet(Feed(content), most=8).content
    disk = disk_with(_PATH, there)
    before = _read(disk)
    desk = Sheets(NOWHERE, "rack", disk)
    desk.append([_NEW], _NEW.at.date())
    desk.close()
    assert _read(disk) == before | {_NEW.id}, "all that counted counts, and the new entry"
    kept = disk.files[_PATH].content
    for path, file in disk.files.items():
        if "/aside/" in path and there.endswith(file.content):
            there = there.removesuffix(file.content)
    assert kept.startswith(there), "what was cut off is kept aside"


def disk_with(path: str, content: bytes) -> MemoryDisk:
    """A disk with one sheet."""
    disk = MemoryDisk()
    disk.folders.update({"sheets": 1, "sheets/2026": 1})
    disk.files[path] = File(50)
    disk.files[path].content = disk.files[path].certain = content
    return disk


def _read(disk: MemoryDisk) -> set[str]:
    return {one.id for one in Sheets(NOWHERE, "reader", disk).read()}
