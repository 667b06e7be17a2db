"""The sheets of one colony, read by everyone and written by one desk. docs/sheets.md tells the format."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zlib import crc32

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.freshness import Freshness
from rounds.sheets.history import ID_OF, Double, Part, Shelf, Slice, told_twice, unreadable
from rounds.sheets.identity import Identity, Unlocked
from rounds.sheets.journal import Journal
from rounds.sheets.parse import Reading, Sift, Trouble, read_sheet
from rounds.sheets.positions import SheetLines
from rounds.sheets.rescue import Rescue
from rounds.sheets.save import Save, not_saved, not_written_again
from rounds.sheets.watch import DESK, Mark, Watch, day_in, marks_of, shown
from rounds.sheets.writer import Writer

if TYPE_CHECKING:
    from rounds.sheets.database import Logbook

__all__ = ["NotSaved", "Sheets", "Trouble"]


class Sheets:
    """The sheets of one colony: all are read, and one desk's own sheet of the day is written.

    One desk, one `Sheets`, one process: whoever opens it to write holds the desk's writer lock.
    Safe to call from several threads.
    """

    def __init__(
        self,
        folder: Path,
        desk: str,
        disk: Disk | None = None,
        *,
        journal: Disk | None = None,
        identity: Identity | None = None,
    ) -> None:
        """Nothing is read or made yet. Raises `ValueError` for a desk name that cannot name a file.

        `journal` is where the records of what this user's desks wrote lie; `identity` gives the desk another
        name when somebody else turns out to write under this one.
        """
        if DESK.fullmatch(desk) is None:
            raise ValueError(f"{desk!r} cannot name a sheet: small letters, digits and hyphens, 80 at most")
        self.folder = folder
        self._disk = disk or Disk(os.path.realpath(folder))
        self._lock = threading.RLock()
        self._shelf = Shelf(self._disk)
        self._watch = Watch(self._disk)
        self._known: set[str] = set()
        self._inside: dict[str, list[Trouble]] = {}
        self._found_writing: list[Trouble] = []
        self._writer = Writer(
            self._disk,
            desk,
            self._found_writing.append,
            Journal(journal, self._disk),
            identity or Unlocked(desk),
        )
        self._logbook: Logbook | None = None
        self._freshness = Freshness.VERIFIED

    @property
    def desk(self) -> str:
        """The name that this desk's sheets carry now."""
        return self._writer.desk

    # Writing

    def look_after_own(self, day: date, *, back: bool = False, patient: bool = False) -> None:
        """See to it that all this desk saved is on the sheets, and that nobody else writes under its name.

        `day` is the room's date now. Costs a file look when nothing has changed. With `back` all days of which
        there are records are looked at, for the start; later only when `news` has found one of their sheets
        changed. With `patient` a sheet that is gone is given until the next look. Raises `NotSaved` when what is
        missing cannot be written again now; it is kept, and tried again at the next look.
        """
        with self._lock:
            try:
                self._writer.look(day, patient=patient)
                self._writer.look_back(day, anyway=back)
            except OSError as error:
                if self._writer.owes:
                    raise not_written_again(error) from error

    def rescues(self) -> list[Rescue]:
        """What is to be told of new names and of saves written again, since it was last asked.

        Nothing while something is still to be written again.
        """
        with self._lock:
            if self._writer.owes:
                return []
            told, self._writer.rescues = self._writer.rescues, []
        return told

    def append(self, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
        """Validate entries and write them in one save, all or nothing, on this desk's sheet of `day`.

        `day` is the room's date now. Returns them as they will read back, once they are on disk. Raises `NotSaved`
        when they are not, saying why and what to do; the same entries can then be given again. Raises `BadEntry`
        for an entry that would not read back.
        """
        if not entries:
            return ()
        save = Save(entries)
        with self._lock:
            try:
                self._writer.write(save, day)
            except OSError as error:
                raise not_saved(save.entries, error) from error
            self._known.update(entry.id for entry in save.entries)
            self._mark_own(len(save.entries))
        return save.entries

    @property
    def database(self) -> Logbook:
        """The sheets as a TinyDB database, for queries; what is inserted there comes through `append`."""
        if self._logbook is None:
            # Late: who asks no queries pays nothing for TinyDB.
            from rounds.sheets.database import Logbook, SheetStorage

            self._logbook = Logbook(storage=SheetStorage, append=self.append, reader=self._shelf.by_day)
        return self._logbook

    def _mark_own(self, lines: int) -> None:
        """What this desk has just written is no news; what stood in the sheet before it may be."""
        sheet = self._writer.sheet
        if sheet is None:
            return
        try:
            status = self._disk.status_of(sheet.handle)
        except OSError:
            return
        before = self._watch.marks.get(sheet.path) or Mark(status.st_ino, 0, 0)
        last = sheet.saved[-1]
        if before.end + len(last) == sheet.end and before.inode == status.st_ino:
            self._watch.marks[sheet.path] = Mark(
                status.st_ino,
                sheet.end,
                status.st_mtime_ns,
                sheet.end,
                before.lines + lines,
                crc32(last, before.check),
                before.troubled,
            )

    def close(self) -> None:
        """Let go of the open sheet."""
        with self._lock:
            self._writer.close()

    # Reading

    def read(self) -> list[Entry]:
        """Every good entry of every sheet, each once, sheet by sheet. What is damaged is in `troubles`."""
        with self._lock:
            self._begin_again()
            doubles: list[Double] = []
            entries: list[Entry] = []
            for path in self._watch.changes():
                entries += self._taken(path, doubles)
            self._tell_doubles(doubles, entries)
            return entries

    def _begin_again(self) -> None:
        self._watch = Watch(self._disk)
        self._known, self._inside = set(), {}
        self._freshness = Freshness.VERIFIED

    def read_through(self, sift: Sift | None = None) -> Iterator[Part]:
        """Every sheet in turn, newest day first, for histories too long for one list; `news` goes on from there.

        What stands twice on the sheets of one day is handed out once, and reported; the fold does not mind
        the rest. Of the entries of sound sheets only those are handed out that `sift` gives back. Broken off
        half way, all is to be read again.
        """
        with self._lock:
            self._begin_again()
            paths, size = self._watch.changes(), self._watch.size
        done = 0
        for _, group in groupby(reversed(paths), day_in):
            of_day = [*group][::-1]
            with self._lock:
                readings = self._read_day(of_day, sift)
            for path, reading in zip(of_day, readings, strict=True):
                done += 1
                lines = reading.all_lines
                many = len(lines.about) if lines is not None else len(reading.entries)
                yield Part(path, reading.entries, many, done, len(paths), lines, size)
            del readings, reading, lines  # the memory of one day serves the next

    def _read_day(self, paths: list[str], sift: Sift | None) -> list[Reading]:
        """The sheets of one day, each entry once; what stands twice is found before it is sifted."""
        ids: list[str] = []

        def noting(entries: list[Entry]) -> list[Entry]:
            ids.extend(map(ID_OF, entries))
            return entries if sift is None else sift(entries)

        readings = [self._marked(path, sift if len(paths) == 1 else noting) for path in paths]
        ids += [entry.id for reading in readings if reading.all_lines is None for entry in reading.entries]
        if len(set(ids)) == len(ids) and not any(reading.is_doubled for reading in readings):
            return readings
        for path in paths:
            self._watch.marks.pop(path, None)
        doubles: list[Double] = []
        readings = [
            reading._replace(entries=self._new_ones(path, reading.entries, doubles), all_lines=None)
            for path, reading in zip(paths, map(self._marked, paths), strict=True)
        ]
        self._tell_doubles(doubles, [entry for reading in readings for entry in reading.entries])
        self._known.clear()
        return readings

    def news(self) -> list[Entry]:
        """Good entries that have appeared since the last `read`, `news` or `resume`, save this desk's own.

        Costs some file looks, however long the history is, when nothing has changed.
        """
        with self._lock:
            entries: list[Entry] = []
            marked = len(self._watch.marks)
            changed = self._watch.changes()
            if len(self._watch.marks) < marked:
                self._freshness = Freshness.STALE
                self._writer.look_back_again()
            self._writer.look_back_again(changed)
            for path in changed:
                entries += self._taken(path)
            return entries

    def read_days(self, first: date, last: date) -> list[Entry]:
        """Good entries of the sheets of these days (when they were written, not seen), each once.

        Copies that carry no day in their name are read too. `news` is not affected.
        """
        return self._shelf.of_days(first, last)

    def by_day(self) -> Iterator[list[Entry]]:
        """All entries, the sheets of one day at a time, oldest day first: for histories too long for a list.

        Each counts once within its day; a copy of a sheet under another day comes again. `news` is not
        affected.
        """
        return (entries for _, entries in self._shelf.by_day())

    def newest_first(self, first: date | None = None, last: date | None = None) -> Iterator[Slice]:
        """The sheets of one day at a time, newest day first, as far as entries seen in a period need them.

        A late note stands on a later sheet than the day it was seen; it is among them. `news` is not affected.
        """
        return self._shelf.newest_first(first, last)

    def about(self, subject: str) -> Iterator[Entry]:
        """Every good entry on a subject's page, each once, newest sheet first; only what is asked for is read.

        Sheets in which the subject is not named are passed over without decoding. `news` is not affected.
        """
        return self._shelf.about(subject)

    @property
    def lines(self) -> SheetLines:
        """Lines by where they stand, for an index of subjects."""
        return SheetLines(self._shelf, self._watch.marks)

    @property
    def troubles(self) -> list[Trouble]:
        """What was found damaged or out of place, by sheet and line; nothing of it is fatal."""
        with self._lock:
            found = {*self._watch.troubles.values(), *self._watch.missing.values(), *self._found_writing}
            for inside in self._inside.values():
                found.update(inside)
        return sorted(found)

    def look_over(self) -> list[Trouble]:
        """Read every sheet line by line, also those that seem sound, and say all that is wrong.

        Slower than `read`, and finds more: lines missing within a save. `news` is not affected.
        """
        return sorted(self._shelf.look_over().union(self._found_writing))

    # Going on from where an earlier run stopped

    def marks(self) -> dict[str, list[Any]]:
        """How far each sheet has been read, to be kept (as JSON) beside what was worked out from it."""
        with self._lock:
            return {path: list(mark) for path, mark in self._watch.marks.items()}

    def folders(self) -> dict[str, int]:
        """The folders in which sheets lie, each with its time (ns) when it was looked into; 0 when that was too
        shortly after a change to tell a second one."""
        with self._lock:
            return {path: mtime_ns or 0 for path, mtime_ns in self._watch.folders.items()}

    def restore(self, marks: Mapping[str, Mark]) -> None:
        """Go on from marks kept earlier, without looking at the sheets yet: that is for `verify` to do."""
        with self._lock:
            self._watch = Watch(self._disk, marks)
            self._known, self._inside = set(), {}
            self._freshness = Freshness.UNVERIFIED

    def verify(self) -> bool:
        """Whether every sheet is, up to its mark, as it was when it was marked; costs a look at each, once.

        When it is not, what was worked out from the sheets is stale, and everything is to be read again. When
        it is, `news` gives what came after the marks; doubles of entries from before them may be handed out
        again, which the fold does not mind.
        """
        with self._lock:
            if self._freshness is not Freshness.UNVERIFIED:
                return self.is_verified
            known = dict(self._watch.marks)
            watch = Watch(self._disk, known)
            changed = watch.changes()
            if len(watch.marks) < len(known) or not all(self._has_only_grown(path, known) for path in changed):
                self._freshness = Freshness.STALE
                return False
            self._watch, self._freshness = watch, Freshness.VERIFIED
            for path, mark in known.items():
                if mark.troubled:
                    self._note(path, self._shelf.reading(path))
            return True

    def resume(self, marks: Mapping[str, Sequence[Any]]) -> bool:
        """Go on from marks kept earlier, and whether they hold; False also for what are no marks."""
        try:
            known = marks_of(marks)
        except (TypeError, ValueError):
            return False
        self.restore(known)
        return self.verify()

    @property
    def is_verified(self) -> bool:
        """Whether all that was handed out is known to stand on the sheets."""
        with self._lock:
            return self._freshness is Freshness.VERIFIED

    def _has_only_grown(self, path: str, known: Mapping[str, Mark]) -> bool:
        mark = known.get(path)
        if mark is None:
            return True
        try:
            return self._shelf.unread(path, mark)[0] == mark.end
        except OSError:
            return False

    # One sheet

    def _taken(self, path: str, doubles: list[Double] | None = None) -> list[Entry]:
        """The entries of a sheet behind its mark that have not been handed out yet; the sheet is marked.

        `doubles` collects those that were handed out before, in a first reading of everything.
        """
        reading = self._marked(path, unfinished=doubles is not None)
        return self._new_ones(path, reading.entries, doubles)

    def _marked(self, path: str, sift: Sift | None = None, *, unfinished: bool = True) -> Reading:
        """A sheet read behind its mark, and marked; a save that is not finished is a trouble if `unfinished`."""
        mark = self._watch.marks.get(path)
        try:
            start, content, status = self._shelf.unread(path, mark)
        except FileNotFoundError:
            return Reading([], [], 0, 0)
        except OSError as error:
            self._inside[path] = [unreadable(path, error)]
            return Reading([], [], 0, 0)
        if mark is not None and not start:
            if mark.end:
                self._freshness = Freshness.STALE
            mark = None
        reading = read_sheet(shown(path), content, mark.lines + 1 if mark else 1, sift)
        if not unfinished:  # another desk may be in the middle of a save
            reading = reading._replace(unfinished=None)
        self._note(path, reading, mark.lines if mark else -1)
        self._watch.marks[path] = Mark(
            status.st_ino,
            start + len(content),
            status.st_mtime_ns,
            start + reading.end,
            reading.lines,
            crc32(content[: reading.end], mark.check if mark else 0),
            bool(self._inside.get(path)),
        )
        return reading

    def _note(self, path: str, reading: Reading, lines: int = -1) -> None:
        """Note the troubles of a sheet; those of the first `lines`, which were not read again, still hold."""
        found = [trouble for trouble in self._inside.get(path, []) if trouble.line <= lines]
        found += reading.troubles
        if reading.unfinished:
            found.append(reading.unfinished)
        if found:
            self._inside[path] = found
        else:
            self._inside.pop(path, None)

    def _tell_doubles(self, doubles: list[Double], entries: list[Entry]) -> None:
        for path, trouble in told_twice(doubles, entries):
            self._inside.setdefault(path, []).append(trouble)

    def _new_ones(self, path: str, entries: list[Entry], doubles: list[Double] | None) -> list[Entry]:
        """Those that have not been handed out, each once."""
        known = self._known
        ids = set(map(ID_OF, entries))
        if len(ids) == len(entries) and known.isdisjoint(ids):
            known |= ids
            return entries
        fresh: list[Entry] = []
        here: set[str] = set()
        for entry in entries:
            if entry.id not in known:
                known.add(entry.id)
                fresh.append(entry)
            elif doubles is not None:
                doubles.append(Double(path, entry, entry.id in here))
            here.add(entry.id)
        return fresh
