"""This user's own sheets as they lie in the colony, and how each stands to its record in the journal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import NamedTuple

from rounds.sheets.agreement import MOST_TORN, Agreement, agreement, begin_of_last_save
from rounds.sheets.disk import Disk, content_at
from rounds.sheets.journal import KEPT, Journal
from rounds.sheets.open_sheet import entries_at, entries_in
from rounds.sheets.watch import SHEETS, name_of, settled_time, sheet_path


class Found(NamedTuple):
    """The last part of a desk's sheet of a day, as it was found."""

    part: int
    path: str
    is_there: bool
    #: What it should hold; None when there is no record of it.
    record: bytes | None
    agreement: Agreement


class OwnSheets:
    """Looks at the sheets of this user's desks; writes nothing."""

    def __init__(self, disk: Disk, journal: Journal) -> None:
        self._disk = disk
        self._journal = journal
        #: What a day's sheet was known by when it was last found as its record has it.
        self._found_same: tuple[object, ...] | None = None

    def is_as_found(self, desk: str, day: date) -> bool:
        """Whether nothing has changed since the last part of this sheet was found as its record has it: a few
        looks at files and their folder, and nothing is read."""
        return self._found_same is not None and self._found_same == self._state(desk, day, self._found_same[2])

    def _state(self, desk: str, day: date, path: object) -> tuple[object, ...] | None:
        """By what it is known whether a sheet has changed, or another part come; None while that cannot be told."""
        found: list[object] = [desk, day, path]
        folder, _, _ = str(path).rpartition("/")
        for each in (folder, str(path)):
            try:
                status = self._disk.status(each)
            except OSError:
                return None
            if not settled_time(status):
                return None
            found.append((status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns))
        return (*found, self._journal.state(str(path)))

    def parts(self, desk: str, day: date) -> list[int]:
        """The parts of a desk's sheet of a day. Raises `OSError`."""
        folder = sheet_path(day, desk).rpartition("/")[0]
        names = [name_of(path) for path, _ in self._files_in(folder)]
        return sorted(name.part for name in names if name and name.day == day and name.desk == desk)

    def last_part(self, desk: str, day: date) -> Found:
        """The last part there is or was, and how it stands to its record. Raises `OSError`."""
        parts = set(self.parts(desk, day))
        known = {name.part for name in self._journal.sheets().values() if (name.day, name.desk) == (day, desk)}
        part = max(parts | known, default=1)
        path = sheet_path(day, desk, part)
        if not self._journal.is_kept:
            return Found(part, path, part in parts, None, Agreement.SAME)
        before = self._state(desk, day, path)
        record = self._journal.record(path)
        found = Found(part, path, part in parts, record, self.agreement(path, record or b""))
        self._found_same = before if found.agreement is Agreement.SAME else None
        return found

    def agreement(self, path: str, record: bytes) -> Agreement:
        """How a sheet stands to its record now."""
        if not record and self.is_gone(path):
            return Agreement.SAME
        return agreement(record, content_at(self._disk, path, len(record) + MOST_TORN))

    def is_only_damaged(self, path: str, record: bytes) -> bool:
        """Whether a sheet holds nothing of others, and of the last save at least a part: no older file, but damage.

        So it is also after a repair.
        """
        there = entries_at(self._disk, path)
        last = entries_in(record[begin_of_last_save(record) :])
        return not there.isdisjoint(last) and there <= entries_in(record)

    def recent(self, is_meant: Callable[[str], bool], today: date) -> Iterator[tuple[str, int]]:
        """The sheets, and their sizes, of desks of such names, of the days of which records are kept.

        Raises `OSError`.
        """
        since = date.fromordinal(max(today.toordinal() - KEPT.days, 1))
        for year in {today.year, since.year}:
            for path, size in self._files_in(f"{SHEETS}/{year:04d}"):
                name = name_of(path)
                if name and name.day >= since and is_meant(name.desk):
                    yield path, size

    def is_gone(self, path: str) -> bool:
        """Whether there is no such file."""
        try:
            self._disk.status(path)
        except OSError:
            return True
        return False

    def _files_in(self, folder: str) -> list[tuple[str, int]]:
        """Paths in a folder, each with its size in bytes."""
        try:
            return [(f"{folder}/{name}", status.st_size) for name, status in self._disk.list(folder)]
        except FileNotFoundError:
            return []
