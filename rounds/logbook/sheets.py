"""The sheets of one colony, read by everyone and written by one desk. docs/sheets.md tells the format."""

from __future__ import annotations

import errno
import os
import stat
import threading
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from rounds.errors import NotSaved
from rounds.logbook import rows
from rounds.logbook.disk import DISK, Disk, whole
from rounds.logbook.entries import Entry
from rounds.logbook.folder import DESK, Mark, Watch, day_in, shown
from rounds.logbook.reading import LARGEST, Reading, Trouble, read_sheet
from rounds.logbook.writing import Writer, reason

if TYPE_CHECKING:
    from rounds.logbook.database import Logbook

__all__ = ["NotSaved", "Sheets", "Trouble"]

_TAIL = 64


class Sheets:
    """The sheets of one colony: all are read, one desk's own sheet of the day is written.

    One desk, one `Sheets`, one process: whoever opens it to write has taken the desk's slot first.
    Safe to call from several threads.
    """

    def __init__(self, folder: Path, desk: str, disk: Disk = DISK) -> None:
        """Nothing is read or made yet. Raises `ValueError` for a desk name that cannot name a file."""
        if DESK.fullmatch(desk) is None:
            raise ValueError(f"{desk!r} cannot name a sheet: small letters, digits and hyphens, 80 at most")
        self.folder = folder
        self.desk = desk
        self._disk = disk
        self._root = os.path.realpath(folder)
        self._lock = threading.RLock()
        self._watch = Watch(disk, self._root)
        self._known: set[str] = set()
        self._inside: dict[str, list[Trouble]] = {}
        self._told: list[Trouble] = []
        self._missing: dict[str, int] = {}
        self._writer = Writer(disk, self._root, desk, self._told.append)
        self._logbook: Logbook | None = None

    # Writing

    def append(self, entries: Sequence[Entry], day: date) -> None:
        """Write entries in one save, all or nothing, on this desk's sheet of `day` (the room's date now).

        Returns once they are on disk. Raises `NotSaved` when they are not, with why and what to do: the same
        entries can then be given again. Raises `BadEntry` for an entry that would not read back.
        """
        if not entries:
            return
        with self._lock:
            for entry in entries:
                rows.checked(entry)
            try:
                self._database().day(day).insert_entries(entries)
            except OSError as error:
                raise NotSaved(f"Not saved: {_named(entries)}. Reason: {reason(error)}.") from error
            self._known.update(entry.id for entry in entries)
            self._mark_own(len(entries))

    def _database(self) -> Logbook:
        if self._logbook is None:
            # Late: the plain commands that only read pay nothing for TinyDB.
            from rounds.logbook.database import Logbook, SheetStorage

            self._logbook = Logbook(storage=SheetStorage, writer=self._writer, reader=self._for_database)
        return self._logbook

    def _mark_own(self, lines: int) -> None:
        """What this desk has written itself is no news."""
        path, sheet = self._writer.path, self._writer.sheet
        if sheet is None:
            return
        try:
            status = self._disk.status_of(sheet.handle)
        except OSError:
            return
        before = self._watch.marks.get(path)
        if before is not None and before.inode == status.st_ino:
            lines += before.lines
        last = sheet.saved[-1]
        self._watch.marks[path] = Mark(
            status.st_ino, status.st_size, status.st_mtime_ns, sheet.end, lines, last[-_TAIL:].hex()
        )

    def close(self) -> None:
        """Let go of the open sheet."""
        with self._lock:
            self._writer.close()

    # Reading

    def read(self) -> list[Entry]:
        """Every good entry of every sheet, each once, sheet by sheet. What is damaged is in `troubles`."""
        with self._lock:
            self._watch = Watch(self._disk, self._root)
            self._known = set()
            self._inside, self._missing = {}, {}
            entries: list[Entry] = []
            for path in self._watch.changes():
                entries += self._taken(path)
            return entries

    def news(self) -> list[Entry]:
        """Good entries that have appeared since the last `read`, `news` or `resume`, save this desk's own.

        Costs a few file looks when nothing has changed.
        """
        with self._lock:
            entries: list[Entry] = []
            for path in self._watch.changes():
                entries += self._taken(path)
            return entries

    @property
    def troubles(self) -> list[Trouble]:
        """What was found damaged or out of place, by sheet and line."""
        inside = [trouble for path in sorted(self._inside) for trouble in self._inside[path]]
        return sorted({*self._watch.troubles.values(), *inside, *self._told}, key=lambda one: one[:3])

    def _taken(self, path: str) -> list[Entry]:
        """The entries of a sheet that have not been handed out yet."""
        full = os.path.join(self._root, path)
        mark = self._watch.marks.get(path)
        try:
            handle = self._disk.open(full, os.O_RDONLY)
        except FileNotFoundError:
            return []
        except OSError as error:
            self._inside[path] = [_unreadable(path, error)]
            return []
        try:
            status = self._disk.status_of(handle)
            if not stat.S_ISREG(status.st_mode):
                raise OSError(errno.EINVAL, "no file")
            if status.st_size > LARGEST:
                raise OSError(errno.EFBIG, "far too large for a sheet")
            start, content = self._unread(handle, mark, status.st_ino, status.st_size)
        except OSError as error:
            self._inside[path] = [_unreadable(path, error)]
            return []
        finally:
            self._disk.close(handle)
        first_line = mark.lines + 1 if mark and start else 1
        reading = read_sheet(shown(path), content, first_line)
        self._note(path, reading, first_line)
        end = start + reading.end
        tail = content[max(0, reading.end - _TAIL) : reading.end]
        if start and reading.end < _TAIL and mark:
            tail = (bytes.fromhex(mark.tail) + tail)[-_TAIL:]
        size = start + len(content)
        self._watch.marks[path] = Mark(
            status.st_ino,
            status.st_size if size == status.st_size else size,
            status.st_mtime_ns,
            end,
            reading.lines,
            tail.hex(),
            bool(self._inside.get(path)),
        )
        return self._new_ones(path, reading.entries)

    def _unread(self, handle: int, mark: Mark | None, inode: int, size: int) -> tuple[int, bytes]:
        """Where to read on and the bytes from there: the whole file, unless it has only grown."""
        if mark and mark.end and mark.inode == inode and size >= mark.end and not mark.troubled:
            tail = bytes.fromhex(mark.tail)
            content = whole(self._disk, handle, mark.end - len(tail), LARGEST)
            if content.startswith(tail):
                return mark.end, content[len(tail) :]
        return 0, whole(self._disk, handle, 0, LARGEST)

    def _note(self, path: str, reading: Reading, first_line: int) -> None:
        found = list(reading.troubles)
        if reading.unfinished:
            found.append(reading.unfinished)
        before = [trouble for trouble in self._inside.get(path, []) if 0 < trouble.line < first_line]
        if before or found:
            self._inside[path] = before + found
        else:
            self._inside.pop(path, None)

    def _new_ones(self, path: str, entries: list[Entry]) -> list[Entry]:
        """Those that have not been handed out, each once."""
        known = self._known
        ids = {entry.id for entry in entries}
        if len(ids) == len(entries) and known.isdisjoint(ids):
            known |= ids
            return entries
        fresh: list[Entry] = []
        for entry in entries:
            if entry.id not in known:
                known.add(entry.id)
                fresh.append(entry)
        return fresh

    def _for_database(self, day: str | None) -> Iterator[tuple[str, list[Entry]]]:
        """The entries of the sheets of one day, or of each, for TinyDB's queries."""
        for path in Watch(self._disk, self._root).changes():
            if day is None or day_in(path) == day:
                yield day_in(path) or path, self._looked_up(path).entries

    def _looked_up(self, path: str) -> Reading:
        """A sheet read whole, without taking note of it."""
        try:
            handle = self._opened(path)
        except OSError as error:
            return Reading([], [_unreadable(path, error)], 0, 0)
        try:
            return read_sheet(shown(path), whole(self._disk, handle, 0, LARGEST))
        except OSError as error:
            return Reading([], [_unreadable(path, error)], 0, 0)
        finally:
            self._disk.close(handle)

    def _opened(self, path: str) -> int:
        """An open sheet, to read. Raises `OSError` when it is none."""
        handle = self._disk.open(os.path.join(self._root, path), os.O_RDONLY)
        try:
            status = self._disk.status_of(handle)
            if not stat.S_ISREG(status.st_mode):
                raise OSError(errno.EINVAL, "it is no file")
            if status.st_size > LARGEST:
                raise OSError(errno.EFBIG, "it is far too large for a sheet")
        except BaseException:
            self._disk.close(handle)
            raise
        return handle


def _named(entries: Sequence[Entry]) -> str:
    first = entries[0]
    others = f" and {len(entries) - 1} more" if len(entries) > 1 else ""
    return f"{first.about} {first.phrase()}{others}"


def _unreadable(path: str, error: OSError) -> Trouble:
    why = error.strerror or str(error)
    return Trouble(shown(path), 0, f"{shown(path)} cannot be read ({why}); its entries do not count now.")
