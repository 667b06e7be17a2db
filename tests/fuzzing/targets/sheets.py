"""Reading sheets: whatever stands in them nothing is made up, no sound line is lost, and both readers agree."""

from __future__ import annotations

from pathlib import Path

from rounds.logbook import rows
from rounds.sheets.history import once
from rounds.sheets.parse import judge, line_by_line, read_sheet, stripped
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.lines import Sheet, sheet


def prepared(_folder: Path) -> Taker:
    """Takes a sheet: of any bytes, or built."""
    return take


def take(content: bytes) -> None:
    """One sheet."""
    feed = Feed(content)
    if feed.is_one_in(4):
        _any_bytes(feed.rest())
        return
    cut = feed.number(65_535)
    built = sheet(feed)
    _any_bytes(built.content)
    _what_was_written_counts(built)
    _in_two_readings(built.content, cut)


def _any_bytes(content: bytes) -> None:
    reading, slow = read_sheet("sheet", content), line_by_line("sheet", content)
    assert reading.entries == slow.entries, "looking closer finds the same entries"
    assert (reading.end, reading.lines) == (slow.end, slow.lines)
    assert 0 <= reading.end <= len(content)
    sound = [judge(stripped(line)).entry for line in content.split(b"\n")]
    left = iter(sound)
    assert all(one in left for one in reading.entries), "each entry is that of a sound line, in their order"
    for one in reading.entries:
        assert rows.entry_of(rows.line_of(one)) == one, "and is written as it was read"
    for trouble in slow.troubles:
        assert trouble.what.isprintable()
        assert 0 <= trouble.line <= content.count(b"\n") + 1
    last = 0
    for start, stop in slow.bad:
        assert last <= start < stop <= len(content)
        last = stop


def _what_was_written_counts(built: Sheet) -> None:
    """Every line as a desk wrote it counts, but for a save at the end that has not ended."""
    whole = [line for place, line in enumerate(built.lines) if place < built.content.count(b"\n")]
    ended = max((place for place, line in enumerate(whole) if line.entry and not line.more), default=-1)
    wanted = [line.entry for line in whole[: ended + 1] if line.entry is not None]
    found = list(read_sheet("sheet", built.content).entries)
    for entry in wanted:
        assert entry in found, "a sound line counts whatever stands around it"
        found.remove(entry)


def _in_two_readings(content: bytes, cut: int) -> None:
    """A sheet read while it grows gives what it gives when it is read at once."""
    ends = [place + 1 for place, byte in enumerate(content) if byte == 10]
    if not ends:
        return
    place = ends[cut % len(ends)]
    first = read_sheet("sheet", content[:place])
    second = read_sheet("sheet", content[first.end :], first.lines + 1)
    whole = read_sheet("sheet", content)
    # What stands behind `end` is read again, and an entry that comes twice counts once.
    assert once([*first.entries, *second.entries]) == once(whole.entries), "read in two goes it is the same"
    assert first.end + second.end == whole.end
    assert second.lines == whole.lines
