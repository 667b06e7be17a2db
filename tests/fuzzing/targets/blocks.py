"""A sheet read block by block, as one too large for one go is: it holds what a reading of the whole finds."""

from __future__ import annotations

from pathlib import Path
from zlib import crc32

from rounds.sheets import limits
from rounds.sheets.blocks import begins_with_an_entry, blocks, read_in_blocks
from rounds.sheets.history import once
from rounds.sheets.parse import read_sheet
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.lines import sheet
from tests.sheets.memory_disk import File, MemoryDisk


def prepared(_folder: Path) -> Taker:
    """Takes a sheet and how large a block is."""
    return take


def take(content: bytes) -> None:
    """One sheet."""
    feed = Feed(content)
    before, limits.BLOCK = limits.BLOCK, 200 + 40 * feed.byte()  # type: ignore[misc]
    try:
        _in_blocks(feed.number(65_535), sheet(feed).content)
    finally:
        limits.BLOCK = before  # type: ignore[misc]


def _in_blocks(cut: int, there: bytes) -> None:
    disk = MemoryDisk()
    disk.files["one"] = File(9)
    disk.files["one"].content = there
    handle = disk.open("one", 0)
    if not begins_with_an_entry(disk, handle):
        return
    whole = read_sheet("one", there)
    for thoroughly in (False, True):
        reading, check, last = read_in_blocks("one", blocks(disk, handle, 0, len(there)), thoroughly=thoroughly)
        assert reading.entries == whole.entries, "the same entries, in their order"
        assert check == crc32(there[: reading.end])
        assert there[: reading.end].endswith(last)
        assert reading.unfinished or not whole.unfinished, "a save that was not finished is told"
    ends = [place + 1 for place, byte in enumerate(there) if byte == 10]
    place = ends[cut % len(ends)]
    first, check, _ = read_in_blocks("one", blocks(disk, handle, 0, place))
    behind = blocks(disk, handle, first.end, len(there))
    second, check, _ = read_in_blocks("one", behind, first.end, first.lines + 1, check)
    assert once([*first.entries, *second.entries]) == once(whole.entries), "read in two goes it is the same"
    assert check == crc32(there[: first.end + second.end])
