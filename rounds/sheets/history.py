"""All sheets of a colony, opened and read without taking note: one, some days, one subject's history."""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import groupby
from operator import attrgetter
from typing import Final, NamedTuple
from zlib import crc32

from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets import limits
from rounds.sheets.blocks import LargeReading, begins_with_an_entry, blocks, read_in_blocks
from rounds.sheets.disk import Disk, FileStatus, what_can_be_read, whole
from rounds.sheets.late import day_beside, late_lines
from rounds.sheets.parse import Lines, Reading, Sift, Trouble, judge, line_by_line, read_sheet, stripped
from rounds.sheets.watch import LAST, Mark, Watch, day_in, settled_time, shown

ID_OF: Final = attrgetter("id")
#: Days whose ids are remembered while all is read.
_DAYS_KNOWN: Final = 64


class Slice(NamedTuple):
    """The entries of one day's sheets out of a reading of many; how many sheets that is, of how many."""

    #: The day in the sheets' names; empty for copies without one.
    day: str
    entries: list[Entry]
    done: int
    of: int


class Part(NamedTuple):
    """One sheet out of a reading of all: its entries that were not handed out yet, and how far the reading is."""

    path: str
    entries: list[Entry]
    #: How many entries there were before they were sifted.
    many: int
    done: int
    of: int
    #: The lines of the sheet, when every one of them is good.
    lines: Lines | None
    #: How many bytes all sheets are together.
    size: int


class Shelf:
    """The sheets below one colony's folder."""

    def __init__(self, disk: Disk) -> None:
        self.disk = disk

    def paths(self) -> list[str]:
        """Every sheet there is, oldest day first."""
        return Watch(self.disk).changes()

    def opened(self, path: str) -> int:
        """An open handle on a sheet, to be closed on `disk`. Raises `OSError`."""
        return self.disk.open(path, os.O_RDONLY)

    def unread(self, path: str, mark: Mark | None = None) -> tuple[int, bytes, FileStatus]:
        """The bytes of a sheet behind its mark, where they begin, and its status.

        They begin at 0, whatever the mark says, unless the sheet has only grown since. Raises `OSError`.
        """
        handle = self.opened(path)
        try:
            status = self.disk.status_of(handle)
            if not stat.S_ISREG(status.st_mode):
                raise OSError(errno.EINVAL, "it is no file")
            if status.st_size > limits.AT_ONCE:
                raise OSError(errno.EFBIG, "it is far too large for a sheet")
            # One byte more than it was a moment ago: what another desk adds meanwhile is for the next look.
            content = what_can_be_read(self.disk, handle, 0, status.st_size + 1)
            if mark and len(content) >= mark.end > 0:
                already = memoryview(content)[: mark.end]
                if crc32(already) == mark.check:
                    return mark.end, content[mark.end :], status
            return 0, content, status
        finally:
            self.disk.close(handle)

    def ends_as(self, path: str, mark: Mark) -> bool:
        """Whether a sheet is as long as its mark says and ends with the same bytes: a look at its last check."""
        begin = max(0, mark.end - LAST)
        try:
            handle = self.opened(path)
        except OSError:
            return False
        try:
            last = whole(self.disk, handle, begin, mark.end - begin)
            return self.disk.status_of(handle).st_size == mark.size and crc32(last) == mark.last
        except OSError:
            return False
        finally:
            self.disk.close(handle)

    def is_as_marked(self, path: str, mark: Mark) -> bool:
        """Whether a sheet is, up to its mark, as it was when it was marked."""
        try:
            handle = self.opened(path)
        except OSError:
            return False
        try:
            check = done = 0
            while done < mark.end and (read := self.disk.read(handle, min(limits.BLOCK, mark.end - done), done)):
                check, done = crc32(read, check), done + len(read)
            return done == mark.end and check == mark.check
        except OSError:
            return False
        finally:
            self.disk.close(handle)

    def is_large(self, path: str) -> bool:
        """Whether a sheet is too large to be read at one go."""
        try:
            return self.disk.status(path).st_size > limits.AT_ONCE
        except OSError:
            return False

    def read_behind(self, path: str, mark: Mark | None, sift: Sift | None) -> tuple[Reading, Mark, bool]:
        """A sheet read behind its mark, its new mark, and whether it has only grown: else it was read whole.

        Raises `OSError`.
        """
        if self.is_large(path):
            goes_on = mark is not None and self.is_as_marked(path, mark)
            before = mark if goes_on else None
            large, status = self._read_large(path, before, sift)
            reading, check, last = large
            start, size = before.end if before else 0, status.st_size
        else:
            start, content, status = self.unread(path, mark)
            goes_on = mark is not None and start == mark.end
            before = mark if goes_on else None
            reading = read_sheet(shown(path), content, before.lines + 1 if before else 1, sift)
            behind, size = content[: reading.end], start + len(content)
            check, last = crc32(behind, before.check if before else 0), behind[-LAST:]
        found = Mark(
            status.st_ino,
            size,
            status.st_mtime_ns,
            start + reading.end,
            reading.lines,
            check,
            ctime_ns=settled_time(status),
            last=crc32(last) if before is None or len(last) == LAST else before.last,
        )
        return reading, found, goes_on

    def _read_large(
        self, path: str, mark: Mark | None = None, sift: Sift | None = None, *, thoroughly: bool = False
    ) -> tuple[LargeReading, FileStatus]:
        handle = self.opened(path)
        try:
            status = self.disk.status_of(handle)
            if not stat.S_ISREG(status.st_mode) or not begins_with_an_entry(self.disk, handle):
                raise OSError(errno.EFBIG, "it is far too large for a sheet and does not begin as one")
            before = mark or Mark(0, 0, 0)
            found = blocks(self.disk, handle, before.end, status.st_size)
            return read_in_blocks(
                shown(path), found, before.end, before.lines + 1, before.check, sift, thoroughly=thoroughly
            ), status
        finally:
            self.disk.close(handle)

    def lines_with(self, needle: bytes, path: str, start: int = 0) -> list[Entry]:
        """The good entries of a sheet, from a byte on, whose line holds the needle. Raises `OSError`."""
        if not self.is_large(path):
            return lines_with(needle, path, self.unread(path)[1][start:])
        handle = self.opened(path)
        try:
            stop = self.disk.status_of(handle).st_size
            found: list[Entry] = []
            pending: list[Entry] = []  # of a save so large that it goes on in the next block
            for block in blocks(self.disk, handle, start, stop):
                goes_on = not block.is_end and block.content.endswith(b"\n")
                pending += (_entries_with if goes_on else lines_with)(needle, path, block.content)
                if not goes_on:
                    found += pending
                    pending.clear()
            return found
        finally:
            self.disk.close(handle)

    def reading(self, path: str, *, thoroughly: bool = False) -> Reading:
        """A sheet read whole; `thoroughly` looks at each line even when nothing seems wrong."""
        try:
            if self.is_large(path):
                return self._read_large(path, thoroughly=thoroughly)[0].reading
            _, content, _ = self.unread(path)
        except OSError as error:
            return Reading([], [unreadable(path, error)], 0, 0)
        return (line_by_line if thoroughly else read_sheet)(shown(path), content)

    def by_day(self, only: str | None = None) -> Iterator[tuple[str, list[Entry]]]:
        """Entries by the day in the sheets' names ("" where a copy has none), of one day or of each."""
        for day, paths in groupby(self.paths(), day_in):
            if only is None or day == only:
                found = once(entry for path in paths for entry in self.reading(path).entries)
                if found:
                    yield day, found

    def each_day(self) -> Iterator[list[Entry]]:
        """Entries by day as `by_day` has them, each once however many days' sheets it stands on.

        Only those of which the id and the sheet name different days are remembered meanwhile.
        """
        elsewhere: set[str] = set()
        before: dict[str, frozenset[str]] = {}
        for day, entries in self.by_day():
            fresh: list[Entry] = []
            for entry in entries:
                home = (entry.written or entry.at).date().isoformat()
                if home != day:
                    if entry.id in elsewhere or entry.id in self._ids_before(home, day, before):
                        continue
                    elsewhere.add(entry.id)
                elif elsewhere and entry.id in elsewhere:
                    continue
                fresh.append(entry)
            yield fresh

    def _ids_before(self, home: str, day: str, known: dict[str, frozenset[str]]) -> frozenset[str]:
        """The ids on the sheets of a day, if these are read before those of another."""
        if day and home > day:
            return frozenset()
        if home not in known:
            if len(known) > _DAYS_KNOWN:
                known.clear()
            known[home] = frozenset(entry.id for _, entries in self.by_day(home) for entry in entries)
        return known[home]

    def of_days(self, first: date, last: date) -> list[Entry]:
        """Entries of the sheets of these days, and of copies that carry no day, each once."""
        first_day, last_day = first.isoformat(), last.isoformat()
        paths = [path for path in self.paths() if not (day := day_in(path)) or first_day <= day <= last_day]
        return once(entry for path in paths for entry in self.reading(path).entries)

    def newest_first(self, first: date | None = None, last: date | None = None) -> Iterator[Slice]:
        """All sheets, those of one day at a time, newest day first and copies without a day before them.

        Only what is needed for entries seen from `first` to `last`: no sheet from before, and of those from
        after only such as hold a late note of these days, or a correction.
        """
        paths = self.paths()
        late = late_lines(first, last)
        after = day_beside(last, 1).isoformat() if last is not None else "~"
        before = day_beside(first, -1).isoformat() if first is not None else ""
        undated = [path for path in paths if not day_in(path)]
        dated = [path for path in reversed(paths) if day_in(path) >= before and day_in(path)]
        done, of = 0, len(undated) + len(dated)
        for day, group in groupby([*undated, *dated], day_in):
            of_day = list(group)
            needed = of_day if day and day <= after else [path for path in of_day if self._holds(path, late)]
            done += len(of_day)
            yield Slice(
                day, once(entry for path in reversed(needed) for entry in self.reading(path).entries), done, of
            )

    def _holds(self, path: str, wanted: re.Pattern[bytes] | None) -> bool:
        if wanted is None or self.is_large(path):
            return True
        try:
            return wanted.search(self.unread(path)[1]) is not None
        except OSError:
            return False

    def about(self, subject: str) -> Iterator[Entry]:
        """Entries on a subject's page, each once, newest sheet first, each sheet from its end."""
        needle = b'"%s"' % subject.encode()
        seen: set[str] = set()
        for path in reversed(self.paths()):
            try:
                found = self.lines_with(needle, path)
            except OSError:
                continue
            for entry in reversed(found):
                if entry.id not in seen and subject in entry.subjects():
                    seen.add(entry.id)
                    yield entry

    def look_over(self) -> set[Trouble]:
        """All that is wrong with the sheets, each read line by line."""
        watch = Watch(self.disk)
        found: set[Trouble] = set()
        for path in watch.changes():
            reading = self.reading(path, thoroughly=True)
            found.update(reading.troubles)
            if reading.unfinished:
                found.add(reading.unfinished)
        return found.union(watch.troubles.values())


def once(entries: Iterable[Entry]) -> list[Entry]:
    """The entries in their order, each id once, the first of them."""
    every = list(entries)
    if len(set(map(ID_OF, every))) == len(every):
        return every
    first: dict[str, Entry] = {}
    for entry in every:
        first.setdefault(entry.id, entry)
    return list(first.values())


def unreadable(path: str, error: OSError) -> Trouble:
    """What to tell of a sheet that the disk does not give."""
    why = error.strerror or str(error)
    return Trouble(shown(path), 0, f"{shown(path)} cannot be read ({why}); its entries do not count now.")


def lines_with(needle: bytes, path: str, content: bytes) -> list[Entry]:
    """The good entries whose line holds the needle; only those lines are decoded."""
    if needle not in content:
        return []
    last = content.rstrip(b"\n").rpartition(b"\n")[2]
    if judge(stripped(last)).more != 0:  # a save is not finished: where it begins takes a closer look
        return [entry for entry in read_sheet(path, content).entries if needle in rows.line_of(entry)]
    return _entries_with(needle, path, content)


def _entries_with(needle: bytes, _path: str, content: bytes) -> list[Entry]:
    """The good entries whose line holds the needle, also those of a save that is not finished."""
    found: list[Entry] = []
    place = content.find(needle)
    while place >= 0:
        start = content.rfind(b"\n", 0, place) + 1
        stop = content.find(b"\n", place)
        stop = len(content) if stop < 0 else stop
        entry = judge(stripped(content[start:stop])).entry
        if entry is not None:
            found.append(entry)
        place = content.find(needle, stop)
    return found
